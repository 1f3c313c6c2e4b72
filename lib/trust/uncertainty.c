/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/uncertainty.h>

#include <float.h>
#include <math.h>
#include <stdbool.h>

#include <gsl/gsl_cdf.h>

#include "core/finite.h"
#include "trust/correlation.h"

dialarc_status dialarc_uncertainty_half_width(dialarc_shape shape, double half_width,
                                              double *sd)
{
    double square = 0.0;
    if (!sd)
        return DIALARC_ERR_NULL;
    if (shape == DIALARC_SHAPE_RECTANGULAR)
        square = 3.0;
    else if (shape == DIALARC_SHAPE_TRIANGULAR)
        square = 6.0;
    else if (shape == DIALARC_SHAPE_ARCSINE)
        square = 2.0;
    else
        return DIALARC_ERR_SHAPE;
    if (!isfinite(half_width))
        return DIALARC_ERR_NOT_FINITE;
    if (half_width < 0.0)
        return DIALARC_ERR_SD;
    *sd = half_width / sqrt(square);
    return DIALARC_OK;
}

dialarc_status dialarc_uncertainty_rounding(double step, double *sd)
{
    return dialarc_uncertainty_half_width(DIALARC_SHAPE_RECTANGULAR, 0.5 * step, sd);
}

static dialarc_status check_inputs(size_t n, const double *sensitivity, const double *sd)
{
    if (n && (!sensitivity || !sd))
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(sensitivity[i]) || !isfinite(sd[i]))
            return DIALARC_ERR_NOT_FINITE;
        if (sd[i] < 0.0)
            return DIALARC_ERR_SD;
    }
    return DIALARC_OK;
}

dialarc_status dialarc_uncertainty_combine(size_t n, const double *sensitivity,
                                           const double *sd, const double *correlation,
                                           double *combined)
{
    if (!combined)
        return DIALARC_ERR_NULL;
    dialarc_status status = check_inputs(n, sensitivity, sd);
    if (status == DIALARC_OK && correlation)
        status = darc_correlation_check(n, correlation);
    if (status != DIALARC_OK)
        return status;
    double sum = 0.0, size = 0.0;
    for (size_t i = 0; i < n; i++) {
        double part = sensitivity[i] * sd[i], row = part;
        for (size_t j = 0; correlation && j < i; j++)
            row += 2.0 * sensitivity[j] * sd[j] * correlation[i * n + j];
        sum += part * row;
        size += fabs(part);
    }
    /* Below 0 beyond rounding: no set of quantities has such correlations. */
    if (sum < -8.0 * DBL_EPSILON * size * size)
        return DIALARC_ERR_PROBABILITY;
    return darc_give(sum <= 0.0 ? 0.0 : sqrt(sum), combined);
}

dialarc_status dialarc_uncertainty_shares(size_t n, const double *sensitivity,
                                          const double *sd, double *share)
{
    double largest = 0.0, sum = 0.0;
    if (n && (!sensitivity || !sd || !share))
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(sensitivity[i]) || !isfinite(sd[i]) ||
            !isfinite(sensitivity[i] * sd[i]))
            return DIALARC_ERR_NOT_FINITE;
        if (sd[i] < 0.0)
            return DIALARC_ERR_SD;
        largest = fmax(largest, fabs(sensitivity[i] * sd[i]));
    }
    if (n && !(largest > 0.0))
        return DIALARC_ERR_SD;
    for (size_t i = 0; i < n; i++) /* relative, so that no square leaves its range */
        sum += pow(sensitivity[i] * sd[i] / largest, 2.0);
    for (size_t i = 0; i < n; i++)
        share[i] = pow(sensitivity[i] * sd[i] / largest, 2.0) / sum;
    return DIALARC_OK;
}

/* Keeps the square of the quantile far from overflow, also with one degree of freedom. */
#define SMALLEST_TAIL 1e-100

static bool is_dof(double dof)
{
    return dof == 0.0 || dof >= 1.0;
}

dialarc_status dialarc_uncertainty_effective_dof(size_t n, const double *component,
                                                 const double *dof, double *effective)
{
    double largest = 0.0, sum = 0.0, spread = 0.0;
    if (!effective || (n && (!component || !dof)))
        return DIALARC_ERR_NULL;
    if (n == 0)
        return DIALARC_ERR_SIZE;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(component[i]) || !isfinite(dof[i]))
            return DIALARC_ERR_NOT_FINITE;
        if (!is_dof(dof[i]))
            return DIALARC_ERR_DOF;
        largest = fmax(largest, fabs(component[i]));
    }
    if (!(largest > 0.0))
        return DIALARC_ERR_SD;
    for (size_t i = 0; i < n; i++) { /* relative, so that no fourth power underflows */
        double square = (component[i] / largest) * (component[i] / largest);
        sum += square;
        if (dof[i] > 0.0)
            spread += square * square / dof[i];
    }
    return darc_give(spread > 0.0 ? sum * sum / spread : 0.0, effective);
}

static double upper_tail(double t, double dof)
{
    return dof > 0.0 ? gsl_cdf_tdist_Q(t, dof) : gsl_cdf_ugaussian_Q(t);
}

/*
 * Value exceeded with probability `tail`, 0 < tail <= 1/2, by bisection of the upper
 * tail. GSL's own inverse may give up through its error handler, so it is not used.
 */
static double exceeded_with(double tail, double dof)
{
    double low = 0.0, high = 1.0;
    while (upper_tail(high, dof) > tail) {
        low = high;
        high *= 2.0;
    }
    for (;;) {
        double middle = 0.5 * (low + high);
        if (!(middle > low && middle < high))
            return high;
        if (upper_tail(middle, dof) > tail)
            low = middle;
        else
            high = middle;
    }
}

dialarc_status dialarc_uncertainty_t_quantile(double probability, double dof, double *t)
{
    if (!t)
        return DIALARC_ERR_NULL;
    if (!isfinite(probability) || !isfinite(dof))
        return DIALARC_ERR_NOT_FINITE;
    if (!(probability > SMALLEST_TAIL && probability < 1.0))
        return DIALARC_ERR_PROBABILITY;
    if (!is_dof(dof))
        return DIALARC_ERR_DOF;
    if (probability == 0.5)
        *t = 0.0;
    else if (probability < 0.5)
        *t = -exceeded_with(probability, dof);
    else
        *t = exceeded_with(1.0 - probability, dof);
    return DIALARC_OK;
}

dialarc_status dialarc_uncertainty_coverage_factor(double probability, double dof,
                                                   double *factor)
{
    double tail = 0.5 * (1.0 - probability);
    if (!factor)
        return DIALARC_ERR_NULL;
    if (!isfinite(probability) || !isfinite(dof))
        return DIALARC_ERR_NOT_FINITE;
    if (!(probability > 0.0 && probability < 1.0))
        return DIALARC_ERR_PROBABILITY;
    if (!is_dof(dof))
        return DIALARC_ERR_DOF;
    *factor = exceeded_with(tail, dof);
    return DIALARC_OK;
}
