/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "decision/tightening.h"

#include <math.h>
#include <stdbool.h>

#include <gsl/gsl_cdf.h>

#include "core/normal.h"
#include "numeric/minimiser.h"

#define LOG_NEGLIGIBLE (-14.0) /* log of the weight of a node left out of a forecast */
#define LOG_NOTHING    (-600.0)

/* Chances of the ways before any pair, of the sd of a shift about a mean that wanders.
 * Common practice, no source. */
#define STEADY          0.3
#define DRAWN_ANEW      0.42
#define TURNED_ABOUT    0.14
#define WANDERING       0.14
#define WANDERING_SD_MM 0.003
#define SAME            1e-9 /* difference of two chances that no one would notice */
#define RULED_OUT       0.12 /* weight below which shifts are not drawn anew */
#define MOST_GUARD      0.25 /* of the window, on either side */

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

/* A way to think of the shifts: an inverse gamma prior of the sd that the grid is over,
 * and what becomes of the mean from one shift to the next. */
typedef struct way {
    double chance, mean_sd_mm, sign, apart_mm;
    bool wanders; /* the grid is over the steps of the mean */
} way;

static const way ways[DARC_SHIFT_WAYS] = {
    {STEADY, DARC_SHIFT_MEAN_SD_MM, 1.0, 0.0, false},
    {DRAWN_ANEW, 0.0, 1.0, DARC_SHIFT_ANEW_MM, false},
    {TURNED_ABOUT, DARC_SHIFT_MEAN_SD_MM, -1.0, 0.0, false},
    {WANDERING, DARC_SHIFT_MEAN_SD_MM, 1.0, 0.0, true},
};

/* Puts a way on the grid; its weights add up to its chance. */
static void begin(darc_shift *shift, size_t first, const way *w)
{
    const double scale = DARC_SHIFT_SCATTER_MM * DARC_SHIFT_SCATTER_MM;
    double sum = 0.0;
    for (size_t k = 0; k < DARC_SHIFT_SDS; k++) {
        double sd = DARC_SHIFT_NODE_FIRST_MM * exp(DARC_SHIFT_NODE_LOG_STEP * (double)k);
        double log_weight = -DARC_SHIFT_SCATTER_DOF *
                            (log(sd / DARC_SHIFT_SCATTER_MM) + 0.5 * scale / (sd * sd));
        shift->node[first + k].log_weight = log_weight;
        shift->node[first + k].variance =
            w->wanders ? WANDERING_SD_MM * WANDERING_SD_MM : sd * sd;
        shift->node[first + k].step_variance = w->wanders ? sd * sd : 0.0;
        shift->node[first + k].sign = w->sign;
        shift->node[first + k].apart = w->apart_mm;
        shift->node[first + k].mean = 0.0;
        shift->node[first + k].mean_variance = w->mean_sd_mm * w->mean_sd_mm;
        sum += exp(fmax(log_weight, LOG_NOTHING));
    }
    for (size_t k = 0; k < DARC_SHIFT_SDS; k++)
        shift->node[first + k].log_weight += log(w->chance / sum);
}

void darc_shift_begin(darc_shift *shift)
{
    shift->pairs = 0;
    for (size_t k = 0; k < DARC_SHIFT_WAYS; k++)
        begin(shift, k * DARC_SHIFT_SDS, &ways[k]);
}

void darc_shift_learn(darc_shift *shift, double moved_mm, double error_variance)
{
    for (int k = 0; k < DARC_SHIFT_NODES; k++) {
        double known = shift->node[k].mean_variance;
        double variance = known + shift->node[k].variance + error_variance;
        double away = moved_mm - shift->node[k].mean, gain = known / variance;
        double apart = shift->node[k].apart, far = fabs(away) - apart;
        shift->node[k].log_weight -=
            0.5 * (log(variance) + far * far / variance) -
            log(0.5 + 0.5 * exp(-2.0 * fabs(away) * apart / variance)); /* or the other */
        shift->node[k].mean += gain * away;
        shift->node[k].mean *= shift->node[k].sign;
        shift->node[k].mean_variance =
            known * (1.0 - gain) + shift->node[k].step_variance;
    }
    shift->pairs++;
}

void darc_shift_forecast(const darc_shift *shift, darc_forecast *forecast)
{
    double best = -HUGE_VAL, sum = 0.0, mean = 0.0, sq = 0.0;
    for (int k = 0; k < DARC_SHIFT_NODES; k++)
        best = fmax(best, shift->node[k].log_weight);
    forecast->n = forecast->anew = forecast->anew_end = 0;
    for (int k = 0; k < DARC_SHIFT_NODES; k++) {
        if (shift->node[k].log_weight < best + LOG_NEGLIGIBLE)
            continue;
        double weight = exp(shift->node[k].log_weight - best);
        double variance = shift->node[k].variance + shift->node[k].mean_variance;
        double apart = shift->node[k].apart;
        for (double sign = apart > 0.0 ? -1.0 : 1.0; sign <= 1.0; sign += 2.0) {
            double m = shift->node[k].mean + sign * apart;
            double part = apart > 0.0 ? 0.5 * weight : weight;
            if (apart > 0.0 && forecast->anew_end == 0)
                forecast->anew = forecast->n;
            forecast->weight[forecast->n] = part;
            forecast->mean_mm[forecast->n] = m;
            forecast->sd_mm[forecast->n++] = sqrt(variance);
            if (apart > 0.0)
                forecast->anew_end = forecast->n;
            sum += part;
            mean += part * m;
            sq += part * (variance + m * m);
        }
    }
    for (size_t k = 0; k < forecast->n; k++)
        forecast->weight[k] /= sum;
    forecast->shift_mm = mean / sum;
    forecast->shift_sd_mm = sqrt(sq / sum - forecast->shift_mm * forecast->shift_mm);
}

/* By some of the parts of a forecast; each chance times their weight. */
static dialarc_conformity split_parts(const darc_forecast *forecast, size_t from,
                                      size_t to, const darc_belief *loose, double low,
                                      double high)
{
    dialarc_conformity all = {0.0, 0.0, 0.0};
    for (size_t k = from; k < to; k++) {
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

dialarc_conformity darc_forecast_split(const darc_forecast *forecast,
                                       const darc_belief *loose, double low, double high)
{
    return split_parts(forecast, 0, forecast->n, loose, low, high);
}

static double chance(const darc_forecast *forecast, const darc_belief *error, double aim,
                     double low, double high)
{
    const darc_belief loose = {aim + error->mean_mm, error->sd_mm, error->width_mm};
    return darc_forecast_split(forecast, &loose, low, high).inside;
}

/* The chance to end inside, no more than where shifts are drawn anew unless the pairs
 * have ruled that out. */
static double told_chance(const darc_forecast *forecast, const darc_belief *error,
                          double aim, double low, double high)
{
    const darc_belief loose = {aim + error->mean_mm, error->sd_mm, error->width_mm};
    double all = chance(forecast, error, aim, low, high), weight = 0.0;
    for (size_t k = forecast->anew; k < forecast->anew_end; k++)
        weight += forecast->weight[k];
    if (weight < RULED_OUT)
        return all;
    dialarc_conformity anew =
        split_parts(forecast, forecast->anew, forecast->anew_end, &loose, low, high);
    return fmin(all, anew.inside / weight);
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
                       double guard_mm, double low, double high, double *aim_mm,
                       double *probability)
{
    double guard = fmin(guard_mm, MOST_GUARD * (high - low));
    double centre = 0.5 * (low + high) - error->mean_mm;
    double least = forecast->mean_mm[0], most = least;
    for (size_t k = 1; k < forecast->n; k++) {
        least = fmin(least, forecast->mean_mm[k]);
        most = fmax(most, forecast->mean_mm[k]);
    }
    *aim_mm = centre - forecast->shift_mm;
    if (most > least) {
        /* Each part of the mixture is best at the centre less its mean and falls off on
         * both sides, so the best of all lies between the outermost. In a wide window
         * many readings are as good; then the one that centres is the one to name. */
        search s = {forecast, error, low + guard, high - guard};
        double aim = darc_minimum(less_chance, &s, centre - most, centre - least, 1e-7);
        if (less_chance(aim, &s) < less_chance(*aim_mm, &s) - SAME)
            *aim_mm = aim;
    }
    *probability = guard > 0.0 ? told_chance(forecast, error, *aim_mm, low, high)
                               : chance(forecast, error, *aim_mm, low, high);
}
