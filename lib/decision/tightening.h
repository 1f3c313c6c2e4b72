/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a dial reading says of the lift, how much tightening will shift it, and the
 * reading to aim at before tightening.
 *
 * The shift. Tightening moves the setting by 0.01 to 0.02 mm as a rule, in a direction
 * that belongs to the engine and the mechanic, if it is steady at all (common practice,
 * no source). So there are four ways to think of the shifts of one job, weighed by how
 * well they foretell its pairs: steady, normal about a mean of their own, the mean normal
 * about 0, because the direction is not known beforehand; drawn anew each time, normal
 * about 0, with nothing in one that tells of the next; turned about, the mean changing
 * its sign from one to the next; and wandering, each about the one before. A mean is
 * trusted only as far as the pairs agree on one. Variances are inverse gamma, and the
 * numbers below make the rms of the first shift 0.0153 mm, the rms of magnitudes spread
 * evenly from 0.01 to 0.02 mm, in each way.
 *
 * A shift is only seen as the difference of two readings whose errors are as large as
 * itself and whose variance is known. That breaks the conjugacy of the normal and the
 * inverse gamma, so the variance is put on a grid, dense enough to be exact for our
 * purpose; given the variance everything is normal, and a Kalman filter of one state
 * learns from pair after pair. About a known mean of the job the forecast is then
 * Student's t, as in the conjugate model.
 */
#ifndef DARC_TIGHTENING_H
#define DARC_TIGHTENING_H

#include <stddef.h>

#include <dialarc/conformity.h>

#define DARC_SHIFT_SDS           28 /* of the grid */
#define DARC_SHIFT_WAYS          4
#define DARC_SHIFT_NODES         (DARC_SHIFT_WAYS * DARC_SHIFT_SDS)
#define DARC_FORECAST_NODES      (DARC_SHIFT_NODES + DARC_SHIFT_SDS)
#define DARC_SHIFT_MEAN_SD_MM    0.014 /* sd of the mean shift of a job */
#define DARC_SHIFT_SCATTER_MM    0.005 /* scale of the sd within a job, ... */
#define DARC_SHIFT_SCATTER_DOF   6.0   /* ... and its degrees of freedom */
#define DARC_SHIFT_ANEW_MM       0.015 /* of shifts that are drawn anew, either way */
#define DARC_SHIFT_NODE_FIRST_MM 0.0005
#define DARC_SHIFT_NODE_LOG_STEP 0.25

/* A lift: normal with an sd, and anywhere within a width besides. */
typedef struct darc_belief {
    double mean_mm, sd_mm, width_mm;
} darc_belief;

/* What the loose-tight pairs say, for each way and each sd of the grid. */
typedef struct darc_shift {
    size_t pairs;
    struct {
        double variance;            /* of a shift about its mean, mm^2 */
        double sign, step_variance; /* of the mean, from one shift to the next */
        double mean, mean_variance; /* of the next shift's mean */
        double apart;      /* shifts lie so far from their mean, either way alike */
        double log_weight; /* up to a constant */
    } node[DARC_SHIFT_NODES];
} darc_shift;

/* The next shift: a mixture of normal distributions. */
typedef struct darc_forecast {
    size_t n;
    double weight[DARC_FORECAST_NODES], mean_mm[DARC_FORECAST_NODES],
        sd_mm[DARC_FORECAST_NODES];
    size_t anew, anew_end;        /* those of them by which shifts are drawn anew */
    double shift_mm, shift_sd_mm; /* mean and sd of the mixture */
} darc_forecast;

/* Where a lift lies. */
dialarc_conformity darc_belief_split(const darc_belief *belief, double low, double high);

/* Half the interval about the mean that holds the lift with probability 95 %. */
double darc_belief_expanded(const darc_belief *belief);

/* Nothing learned yet. */
void darc_shift_begin(darc_shift *shift);

/* Learns from a pair: tight minus loose reading, and the variance of its errors. */
void darc_shift_learn(darc_shift *shift, double moved_mm, double error_variance);

void darc_shift_forecast(const darc_shift *shift, darc_forecast *forecast);

/* Where a lift will lie after tightening. */
dialarc_conformity darc_forecast_split(const darc_forecast *forecast,
                                       const darc_belief *loose, double low, double high);

/*
 * Reading that gives the best chance to end inside by more than a guard, as far as the
 * window leaves room for that; and the chance to end inside. With a guard it is no more
 * than that of shifts that are drawn anew, as long as the pairs have not ruled these out.
 * `error` is true lift minus reading.
 */
void darc_forecast_aim(const darc_forecast *forecast, const darc_belief *error,
                       double guard_mm, double low, double high, double *aim_mm,
                       double *probability);

#endif
