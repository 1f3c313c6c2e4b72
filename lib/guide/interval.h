/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A variance as a sum and difference of independent mean squares, and its interval of
 * 95 % by the method of modified large samples: exact for one mean square, and right at
 * both ends for others (R. K. Burdick and F. A. Graybill, Confidence Intervals on
 * Variance Components, 1992, sections 3.2 and 3.3, from memory).
 */
#ifndef DARC_INTERVAL_H
#define DARC_INTERVAL_H

typedef struct darc_part {
    double coefficient, mean_square, dof; /* dof >= 1 where the coefficient is not 0 */
} darc_part;

typedef struct darc_variance {
    double value;     /* unbiased, and below 0 at times */
    double low, high; /* 0 where the interval lies below 0 */
} darc_variance;

darc_variance darc_interval(int n, const darc_part *part);

#endif
