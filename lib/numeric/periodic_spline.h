/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Second derivatives of a periodic cubic spline.
 *
 * Own code, because GSL's periodic spline reports a failed allocation and points that it
 * does not like to the error handler of the host; the tests hold this against it.
 */
#ifndef DARC_PERIODIC_SPLINE_H
#define DARC_PERIODIC_SPLINE_H

#include <stddef.h>

/*
 * Fills `second[0..n-1]` for n >= 3 points y at increasing x with x[0] = 0; the curve
 * closes at `period`. `work` holds 2 n numbers.
 */
void darc_periodic_spline(size_t n, const double *x, const double *y, double period,
                          double *second, double *work);

#endif
