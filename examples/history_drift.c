/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "history_drift.h"

#include <dialarc.h>
#include <gsl/gsl_integration.h>
#include <math.h>

#define COVERAGE 0.95
#define NODES    128 /* of the quadrature: the integrand is smooth */
#define REACH    9.0 /* standard deviations beyond which there is nothing */

/* Weighted means of years, lifts and slopes of the lift. */
static double centre(size_t n, const drift_point *point, drift *d)
{
    double sum = 0.0, year = 0.0, lift = 0.0, rate = 0.0;
    for (size_t i = 0; i < n; i++) {
        double weight = 1.0 / (point[i].lift_sd_mm * point[i].lift_sd_mm);
        sum += weight;
        year += weight * (point[i].year - point[0].year);
        lift += weight * point[i].lift_mm;
        rate += weight * point[i].rate_mm_per_crank_deg;
    }
    d->centre_year = point[0].year + year / sum;
    d->lift_mm = lift / sum;
    d->var_lift = 1.0 / sum;
    return rate / sum;
}

drift drift_fit(size_t n, const drift_point *point)
{
    drift d = {0};
    double rate = centre(n, point, &d), sxx = 0.0, sxy = 0.0, chi = 0.0;
    for (size_t i = 0; i < n; i++) {
        double x = point[i].year - d.centre_year;
        double weight = 1.0 / (point[i].lift_sd_mm * point[i].lift_sd_mm);
        sxx += weight * x * x;
        sxy += weight * x * (point[i].lift_mm - d.lift_mm);
    }
    int days_differ = n > 1 && sxx * d.var_lift > 1e-8; /* years^2: an hour */
    double lines = days_differ ? 2.0 : 1.0;
    double slope = days_differ ? sxy / sxx : 0.0;
    for (size_t i = 0; i < n; i++) {
        double miss =
            point[i].lift_mm - d.lift_mm - slope * (point[i].year - d.centre_year);
        chi += miss * miss / (point[i].lift_sd_mm * point[i].lift_sd_mm);
    }
    double dof = (double)n - lines;
    d.excess = dof > 0.0 ? sqrt(chi / dof) : DIALARC_UNKNOWN;
    int wide = d.excess > 1.0;
    double widened = wide ? d.excess * d.excess : 1.0;
    /* Scatter that is estimated from few sweeps counts by Student's t. */
    dialarc_uncertainty_coverage_factor(COVERAGE, wide ? dof : 0.0, &d.coverage);
    d.var_lift *= widened;
    d.var_slope = days_differ ? widened / sxx : DIALARC_UNKNOWN;
    d.mm_per_year = days_differ ? slope : DIALARC_UNKNOWN;
    d.u_mm_per_year = d.coverage * sqrt(d.var_slope);
    d.crank_deg_per_year = d.mm_per_year / rate;
    d.u_crank_deg_per_year = d.u_mm_per_year / fabs(rate);
    return d;
}

double drift_lift(const drift *d, double year, double *sd_mm)
{
    double x = year - d->centre_year;
    int known = !isnan(d->mm_per_year);
    *sd_mm = sqrt(d->var_lift + (known ? d->var_slope * x * x : 0.0));
    return d->lift_mm + (known ? d->mm_per_year * x : 0.0);
}

static double inside(double mean, double sd, double low, double high)
{
    double probability = DIALARC_UNKNOWN;
    dialarc_conformity_probability(mean, sd, low, high, &probability);
    return probability;
}

/*
 * A straight line that is inside at both ends is inside all the way. So the chance of
 * that is wanted, for two lifts that are normal and correlated: over the first one the
 * density times the chance of the second, given the first.
 */
double drift_outside(const drift *d, double low_mm, double high_mm, double from_year,
                     double to_year)
{
    double sd1, sd2;
    double lift1 = drift_lift(d, from_year, &sd1), lift2 = drift_lift(d, to_year, &sd2);
    if (isnan(low_mm) || isnan(high_mm))
        return DIALARC_UNKNOWN;
    if (isnan(d->mm_per_year) || !(to_year > from_year))
        return 1.0 - inside(lift1, sd1, low_mm, high_mm);
    double shared = d->var_lift + d->var_slope * (from_year - d->centre_year) *
                                      (to_year - d->centre_year);
    double follow = shared / (sd1 * sd1);
    double sd = sqrt(fmax(sd2 * sd2 - follow * shared, 1e-18));
    double a = fmax(low_mm, lift1 - REACH * sd1), b = fmin(high_mm, lift1 + REACH * sd1);
    if (!(a < b))
        return 1.0;
    gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc(NODES);
    double sum = 0.0;
    for (size_t i = 0; table && i < NODES; i++) {
        double lift, weight;
        gsl_integration_glfixed_point(a, b, i, &lift, &weight, table);
        double z = (lift - lift1) / sd1;
        sum += weight * exp(-0.5 * z * z) / (sd1 * 2.50662827463100050242) *
               inside(lift2 + follow * (lift - lift1), sd, low_mm, high_mm);
    }
    if (!table)
        return DIALARC_UNKNOWN;
    gsl_integration_glfixed_table_free(table);
    return fmin(fmax(1.0 - sum, 0.0), 1.0);
}
