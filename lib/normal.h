/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The normal distribution in the forms that keep digits. Private. */
#ifndef DARC_NORMAL_H
#define DARC_NORMAL_H

#include <math.h>

#include <gsl/gsl_cdf.h>

/* Value exceeded with probability 2.5 %: half an interval of 95 %. */
#define DARC_NORMAL_975 1.95996398454005423552

/* Probability between a and b, a <= b, taken in the smaller tails. */
static inline double darc_normal_between(double a, double b)
{
    if (a > 0.0)
        return gsl_cdf_ugaussian_Q(a) - gsl_cdf_ugaussian_Q(b);
    if (b < 0.0)
        return gsl_cdf_ugaussian_P(b) - gsl_cdf_ugaussian_P(a);
    return 1.0 - gsl_cdf_ugaussian_P(a) - gsl_cdf_ugaussian_Q(b);
}

static inline double darc_normal_density(double x)
{
    return 0.39894228040143267794 * exp(-0.5 * x * x);
}

#endif
