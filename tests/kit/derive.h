/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Derivatives by GSL's finite differences, to hold analytic ones against.
 */
#ifndef DARC_DERIVE_H
#define DARC_DERIVE_H

#include <check.h>
#include <gsl/gsl_deriv.h>
#include <math.h>

/*
 * Fails unless `slope` is the derivative of f at x to `tolerance` of `scale`; f is
 * evaluated within `step` of x and must be smooth there.
 */
static inline void check_slope(double (*f)(double, void *), void *data, double x,
                               double step, double slope, double scale, double tolerance)
{
    gsl_function function = {f, data};
    double found, error;
    ck_assert_int_eq(gsl_deriv_central(&function, x, step, &found, &error), 0);
    ck_assert_msg(fabs(found - slope) <= tolerance * scale,
                  "at %.17g: derivative %.17g, finite difference %.17g +- %g", x, slope,
                  found, error);
}

#endif
