/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/minimum.h>

#include <float.h>
#include <math.h>
#include <stdbool.h>

#include "core/finite.h"
#include "numeric/leastsq.h"

#define DOUBTED 0.01 /* chance below which a parabola is no good over so wide a range */
#define TRUSTED 0.3  /* chance from which it is good again, once that was doubted */
/* Powers of the height by which a flank leaves its foot: from the fifth root to more than
 * the square root. Laws of cams rise by the second to the fourth power. */
#define POWERS       21
#define POWER_FIRST  0.2
#define POWER_STEP   0.02
#define MOST_BEYOND  60.0 /* in chi-square; less likely powers do not count */
#define LEAST_SD_DEG 1e-9
#define NARROW       0.9 /* by which the range then shrinks */

/* Readings as handed over, those of a range of angles that count, and the scale on which
 * polynomials are fitted. */
typedef struct curve {
    size_t all, n; /* readings, and those that count */
    const double *angle, *dial, *sd;
    double low, high;    /* the range */
    double centre, half; /* t = (angle - centre) / half, -1..1 or nearly so */
    double weight_sum;
    double largest; /* magnitude among the readings, mm */
} curve;

static bool counts(const curve *c, size_t i)
{
    return c->angle[i] >= c->low && c->angle[i] <= c->high;
}

static double weight(const curve *c, size_t i)
{
    return c->sd ? 1.0 / c->sd[i] : 1.0;
}

static dialarc_status check(size_t n, size_t least, const double *angle,
                            const double *dial, const double *sd)
{
    if (n && (!angle || !dial))
        return DIALARC_ERR_NULL;
    if (n < least + (sd == NULL))
        return DIALARC_ERR_SIZE;
    if (!darc_all_finite(n, angle) || !darc_all_finite(n, dial))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_all_within(n, angle) || !darc_all_within(n, dial))
        return DIALARC_ERR_RANGE;
    if (sd && !darc_all_finite(n, sd))
        return DIALARC_ERR_NOT_FINITE;
    for (size_t i = 0; sd && i < n; i++)
        if (!darc_positive(sd[i]))
            return DIALARC_ERR_SD;
    return DIALARC_OK;
}

/* The readings of a range. */
static void take_range(curve *c, double low, double high)
{
    double mean = 0.0;
    c->low = low;
    c->high = high;
    c->n = 0;
    c->weight_sum = c->half = c->largest = 0.0;
    for (size_t i = 0; i < c->all; i++) {
        if (!counts(c, i))
            continue;
        double w = weight(c, i) * weight(c, i);
        c->n++;
        c->weight_sum += w;
        mean += w / c->weight_sum * (c->angle[i] - mean);
    }
    c->centre = mean;
    for (size_t i = 0; i < c->all; i++) {
        if (!counts(c, i))
            continue;
        c->half = fmax(c->half, fabs(c->angle[i] - mean));
        c->largest = fmax(c->largest, fabs(c->dial[i]));
    }
}

static curve curve_of(size_t n, const double *angle, const double *dial, const double *sd)
{
    curve c = {.all = n, .angle = angle, .dial = dial, .sd = sd};
    take_range(&c, -DBL_MAX, DBL_MAX);
    return c;
}

/* Polynomial of p terms in t; covariance for the sd given, or for unit sd. */
static dialarc_status fit(const curve *c, size_t p, darc_lsq_result *result)
{
    darc_lsq problem;
    double power[DARC_LSQ_PARAM] = {1.0};
    if (!(c->half > 0.0))
        return DIALARC_ERR_NO_SOLUTION;
    darc_lsq_begin(&problem, p);
    for (size_t i = 0; i < c->all; i++) {
        if (!counts(c, i))
            continue;
        double t = (c->angle[i] - c->centre) / c->half;
        for (size_t k = 1; k < p; k++)
            power[k] = power[k - 1] * t;
        darc_lsq_add(&problem, power, c->dial[i], weight(c, i));
    }
    return darc_lsq_solve(&problem, result);
}

/* Coefficients per degree, and their covariance times `scale`. */
static void unscale(const curve *c, const darc_lsq_result *result, double scale,
                    dialarc_minimum *m)
{
    const double unit[] = {1.0, c->half, c->half * c->half};
    for (size_t i = 0; i < 3; i++) {
        m->coefficient[i] = result->param[i] / unit[i];
        for (size_t j = 0; j < 3; j++)
            m->covariance[i][j] = scale * result->covariance[i][j] / (unit[i] * unit[j]);
    }
}

static double sd_along(const dialarc_minimum *m, const double *g)
{
    double sum = 0.0;
    for (size_t i = 0; i < 3; i++)
        for (size_t j = 0; j < 3; j++)
            sum += g[i] * g[j] * m->covariance[i][j];
    return sum > 0.0 ? sqrt(sum) : 0.0;
}

static bool on_both_sides(const curve *c, double angle)
{
    bool before = false, after = false;
    for (size_t i = 0; i < c->all; i++) {
        before |= counts(c, i) && c->angle[i] < angle;
        after |= counts(c, i) && c->angle[i] > angle;
    }
    return before && after;
}

/* What a parabola leaves over, and a quartic does not, for the chance of as much. */
static dialarc_status doubt(const curve *c, double *probability)
{
    darc_lsq_result parabola, quartic;
    dialarc_status status = fit(c, 3, &parabola);
    if (status == DIALARC_OK)
        status = fit(c, 5, &quartic);
    if (status != DIALARC_OK)
        return status;
    double gain = fmax(parabola.rss - quartic.rss, 0.0);
    if (c->sd) /* with two degrees of freedom both tails have a closed form */
        *probability = exp(-0.5 * gain);
    else if (gain > 0.0)
        *probability = pow(1.0 + gain / quartic.rss, -0.5 * (double)(c->n - 5));
    else
        *probability = 1.0;
    return DIALARC_OK;
}

/* The parabola through the readings that count. */
static dialarc_status fit_parabola(const curve *c, dialarc_minimum *m)
{
    darc_lsq_result result;
    dialarc_status status = fit(c, 3, &result);
    if (status != DIALARC_OK)
        return status;
    /* Readings all alike leave a curvature that is nothing but rounding. */
    if (!(result.param[2] > 16.0 * DBL_EPSILON * c->largest))
        return DIALARC_ERR_NO_SOLUTION;
    double variance = c->n > 3 ? result.rss / (double)(c->n - 3) : 0.0;
    unscale(c, &result, c->sd ? 1.0 : variance, m);
    m->residual_sd_mm = sqrt(variance * (double)c->n / c->weight_sum);
    m->centre_deg = c->centre;
    double b = m->coefficient[1], k = m->coefficient[2], x = -b / (2.0 * k);
    const double by_angle[] = {0.0, -1.0 / (2.0 * k), b / (2.0 * k * k)};
    const double by_value[] = {1.0, x, x * x};
    m->angle_deg = c->centre + x;
    m->angle_sd_deg = sd_along(m, by_angle);
    m->value_mm = m->coefficient[0] + 0.5 * b * x;
    m->value_sd_mm = sd_along(m, by_value);
    m->bracketed = on_both_sides(c, m->angle_deg);
    return DIALARC_OK;
}

dialarc_status dialarc_minimum_fit(size_t n, const double *angle_deg,
                                   const double *dial_mm, const double *sd_mm,
                                   dialarc_minimum *minimum)
{
    dialarc_minimum m;
    if (!minimum)
        return DIALARC_ERR_NULL;
    dialarc_status status = check(n, 3, angle_deg, dial_mm, sd_mm);
    if (status != DIALARC_OK)
        return status;
    curve c = curve_of(n, angle_deg, dial_mm, sd_mm);
    const size_t testable = sd_mm ? 5 : 6;
    double least = DOUBTED, chance;
    status = fit_parabola(&c, &m);
    if (status != DIALARC_OK)
        return status;
    /* As long as there are enough to tell the shape by, and a minimum among them. */
    while (m.bracketed && c.n >= testable && doubt(&c, &chance) == DIALARC_OK &&
           chance < least) {
        double reach = 0.0;
        dialarc_minimum narrower;
        for (size_t i = 0; i < n; i++)
            if (counts(&c, i))
                reach = fmax(reach, fabs(angle_deg[i] - m.angle_deg));
        take_range(&c, fmax(c.low, m.angle_deg - NARROW * reach),
                   fmin(c.high, m.angle_deg + NARROW * reach));
        if (c.n < testable || fit_parabola(&c, &narrower) != DIALARC_OK)
            break; /* scatter hides the bottom: what was fitted last is all there is */
        m = narrower;
        least = TRUSTED;
    }
    *minimum = m;
    return DIALARC_OK;
}

dialarc_status dialarc_minimum_predict(const dialarc_minimum *minimum, double angle_deg,
                                       double *value_mm, double *sd_mm)
{
    if (!minimum || !value_mm || !sd_mm)
        return DIALARC_ERR_NULL;
    if (!isfinite(angle_deg) || !isfinite(minimum->centre_deg) ||
        !darc_all_finite(3, minimum->coefficient) ||
        !darc_all_finite(9, &minimum->covariance[0][0]))
        return DIALARC_ERR_NOT_FINITE;
    if (fabs(angle_deg) > DARC_LARGEST || fabs(minimum->centre_deg) > DARC_LARGEST ||
        !darc_all_within(3, minimum->coefficient) ||
        !darc_all_within(9, &minimum->covariance[0][0]))
        return DIALARC_ERR_RANGE;
    double t = angle_deg - minimum->centre_deg;
    const double g[] = {1.0, t, t * t};
    const double *k = minimum->coefficient;
    *value_mm = k[0] + t * (k[1] + t * k[2]);
    *sd_mm = sd_along(minimum, g);
    return DIALARC_OK;
}

dialarc_status dialarc_minimum_shape(size_t n, const double *angle_deg,
                                     const double *dial_mm, const double *sd_mm,
                                     double *probability)
{
    if (!probability)
        return DIALARC_ERR_NULL;
    dialarc_status status = check(n, 5, angle_deg, dial_mm, sd_mm);
    if (status != DIALARC_OK)
        return status;
    curve c = curve_of(n, angle_deg, dial_mm, sd_mm);
    return doubt(&c, probability);
}

static dialarc_status check_pairs(size_t n, const double *falling, const double *rising,
                                  const double *height, double angle_sd)
{
    if (n && (!falling || !rising))
        return DIALARC_ERR_NULL;
    if (!isfinite(angle_sd))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_not_negative(angle_sd))
        return DIALARC_ERR_SD;
    if (n < (size_t)1 + (height != NULL) + (angle_sd == 0.0))
        return DIALARC_ERR_SIZE;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(falling[i]) || !isfinite(rising[i]) ||
            (height && !isfinite(height[i])))
            return DIALARC_ERR_NOT_FINITE;
        if (fabs(falling[i]) > DARC_LARGEST || fabs(rising[i]) > DARC_LARGEST ||
            (height && height[i] > DARC_LARGEST))
            return DIALARC_ERR_RANGE;
        if (!(falling[i] < rising[i]))
            return DIALARC_ERR_ORDER;
        if (height && height[i] < 0.0)
            return DIALARC_ERR_LIFT;
    }
    return DIALARC_OK;
}

/* A flank under one power of the height: foot + way * height^power. */
typedef struct flank {
    double foot_deg, way_deg; /* from an origin; at height 1 */
    double var_foot, var_way; /* for angles of unit sd */
    double rss;
} flank;

static double power_of(int k)
{
    return POWER_FIRST + POWER_STEP * k;
}

static bool fit_flank(size_t n, const double *angle, const double *height, double origin,
                      double power, flank *f)
{
    darc_lsq problem;
    darc_lsq_result result;
    darc_lsq_begin(&problem, 2);
    for (size_t i = 0; i < n; i++) {
        const double row[] = {1.0, pow(height[i], power)};
        darc_lsq_add(&problem, row, angle[i] - origin, 1.0);
    }
    if (darc_lsq_solve(&problem, &result) != DIALARC_OK)
        return false;
    *f = (flank){result.param[0], result.param[1], result.covariance[0][0],
                 result.covariance[1][1], result.rss};
    return true;
}

/* A flank with its power averaged by likelihood; its way is that at height `at_mm`. */
static flank average_powers(const flank f[POWERS], double variance, double at_mm)
{
    double weight[POWERS], sum = 0.0;
    flank mean = {.rss = HUGE_VAL};
    for (int k = 0; k < POWERS; k++)
        mean.rss = fmin(mean.rss, f[k].rss);
    for (int k = 0; k < POWERS; k++) {
        double beyond = (f[k].rss - mean.rss) / variance;
        weight[k] = beyond < MOST_BEYOND ? exp(-0.5 * beyond) : 0.0;
        sum += weight[k];
        mean.foot_deg += weight[k] * f[k].foot_deg;
        mean.way_deg += weight[k] * f[k].way_deg * pow(at_mm, power_of(k));
    }
    mean.foot_deg /= sum;
    mean.way_deg /= sum;
    for (int k = 0; k < POWERS; k++) {
        double reach = pow(at_mm, power_of(k)), away = f[k].foot_deg - mean.foot_deg;
        double off = f[k].way_deg * reach - mean.way_deg;
        mean.var_foot += weight[k] / sum * (variance * f[k].var_foot + away * away);
        mean.var_way +=
            weight[k] / sum * (variance * f[k].var_way * reach * reach + off * off);
    }
    return mean;
}

/* Each flank followed down to height 0 by itself: they need not be alike. */
static dialarc_status follow_flanks(size_t n, const double *falling, const double *rising,
                                    const double *height, double angle_sd,
                                    dialarc_midpoints *m)
{
    flank f[POWERS], r[POWERS];
    double origin = falling[0], least_f = HUGE_VAL, least_r = HUGE_VAL, mean = 0.0;
    for (int k = 0; k < POWERS; k++) {
        if (!fit_flank(n, falling, height, origin, power_of(k), &f[k]) ||
            !fit_flank(n, rising, height, origin, power_of(k), &r[k]))
            return DIALARC_ERR_NO_SOLUTION;
        least_f = fmin(least_f, f[k].rss);
        least_r = fmin(least_r, r[k].rss);
    }
    for (size_t i = 0; i < n; i++)
        mean += height[i] / (double)n;
    double variance =
        angle_sd > 0.0 ? angle_sd * angle_sd : (least_f + least_r) / (double)(2 * n - 4);
    variance = fmax(variance, LEAST_SD_DEG * LEAST_SD_DEG);
    const flank down = average_powers(f, variance, mean);
    const flank up = average_powers(r, variance, mean);
    if (!(mean >= DARC_SMALLEST)) /* nothing was climbed */
        return DIALARC_ERR_NO_SOLUTION;
    *m = (dialarc_midpoints){.angle_deg = origin + 0.5 * (down.foot_deg + up.foot_deg),
                             .angle_sd_deg = 0.5 * sqrt(down.var_foot + up.var_foot),
                             .lean_deg_per_mm = 0.5 * (down.way_deg + up.way_deg) / mean,
                             .lean_sd_deg_per_mm =
                                 0.5 * sqrt(down.var_way + up.var_way) / mean};
    return DIALARC_OK;
}

dialarc_status dialarc_minimum_midpoints(size_t n, const double *falling_deg,
                                         const double *rising_deg,
                                         const double *height_mm, double angle_sd_deg,
                                         dialarc_midpoints *midpoints)
{
    if (!midpoints)
        return DIALARC_ERR_NULL;
    dialarc_status status =
        check_pairs(n, falling_deg, rising_deg, height_mm, angle_sd_deg);
    if (status != DIALARC_OK)
        return status;
    if (height_mm)
        return follow_flanks(n, falling_deg, rising_deg, height_mm, angle_sd_deg,
                             midpoints);
    double origin = falling_deg[0]; /* keeps the digits of angles far from 0 */
    double mean = 0.0, squares = 0.0;
    for (size_t i = 0; i < n; i++)
        mean += (0.5 * (falling_deg[i] - origin) + 0.5 * (rising_deg[i] - origin)) /
                (double)n;
    for (size_t i = 0; i < n; i++) {
        double away =
            0.5 * (falling_deg[i] - origin) + 0.5 * (rising_deg[i] - origin) - mean;
        squares += away * away;
    }
    double sd =
        angle_sd_deg > 0.0 ? angle_sd_deg / sqrt(2.0) : sqrt(squares / (double)(n - 1));
    *midpoints = (dialarc_midpoints){.angle_deg = origin + mean,
                                     .angle_sd_deg = sd / sqrt((double)n)};
    return DIALARC_OK;
}
