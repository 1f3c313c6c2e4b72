/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What one dial reading says, when it may be misread and is rounded to a graduation.
 *
 * A misread is off by anything from one graduation to one turn of the needle, with equal
 * probability per octave. A reading much sharper than the graduation is an interval, not
 * a number: its likelihood is the normal probability of that interval.
 */
#ifndef DARC_READING_WEIGHT_H
#define DARC_READING_WEIGHT_H

#include <stdbool.h>

#include "model/path.h"
#include "record/known.h"

/* What one reading says about its expected value m near m0: log density
 * g (m - m0) - w (m - m0)^2 / 2, both scaled by the probability that it is no misread. */
typedef struct darc_pull {
    double g, w;
    double sound;   /* probability that the reading is not misread */
    double density; /* of the reading, sound or misread, per mm */
    double sd;      /* of the reading before it is rounded, mm */
    double score2;  /* squared standardised residual */
} darc_pull;

/* Whether a reading with this sd before it is rounded is an interval, not a number: then
 * rounding does not average out. Above this ratio the first harmonic of the rounding
 * error is less than 0.03 % of the graduation. */
#define DARC_INTERVAL_RATIO 0.6
static inline bool darc_is_interval(double sd_mm, double step_mm)
{
    return sd_mm < DARC_INTERVAL_RATIO * step_mm;
}

/* sd of a reading before it is rounded, mm: errors of the dial, of the angle where the
 * lift has this slope by it, and `widen_mm` besides. */
double darc_pull_sd(const darc_noise *noise, double slope, double widen_mm);

/* The share of misreads to go on with when the readings, weighed, have shown so many. */
double darc_misread_share(double seen);

/* The weight of one reading: residual against `mean`, expected sd, share of misreads. */
darc_pull darc_reading_pull(const darc_noise *noise, double share, double reading,
                            double mean, double sd);

/* The same for the reading of a row, with the errors of dial and angle. */
darc_pull darc_row_pull(const darc_noise *noise, double share, double reading,
                        const darc_row *row);

/* A reading is set aside when it is more likely misread than not. */
static inline bool darc_is_sound(const darc_pull *pull)
{
    return pull->sound >= 0.5;
}

#endif
