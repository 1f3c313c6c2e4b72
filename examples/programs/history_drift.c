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
#define ALL_BENT   0.05  /* the same of all engines together */
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

/* What a parabola adds to the line: a multiple of x^2 less its parts along the line. */
typedef struct bow {
    double level, slope; /* those parts */
    double size, variance;
    double gain; /* of chi-square */
} bow;

static double bow_at(double level, double slope, double x)
{
    return x * x - level - slope * x;
}

/* Whether its size can be told: it takes three days that differ. */
static int bow_through(size_t n, const drift_point *point, const sums *s, double excess,
                       bow *b)
{
    double top = 0.0, bottom = 0.0, size = 0.0;
    *b = (bow){.size = DIALARC_UNKNOWN, .variance = DIALARC_UNKNOWN};
    if (!(s->sxx > DAYS_APART * s->weight))
        return 0;
    for (size_t i = 0; i < n; i++) {
        double x = point[i].year - s->centre, weight = weight_of(&point[i], excess);
        b->level += weight * x * x / s->weight;
        b->slope += weight * x * x * x / s->sxx;
    }
    for (size_t i = 0; i < n; i++) {
        double x = point[i].year - s->centre, weight = weight_of(&point[i], excess);
        double away = bow_at(b->level, b->slope, x);
        top += weight * away * (point[i].lift_mm - s->mean - s->slope * x);
        bottom += weight * away * away;
        size += weight * x * x * x * x;
    }
    if (n < 3 || !(bottom > 1e-9 * size))
        return 0;
    b->size = top / bottom;
    b->variance = 1.0 / bottom;
    b->gain = top * top / bottom;
    return 1;
}

static double chi_with(size_t n, const drift_point *point, double excess, int bent)
{
    bow b;
    sums s = line_through(n, point, excess);
    return bent && bow_through(n, point, &s, excess, &b) ? s.chi - b.gain : s.chi;
}

/* The variance that makes chi-square what it should be about a line, or a parabola, never
 * below 0: R. C. Paule and J. Mandel, Consensus values and weighting factors, 1982. */
static double excess_of(size_t n, const drift_point *point, double dof, int bent)
{
    double low = 0.0, high = 0.0;
    if (!(dof > 0.0) || chi_with(n, point, 0.0, bent) <= dof)
        return 0.0;
    for (size_t i = 1; i < n; i++)
        high = fmax(high, fabs(point[i].lift_mm - point[0].lift_mm));
    high *= 2.0 * high * (double)n;
    for (int turn = 0; turn < 100; turn++) {
        double middle = 0.5 * (low + high);
        if (chi_with(n, point, middle, bent) > dof)
            low = middle;
        else
            high = middle;
    }
    return high;
}

/* The bend, with the scatter that is left about a parabola; whether it is no chance. */
static int find_bend(size_t n, const drift_point *point, drift *d)
{
    bow b;
    double last = point[0].year, first = last;
    for (size_t i = 1; i < n; i++) {
        first = fmin(first, point[i].year);
        last = fmax(last, point[i].year);
    }
    d->span = last - first;
    sums s = line_through(n, point, 0.0);
    int bent = bow_through(n, point, &s, 0.0, &b) && n > 3 &&
               gsl_cdf_chisq_Q(b.gain, 1.0) < BENT;
    double excess = excess_of(n, point, (double)n - 3.0, 1);
    s = line_through(n, point, excess);
    bow_through(n, point, &s, excess, &b);
    d->bend = b.size;
    d->var_bend = b.variance;
    return bent;
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
    drift d = {.remark = DRIFT_GOOD};
    bow along;
    sums s = line_through(n, point, 0.0);
    int days_differ = n > 1 && s.sxx > DAYS_APART * s.weight;
    double dof = (double)n - (days_differ ? 2.0 : 1.0), own = 0.0, wide = 1.0, factor;
    double excess = excess_of(n, point, dof, 0);
    int bent = find_bend(n, point, &d);
    s = line_through(n, point, excess);
    bow_through(n, point, &s, excess, &along);
    d.bow_level = along.level;
    d.bow_slope = along.slope;
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

/* Numbers of engines, each with its variance: their mean, and the scatter about it. */
typedef struct crowd {
    size_t n;
    double mean, var_mean, alike; /* chance of so much scatter of equal numbers */
    double variance;              /* of one more; what is not known of it added */
} crowd;

typedef double (*crowd_value)(const drift *line, double *variance);

static double slope_of(const drift *line, double *variance)
{
    *variance = line->var_slope;
    return line->mm_per_year;
}

static double bend_of(const drift *line, double *variance)
{
    *variance = line->var_bend;
    return line->bend;
}

/* Sums over the engines that have the number, with a variance added to each. */
static sums sum_crowd(size_t n, const drift *const *line, crowd_value of, double scatter)
{
    sums s = {.weight = 0.0};
    double variance;
    for (size_t i = 0; i < n; i++) {
        double value = of(line[i], &variance), weight = 1.0 / (variance + scatter);
        if (isnan(value))
            continue;
        s.weight += weight;
        s.mean += weight / s.weight * (value - s.mean);
    }
    for (size_t i = 0; i < n; i++) {
        double value = of(line[i], &variance);
        if (!isnan(value))
            s.chi += (value - s.mean) * (value - s.mean) / (variance + scatter);
    }
    return s;
}

/* Mean and scatter, each known as the lines tell. What is not known of the scatter is
 * added to it, so that engines that tell nothing make a prior that says nothing. */
static crowd learn_crowd(size_t n, const drift *const *line, crowd_value of)
{
    crowd c = {.n = 0};
    double low = 0.0, high = 0.0, variance, factor;
    for (size_t i = 0; i < n; i++) {
        double value = of(line[i], &variance);
        if (isnan(value))
            continue;
        c.n++;
        high = fmax(high, fabs(value));
    }
    double dof = (double)c.n - 1.0;
    if (c.n < ENGINES ||
        dialarc_uncertainty_coverage_factor(COVERAGE, dof, &factor) != DIALARC_OK)
        return (crowd){.n = 0};
    sums s = sum_crowd(n, line, of, 0.0);
    double harmonic = (double)c.n / s.weight, scatter = 0.0;
    c.alike = gsl_cdf_chisq_Q(s.chi, dof);
    high *= 4.0 * high * (double)c.n;
    for (int turn = 0; s.chi > dof && turn < 100; turn++) {
        scatter = 0.5 * (low + high);
        if (sum_crowd(n, line, of, scatter).chi > dof)
            low = scatter;
        else
            high = scatter;
    }
    s = sum_crowd(n, line, of, scatter);
    double unknown = sqrt(2.0 / dof) * (harmonic + scatter);
    double wide = factor * factor / (NORMAL_975 * NORMAL_975);
    c.mean = s.mean;
    c.var_mean = 1.0 / s.weight;
    c.variance = wide * (scatter + unknown + c.var_mean);
    return c;
}

drift_prior drift_learn(size_t n, const drift *const *line)
{
    const crowd slopes = learn_crowd(n, line, slope_of);
    const crowd bends = learn_crowd(n, line, bend_of);
    drift_prior p = {.known = slopes.n > 0,
                     .mean = slopes.mean,
                     .variance = slopes.variance,
                     .bends_known = bends.n > 0};
    for (size_t i = 0; i < n; i++)
        p.span = fmax(p.span, line[i]->span);
    /* They may bend all together, or this way and that, though each seems straight. */
    if (p.bends_known &&
        (bends.alike < ALL_BENT ||
         gsl_cdf_chisq_Q(bends.mean * bends.mean / bends.var_mean, 1.0) < ALL_BENT)) {
        p.bend = bends.mean;
        p.var_bend = bends.variance;
    }
    return p;
}

/* A number known from two sides, the first of which may be silent; its variance. */
static double join(double *value, double variance, double other, double var_other)
{
    double weight = isnan(*value) ? 0.0 : 1.0 / variance;
    double known = isnan(*value) ? 0.0 : *value;
    double both = 1.0 / (weight + 1.0 / var_other);
    *value = both * (weight * known + other / var_other);
    return both;
}

void drift_believe(drift *d, const drift_prior *prior)
{
    double slope = d->mm_per_year, bend = 0.0, variance = prior->var_bend;
    if (prior->known) {
        double var_slope = join(&slope, d->var_slope, prior->mean, prior->variance);
        tell_slope(d, slope, var_slope);
    }
    if (prior->bends_known)
        bend = prior->bend;
    else if (d->span > 0.0 || prior->span > 0.0) {
        bend = 0.5 * slope / fmax(d->span, prior->span);
        variance = bend * bend;
    }
    if (variance > 0.0)
        variance = join(&d->bend, d->var_bend, bend, variance);
    else
        d->bend = 0.0;
    d->var_bend = variance;
    if (!(prior->var_bend > 0.0) || d->remark == DRIFT_SET_ANEW)
        return;
    /* It bends, and how is known; but not where on the curve the sweeps of one day are.
     */
    d->remark = d->span > 0.0 ? DRIFT_GOOD : DRIFT_TOO_LITTLE;
}

/* Of the parabola that is added to the line. */
static double bow_of(const drift *d, double x)
{
    return bow_at(d->bow_level, d->bow_slope, x);
}

/* Covariance of the lifts in two years, that of the uncertain bend included. */
static double covariance(const drift *d, double x1, double x2)
{
    double sum = d->shared_mm * d->shared_mm + d->var_lift;
    if (isnan(d->mm_per_year))
        return sum;
    sum += d->var_slope * x1 * x2;
    return isnan(d->bend) ? sum : sum + d->var_bend * bow_of(d, x1) * bow_of(d, x2);
}

double drift_lift(const drift *d, double year, double *sd_mm)
{
    double x = year - d->centre_year;
    *sd_mm = sqrt(covariance(d, x, x));
    if (isnan(d->mm_per_year))
        return d->lift_mm;
    double bend = isnan(d->bend) ? 0.0 : d->bend * bow_of(d, x);
    return d->lift_mm + d->mm_per_year * x + bend;
}

static double between(double low, double high, double mean, double sd)
{
    return gsl_cdf_ugaussian_P((high - mean) / sd) -
           gsl_cdf_ugaussian_P((low - mean) / sd);
}

/*
 * A line that is inside at both ends is inside all the way, unless it bends within the
 * time ahead, which is short beside the time it was seen. So the chance of that is
 * wanted, for two lifts that are normal and correlated: over the first one the chance of
 * the second, given the first.
 */
static double inside_all_the_way(const drift *d, double low_mm, double high_mm,
                                 double from_year, double to_year)
{
    double sd1, sd2, sum = 0.0;
    double lift1 = drift_lift(d, from_year, &sd1), lift2 = drift_lift(d, to_year, &sd2);
    double follow =
        covariance(d, from_year - d->centre_year, to_year - d->centre_year) / sd1;
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
    double ahead = fmax(to_year - from_year, to_year - d->centre_year);
    double bent = bow_of(d, to_year - d->centre_year);
    double way =
        NORMAL_975 * sqrt(d->var_slope * ahead * ahead + d->var_bend * bent * bent);
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
