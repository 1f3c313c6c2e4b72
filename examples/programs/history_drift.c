/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "history_drift.h"

#include <dialarc.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_integration.h>
#include <math.h>

#define COVERAGE 0.95
#define NODES    128 /* of the quadrature: the integrand is smooth */

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
    d.dof = wide ? dof : 0.0;
    dialarc_uncertainty_coverage_factor(COVERAGE, d.dof, &d.coverage);
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

/* Distribution of a lift in standard uncertainties: Student's t, normal for dof 0. */
static double below(double z, double dof)
{
    return dof > 0.0 ? gsl_cdf_tdist_P(z, dof) : gsl_cdf_ugaussian_P(z);
}

static double quantile(double p, double dof)
{
    return dof > 0.0 ? gsl_cdf_tdist_Pinv(p, dof) : gsl_cdf_ugaussian_Pinv(p);
}

/*
 * A straight line that is inside at both ends is inside all the way. So the chance of
 * that is wanted, for two lifts that are correlated and either normal or, where their
 * scatter was estimated, a bivariate t: over the probability of the first one the chance
 * of the second, given the first. Given a t, that is a t with one more degree of freedom
 * and a scale that grows with the first (S. Kotz and S. Nadarajah, Multivariate t
 * Distributions and Their Applications, 2004, 1.11; from memory).
 */
double drift_outside(const drift *d, double low_mm, double high_mm, double from_year,
                     double to_year)
{
    double sd1, sd2;
    double lift1 = drift_lift(d, from_year, &sd1), lift2 = drift_lift(d, to_year, &sd2);
    if (isnan(low_mm) || isnan(high_mm))
        return DIALARC_UNKNOWN;
    double bottom = below((low_mm - lift1) / sd1, d->dof);
    double top = below((high_mm - lift1) / sd1, d->dof);
    if (isnan(d->mm_per_year) || !(to_year > from_year) || !(bottom < top))
        return 1.0 - (top - bottom);
    double shared = d->var_lift + d->var_slope * (from_year - d->centre_year) *
                                      (to_year - d->centre_year);
    double follow = shared / sd1;
    double rest = sqrt(fmax(sd2 * sd2 - follow * follow, 1e-18)), more = 0.0;
    gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc(NODES);
    double sum = 0.0;
    if (!table)
        return DIALARC_UNKNOWN;
    for (size_t i = 0; i < NODES; i++) {
        double p, weight;
        gsl_integration_glfixed_point(bottom, top, i, &p, &weight, table);
        double z = quantile(p, d->dof), sd = rest, mean = lift2 + follow * z;
        if (d->dof > 0.0) {
            more = d->dof + 1.0;
            sd *= sqrt((d->dof + z * z) / more);
        }
        sum += weight *
               (below((high_mm - mean) / sd, more) - below((low_mm - mean) / sd, more));
    }
    gsl_integration_glfixed_table_free(table);
    return fmin(fmax(1.0 - sum, 0.0), 1.0);
}
