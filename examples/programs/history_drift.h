/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Drift of a setting: a straight line through the lifts at TDC over time by weighted
 * least squares, and how likely it leaves the window.
 *
 * What the sweeps of an engine share, the errors of its mark, of the dial and so on,
 * moves the whole line and no slope: it is kept apart. Scatter beyond the sweeps' own is
 * added to each. Few sweeps tell little of a drift; then that of the other engines
 * counts, as far as it is known.
 */
#ifndef HISTORY_DRIFT_H
#define HISTORY_DRIFT_H

#include <stddef.h>

typedef struct drift_point {
    double year, lift_mm;
    double own_sd_mm;    /* what is drawn anew with each sweep */
    double shared_sd_mm; /* what its sweeps have in common */
    double rate_mm_per_crank_deg;
} drift_point;

/* Why the probability of a line is not to be had. */
typedef enum drift_remark {
    DRIFT_GOOD,
    DRIFT_TOO_LITTLE, /* the drift is not known well enough for the time ahead */
    DRIFT_SET_ANEW,   /* the sweeps jump as if the pump had been set anew */
    DRIFT_BENT        /* they bend: the drift grows or ends */
} drift_remark;

/* How engines drift, learned from many of them. */
typedef struct drift_prior {
    int known;
    double mean, variance; /* mm per year */
    double span;           /* years, the longest that an engine was seen */
    int bends_known;
    double bend, var_bend; /* mm per year^2; both 0: engines do not bend */
} drift_prior;

/* What is not known is DIALARC_UNKNOWN: with all points on one day, and no prior, the
 * drift. */
typedef struct drift {
    double centre_year, lift_mm;                     /* the line there: weighted means */
    double shared_mm;                                /* sd of what moves the whole line */
    double mm_per_year, u_mm_per_year;               /* expanded, 95 % */
    double crank_deg_per_year, u_crank_deg_per_year; /* by the mean slope of the lift */
    double excess_mm;                                /* sd added to each sweep */
    double var_lift, var_slope; /* of the line alone, without what is shared */
    double span;                /* years between the first and the last */
    double bend, var_bend;      /* mm per year^2; what a parabola adds to the line is
                                   bend (x^2 - bow_level - bow_slope x), x years from the
                                   centre: it leaves level and slope as they are */
    double bow_level, bow_slope;
    double rate;         /* mm per crank degree */
    drift_remark remark; /* about the points alone */
} drift;

/* The line through n >= 1 points, by themselves. */
drift drift_fit(size_t n, const drift_point *point);

/* What n lines say of the drifts of engines, and of how these grow or end; not known of
 * fewer than 5 that have one. */
drift_prior drift_learn(size_t n, const drift *const *line);

/* The line with what is known of other engines. Where nothing is known of how drifts
 * grow, it may have doubled in the time that engines were seen. */
void drift_believe(drift *d, const drift_prior *prior);

/* Lift on the line, and its standard uncertainty. */
double drift_lift(const drift *d, double year, double *sd_mm);

/* Probability that the line is outside the window on some day from one to another, and
 * why it is not to be had. One that is outside already needs no drift. */
double drift_outside(const drift *d, double low_mm, double high_mm, double from_year,
                     double to_year, drift_remark *remark);

/* Word for the table: "" when nothing is to be remarked. */
const char *drift_remark_name(drift_remark remark);

#endif
