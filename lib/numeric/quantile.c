/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/quantile.h"

#include <math.h>

#include <gsl/gsl_cdf.h>

#define MANY 1000.0 /* degrees of freedom */
#define FEW  30.0

typedef double (*tail)(double x, double dof, double other_dof);

static double mean_square_tail(double x, double dof, double other_dof)
{
    (void)other_dof;
    return gsl_cdf_chisq_Q(x * dof, dof);
}

static double f_tail(double x, double dof, double other_dof)
{
    return gsl_cdf_fdist_Q(x, dof, other_dof);
}

/* Halves the way between them, as long as there are doubles between. */
static double halve(tail of, double exceeded, double dof, double other_dof, double low,
                    double high)
{
    for (;;) {
        double middle = sqrt(low * high);
        if (!(middle > low && middle < high))
            return middle;
        if (of(middle, dof, other_dof) > exceeded)
            low = middle;
        else
            high = middle;
    }
}

double darc_mean_square_quantile(double exceeded, double dof)
{
    /* Of few degrees of freedom no tail between these is so small that GSL complains; of
     * more the approximation is close. */
    if (dof < FEW)
        return halve(mean_square_tail, exceeded, dof, 0.0, 1e-9, 100.0);
    double part = 2.0 / (9.0 * dof);
    double root = 1.0 - part + gsl_cdf_ugaussian_Qinv(exceeded) * sqrt(part);
    double near = root * root * root;
    return dof > MANY
               ? near
               : halve(mean_square_tail, exceeded, dof, 0.0, 0.8 * near, 1.25 * near);
}

double darc_f_quantile(double exceeded, double dof, double other_dof)
{
    return halve(f_tail, exceeded, fmin(dof, MANY), fmin(other_dof, MANY), 1e-7, 1e7);
}
