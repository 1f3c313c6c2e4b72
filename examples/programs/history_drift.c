/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "history_drift.h"

#include <dialarc.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_randist.h>
#include <math.h>

#define COVERAGE   0.95
#define NORMAL_975 1.959963984540054
#define NODES      128   /* of the quadrature: the integrand is smooth */
#define DAYS_APART 1e-8  /* years^2: an hour */
#define ENGINES    5     /* that must have a drift before others are told by them */
#define BENT       0.001 /* chance that a straight line seems bent */
#define ALL_BENT   0.01  /* the same of all engines together */
#define JUMPS      3.0   /* excess over the sweeps' own scatter that no wear explains */
#define SURELY     0.95  /* probability of a line that is outside by now */

/* Sums over points, or over the slopes of lines as points that say a mean. */
typedef struct sums {
    double weight, mean, centre, sxx, slope, chi;
} sums;

static double weight_of(const drift_point *p, double excess)
{
    return 1.0 / (p->own_sd_mm * p->own_sd_mm + excess);
}

/* The line by weighted least squares, with a variance added to each point. */
static sums line_through(size_t n, const drift_point *point, double excess)
{
    sums s = {.weight = 0.0};
    double sxy = 0.0;
    for (size_t i = 0; i < n; i++) {
        double weight = weight_of(&point[i], excess);
        s.weight += weight;
        s.centre += weight * (point[i].year - point[0].year);
        s.mean += weight * point[i].lift_mm;
    }
    s.centre = point[0].year + s.centre / s.weight;
    s.mean /= s.weight;
    for (size_t i = 0; i < n; i++) {
        double x = point[i].year - s.centre, weight = weight_of(&point[i], excess);
        s.sxx += weight * x * x;
        sxy += weight * x * (point[i].lift_mm - s.mean);
    }
    s.slope = s.sxx > DAYS_APART * s.weight ? sxy / s.sxx : 0.0;
    for (size_t i = 0; i < n; i++) {
        double miss = point[i].lift_mm - s.mean - s.slope * (point[i].year - s.centre);
        s.chi += weight_of(&point[i], excess) * miss * miss;
    }
    return s;
}

/* The variance that makes chi-square what it should be, never below 0: R. C. Paule and
 * J. Mandel, Consensus values and weighting factors, 1982. */
static double excess_of(size_t n, const drift_point *point, double dof)
{
    double low = 0.0, high = 0.0;
    if (!(dof > 0.0) || line_through(n, point, 0.0).chi <= dof)
        return 0.0;
    for (size_t i = 1; i < n; i++)
        high = fmax(high, fabs(point[i].lift_mm - point[0].lift_mm));
    high *= 2.0 * high * (double)n;
    for (int turn = 0; turn < 100; turn++) {
        double middle = 0.5 * (low + high);
        if (line_through(n, point, middle).chi > dof)
            low = middle;
        else
            high = middle;
    }
    return high;
}

/* What a parabola adds to the line, and whether that is no chance. */
static int find_bend(size_t n, const drift_point *point, const sums *s, double excess,
                     drift *d)
{
    double sq = 0.0, cube = 0.0, top = 0.0, bottom = 0.0, size = 0.0;
    d->bend = d->var_bend = DIALARC_UNKNOWN;
    for (size_t i = 0; i < n; i++) {
        double x = point[i].year - s->centre, weight = weight_of(&point[i], excess);
        sq += weight * x * x / s->weight;
        cube += weight * x * x * x;
    }
    for (size_t i = 0; i < n; i++) { /* x^2 less its part along the line */
        double x = point[i].year - s->centre, weight = weight_of(&point[i], excess);
        double bend = x * x - sq - cube / s->sxx * x;
        double miss = point[i].lift_mm - s->mean - s->slope * x;
        top += weight * bend * miss;
        bottom += weight * bend * bend;
        size += weight * x * x * x * x;
    }
    if (n < 3 || !(bottom > 1e-9 * size)) /* of two days only */
        return 0;
    d->bend = top / bottom;
    d->var_bend = 1.0 / bottom;
    return n > 3 && gsl_cdf_chisq_Q(top * top / bottom, 1.0) < BENT;
}

static void tell_slope(drift *d, double slope, double variance)
{
    d->mm_per_year = slope;
    d->var_slope = variance;
    d->u_mm_per_year = NORMAL_975 * sqrt(variance);
    d->crank_deg_per_year = slope / d->rate;
    d->u_crank_deg_per_year = d->u_mm_per_year / fabs(d->rate);
}

drift drift_fit(size_t n, const drift_point *point)
{
    drift d = {
        .bend = DIALARC_UNKNOWN, .var_bend = DIALARC_UNKNOWN, .remark = DRIFT_GOOD};
    sums s = line_through(n, point, 0.0);
    int days_differ = n > 1 && s.sxx > DAYS_APART * s.weight;
    double dof = (double)n - (days_differ ? 2.0 : 1.0), own = 0.0, wide = 1.0, factor;
    double excess = excess_of(n, point, dof);
    int bent = days_differ && find_bend(n, point, &s, 0.0, &d);
    s = line_through(n, point, excess);
    if (days_differ) /* with the scatter, for what all engines say together */
        find_bend(n, point, &s, excess, &d);
    for (size_t i = 0; i < n; i++) {
        double weight = weight_of(&point[i], excess) / s.weight;
        d.shared_mm += weight * point[i].shared_sd_mm;
        d.rate += weight * point[i].rate_mm_per_crank_deg;
        own += point[i].own_sd_mm * point[i].own_sd_mm / (double)n;
    }
    /* Scatter that is estimated from few sweeps counts by Student's t. */
    if (excess > 0.0 &&
        dialarc_uncertainty_coverage_factor(COVERAGE, dof, &factor) == DIALARC_OK)
        wide = factor * factor / (NORMAL_975 * NORMAL_975);
    d.centre_year = s.centre;
    d.lift_mm = s.mean;
    d.excess_mm = sqrt(excess);
    d.var_lift = wide / s.weight;
    tell_slope(&d, days_differ ? s.slope : DIALARC_UNKNOWN,
               days_differ ? wide / s.sxx : DIALARC_UNKNOWN);
    if (bent)
        d.remark = DRIFT_BENT;
    if (n > 3 && excess > JUMPS * JUMPS * own)
        d.remark = DRIFT_SET_ANEW;
    return d;
}

/* Whether all lines together bend one way, which none may show for itself. */
static int all_bend(size_t n, const drift *const *line)
{
    double weights = 0.0, sum = 0.0;
    for (size_t i = 0; i < n; i++)
        if (!isnan(line[i]->bend)) {
            weights += 1.0 / line[i]->var_bend;
            sum += line[i]->bend / line[i]->var_bend;
        }
    return weights > 0.0 && gsl_cdf_chisq_Q(sum * sum / weights, 1.0) < ALL_BENT;
}

/* Mean drift of engines and the scatter of drifts about it, each known as a line tells:
 * the same sums, of lines that all stand in one year. What is not known of the scatter is
 * added to it, so that engines that tell nothing make a prior that says nothing. */
drift_prior drift_learn(size_t n, const drift *const *line)
{
    double total = 0.0, mean = 0.0, low = 0.0, high = 0.0, dof = (double)n - 1.0, factor;
    if (n < ENGINES ||
        dialarc_uncertainty_coverage_factor(COVERAGE, dof, &factor) != DIALARC_OK)
        return (drift_prior){0, DIALARC_UNKNOWN, DIALARC_UNKNOWN, 0};
    for (size_t i = 0; i < n; i++)
        high = fmax(high, fabs(line[i]->mm_per_year));
    high *= 4.0 * high * (double)n;
    double harmonic = 0.0, scatter = 0.0;
    for (int turn = 0; turn < 100; turn++) {
        double chi = 0.0;
        total = mean = 0.0;
        for (size_t i = 0; i < n; i++) {
            double weight = 1.0 / (line[i]->var_slope + scatter);
            total += weight;
            mean += weight * line[i]->mm_per_year;
            harmonic += turn == 0 ? weight : 0.0;
        }
        mean /= total;
        for (size_t i = 0; i < n; i++)
            chi += pow(line[i]->mm_per_year - mean, 2) / (line[i]->var_slope + scatter);
        if (turn == 0 && chi <= dof)
            break; /* no more than their own uncertainty */
        if (turn > 0 && chi > dof)
            low = scatter;
        else if (turn > 0)
            high = scatter;
        scatter = 0.5 * (low + high);
    }
    double unknown = sqrt(2.0 / dof) * ((double)n / harmonic + scatter);
    double wide = factor * factor / (NORMAL_975 * NORMAL_975);
    return (drift_prior){1, mean, wide * (scatter + unknown + 1.0 / total),
                         all_bend(n, line)};
}

void drift_believe(drift *d, const drift_prior *prior)
{
    if (!prior->known)
        return;
    if (prior->bent && d->remark == DRIFT_GOOD)
        d->remark = DRIFT_BENT;
    double weight = isnan(d->mm_per_year) ? 0.0 : 1.0 / d->var_slope;
    double slope = isnan(d->mm_per_year) ? 0.0 : d->mm_per_year;
    double variance = 1.0 / (weight + 1.0 / prior->variance);
    tell_slope(d, variance * (weight * slope + prior->mean / prior->variance), variance);
}

double drift_lift(const drift *d, double year, double *sd_mm)
{
    double x = year - d->centre_year, shared = d->shared_mm * d->shared_mm;
    int known = !isnan(d->mm_per_year);
    *sd_mm = sqrt(d->var_lift + shared + (known ? d->var_slope * x * x : 0.0));
    return d->lift_mm + (known ? d->mm_per_year * x : 0.0);
}

static double between(double low, double high, double mean, double sd)
{
    return gsl_cdf_ugaussian_P((high - mean) / sd) -
           gsl_cdf_ugaussian_P((low - mean) / sd);
}

/*
 * A straight line that is inside at both ends is inside all the way. So the chance of
 * that is wanted, for two lifts that are normal and correlated: over the first one the
 * chance of the second, given the first.
 */
static double inside_all_the_way(const drift *d, double low_mm, double high_mm,
                                 double from_year, double to_year)
{
    double sd1, sd2, sum = 0.0;
    double lift1 = drift_lift(d, from_year, &sd1), lift2 = drift_lift(d, to_year, &sd2);
    double shared =
        d->shared_mm * d->shared_mm + d->var_lift +
        d->var_slope * (from_year - d->centre_year) * (to_year - d->centre_year);
    double follow = shared / sd1;
    double rest = sqrt(fmax(sd2 * sd2 - follow * follow, 1e-18));
    double bottom = fmax((low_mm - lift1) / sd1, -8.0);
    double top = fmin((high_mm - lift1) / sd1, 8.0);
    gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc(NODES);
    if (!table)
        return DIALARC_UNKNOWN;
    for (size_t i = 0; i < NODES && bottom < top; i++) {
        double z, weight;
        gsl_integration_glfixed_point(bottom, top, i, &z, &weight, table);
        sum += weight * gsl_ran_ugaussian_pdf(z) *
               between(low_mm, high_mm, lift2 + follow * z, rest);
    }
    gsl_integration_glfixed_table_free(table);
    return sum;
}

double drift_outside(const drift *d, double low_mm, double high_mm, double from_year,
                     double to_year, drift_remark *remark)
{
    double sd, lift = drift_lift(d, from_year, &sd);
    *remark = d->remark;
    if (isnan(low_mm) || isnan(high_mm))
        return DIALARC_UNKNOWN;
    /* A drift that may cross the window either way tells nothing of this engine. */
    double way = NORMAL_975 * sqrt(d->var_slope) *
                 fmax(to_year - from_year, to_year - d->centre_year);
    if (d->remark == DRIFT_GOOD && !(way < high_mm - low_mm))
        *remark = DRIFT_TOO_LITTLE;
    double outside = *remark == DRIFT_GOOD ? 1.0 - inside_all_the_way(d, low_mm, high_mm,
                                                                      from_year, to_year)
                                           : 1.0 - between(low_mm, high_mm, lift, sd);
    if (*remark != DRIFT_GOOD && outside < SURELY)
        return DIALARC_UNKNOWN;
    return fmin(fmax(outside, 0.0), 1.0);
}

const char *drift_remark_name(drift_remark remark)
{
    switch (remark) {
    case DRIFT_TOO_LITTLE:
        return "too_little";
    case DRIFT_SET_ANEW:
        return "set_anew";
    case DRIFT_BENT:
        return "bent";
    default:
        return "";
    }
}
