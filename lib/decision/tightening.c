/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "decision/tightening.h"

#include <math.h>

#include <gsl/gsl_cdf.h>

#include "core/normal.h"
#include "numeric/minimiser.h"

#define LOG_NEGLIGIBLE (-14.0) /* log of the weight of a node left out of a forecast */
#define SAME           1e-9    /* difference of two chances that no one would notice */

/* Integral of the normal distribution function. */
static double integral(double z)
{
    return z * gsl_cdf_ugaussian_P(z) + darc_normal_density(z);
}

/* Probability of a lift below x. */
static double below(const darc_belief *b, double x)
{
    double away = x - b->mean_mm, half = 0.5 * b->width_mm;
    if (b->sd_mm > 0.0)
        return b->sd_mm / b->width_mm *
               (integral((away + half) / b->sd_mm) - integral((away - half) / b->sd_mm));
    return fmin(fmax((away + half) / b->width_mm, 0.0), 1.0);
}

dialarc_conformity darc_belief_split(const darc_belief *belief, double low, double high)
{
    dialarc_conformity c;
    double width = belief->width_mm, sd = belief->sd_mm;
    if (width <= sd) { /* too little to bend the normal distribution */
        sd = sqrt(sd * sd + width * width / 12.0);
        dialarc_conformity_split(belief->mean_mm, sd, low, high, &c);
        return c;
    }
    const darc_belief mirrored = {-belief->mean_mm, sd, width};
    c.below = below(belief, low);
    c.above = below(&mirrored, -high);
    c.inside = fmax(1.0 - c.below - c.above, 0.0);
    return c;
}

double darc_belief_expanded(const darc_belief *belief)
{
    double width = belief->width_mm, sd = belief->sd_mm;
    if (width <= sd)
        return DARC_NORMAL_975 * sqrt(sd * sd + width * width / 12.0);
    const darc_belief about_zero = {0.0, sd, width};
    double low = 0.0, high = 0.5 * width + DARC_NORMAL_975 * sd;
    for (;;) {
        double middle = 0.5 * (low + high);
        if (!(middle > low && middle < high))
            return high;
        if (below(&about_zero, -middle) > 0.025)
            low = middle;
        else
            high = middle;
    }
}

void darc_shift_begin(darc_shift *shift)
{
    const double scale = DARC_SHIFT_SCATTER_MM * DARC_SHIFT_SCATTER_MM;
    const double growth = exp(2.0 * DARC_SHIFT_NODE_LOG_STEP);
    double variance = DARC_SHIFT_NODE_FIRST_MM * DARC_SHIFT_NODE_FIRST_MM;
    shift->pairs = 0;
    for (size_t k = 0; k < DARC_SHIFT_NODES; k++) {
        double log_sd = DARC_SHIFT_NODE_LOG_STEP * (double)k;
        shift->node[k].variance = variance;
        shift->node[k].log_prior =
            -DARC_SHIFT_SCATTER_DOF * (log_sd + 0.5 * scale / variance);
        shift->node[k].weight = shift->node[k].weighted = 0.0;
        shift->node[k].squares = shift->node[k].log_det = 0.0;
        variance *= growth;
    }
}

void darc_shift_learn(darc_shift *shift, double moved_mm, double error_variance)
{
    for (size_t k = 0; k < DARC_SHIFT_NODES; k++) {
        double variance = shift->node[k].variance + error_variance;
        shift->node[k].weight += 1.0 / variance;
        shift->node[k].weighted += moved_mm / variance;
        shift->node[k].squares += moved_mm * moved_mm / variance;
        shift->node[k].log_det += log(variance);
    }
    shift->pairs++;
}

void darc_shift_forecast(const darc_shift *shift, darc_forecast *forecast)
{
    const double prior = 1.0 / (DARC_SHIFT_MEAN_SD_MM * DARC_SHIFT_MEAN_SD_MM);
    double log_weight[DARC_SHIFT_NODES], best = -HUGE_VAL, sum = 0.0, mean = 0.0,
                                         sq = 0.0;
    for (size_t k = 0; k < DARC_SHIFT_NODES; k++) {
        double precision = prior + shift->node[k].weight, b = shift->node[k].weighted;
        log_weight[k] = shift->node[k].log_prior;
        if (shift->pairs)
            log_weight[k] -= 0.5 * (shift->node[k].log_det + log(precision) +
                                    shift->node[k].squares - b * b / precision);
        best = fmax(best, log_weight[k]);
    }
    forecast->n = 0;
    for (size_t k = 0; k < DARC_SHIFT_NODES; k++) {
        if (log_weight[k] < best + LOG_NEGLIGIBLE)
            continue;
        double weight = exp(log_weight[k] - best);
        double precision = prior + shift->node[k].weight;
        double m = shift->node[k].weighted / precision;
        double variance = shift->node[k].variance + 1.0 / precision;
        forecast->weight[forecast->n] = weight;
        forecast->mean_mm[forecast->n] = m;
        forecast->sd_mm[forecast->n++] = sqrt(variance);
        sum += weight;
        mean += weight * m;
        sq += weight * (variance + m * m);
    }
    for (size_t k = 0; k < forecast->n; k++)
        forecast->weight[k] /= sum;
    forecast->shift_mm = mean / sum;
    forecast->shift_sd_mm = sqrt(sq / sum - forecast->shift_mm * forecast->shift_mm);
}

dialarc_conformity darc_forecast_split(const darc_forecast *forecast,
                                       const darc_belief *loose, double low, double high)
{
    dialarc_conformity all = {0.0, 0.0, 0.0};
    for (size_t k = 0; k < forecast->n; k++) {
        double sd = forecast->sd_mm[k];
        const darc_belief tight = {loose->mean_mm + forecast->mean_mm[k],
                                   sqrt(loose->sd_mm * loose->sd_mm + sd * sd),
                                   loose->width_mm};
        dialarc_conformity one = darc_belief_split(&tight, low, high);
        all.below += forecast->weight[k] * one.below;
        all.inside += forecast->weight[k] * one.inside;
        all.above += forecast->weight[k] * one.above;
    }
    return all;
}

static double chance(const darc_forecast *forecast, const darc_belief *error, double aim,
                     double low, double high)
{
    const darc_belief loose = {aim + error->mean_mm, error->sd_mm, error->width_mm};
    return darc_forecast_split(forecast, &loose, low, high).inside;
}

/* What a search for the best reading needs. */
typedef struct search {
    const darc_forecast *forecast;
    const darc_belief *error;
    double low, high;
} search;

static double less_chance(double aim, const void *context)
{
    const search *s = context;
    return -chance(s->forecast, s->error, aim, s->low, s->high);
}

void darc_forecast_aim(const darc_forecast *forecast, const darc_belief *error,
                       double low, double high, double *aim_mm, double *probability)
{
    double centre = 0.5 * (low + high) - error->mean_mm;
    double least = forecast->mean_mm[0], most = least;
    for (size_t k = 1; k < forecast->n; k++) {
        least = fmin(least, forecast->mean_mm[k]);
        most = fmax(most, forecast->mean_mm[k]);
    }
    *aim_mm = centre - forecast->shift_mm;
    *probability = chance(forecast, error, *aim_mm, low, high);
    if (!(most > least))
        return;
    /* Each part of the mixture is best at the centre less its mean and falls off on both
     * sides, so the best of all lies between the outermost. In a wide window many
     * readings are as good; then the one that centres is the one to name. */
    search s = {forecast, error, low, high};
    double aim = darc_minimum(less_chance, &s, centre - most, centre - least, 1e-7);
    double p = chance(forecast, error, aim, low, high);
    if (p > *probability + SAME) {
        *aim_mm = aim;
        *probability = p;
    }
}
