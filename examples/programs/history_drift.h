/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Drift of a setting: a straight line through the lifts at TDC over time by weighted
 * least squares, and how likely it leaves the window.
 */
#ifndef HISTORY_DRIFT_H
#define HISTORY_DRIFT_H

#include <stddef.h>

typedef struct drift_point {
    double year, lift_mm, lift_sd_mm, rate_mm_per_crank_deg;
} drift_point;

/* What is not known is DIALARC_UNKNOWN: with all points on one day the drift. */
typedef struct drift {
    double centre_year, lift_mm;                     /* the line there: weighted means */
    double mm_per_year, u_mm_per_year;               /* expanded, 95 % */
    double crank_deg_per_year, u_crank_deg_per_year; /* by the mean slope of the lift */
    double dof;                 /* of the scatter; 0: the settings' own uncertainties */
    double coverage;            /* expanded over standard uncertainty, 95 % */
    double excess;              /* scatter about the line over what is expected */
    double var_lift, var_slope; /* widened by the excess when that is above 1 */
} drift;

/* The drift of n >= 1 points. */
drift drift_fit(size_t n, const drift_point *point);

/* Lift on the line, and its standard uncertainty. */
double drift_lift(const drift *d, double year, double *sd_mm);

/* Probability that the line is outside the window on some day from one to another. */
double drift_outside(const drift *d, double low_mm, double high_mm, double from_year,
                     double to_year);

#endif
