/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/levels.h"

#include <math.h>
#include <string.h>

#include "estimate/parts.h"
#include "estimate/prior.h"
#include "numeric/cholesky.h"

#define LEVEL_COUNT 6
/* Amplitude of the free terms as a share of the total lift, and what is thought of it
 * before any reading. */
static const double level_share[LEVEL_COUNT] = {2e-4, 8e-4, 2.5e-3, 7e-3, 2e-2, 5e-2};
static const double level_log_prior[LEVEL_COUNT] = {0.0, 0.0, 0.3, -0.2, -1.0, -2.5};

#define LEAST_LEVEL_WEIGHT 1e-4 /* pairs less likely than this are left out */

darc_levels darc_levels_freest(void)
{
    return (darc_levels){LEVEL_COUNT - 1, LEVEL_COUNT - 1};
}

void darc_levels_set(darc_fit *fit, double total_mm, darc_levels levels)
{
    darc_prior_terms(fit, total_mm, level_share[levels.rise], level_share[levels.fall]);
}

static double weigh_pair(darc_fit *fit, double log_likelihood, double total_mm,
                         darc_levels pair, double *step)
{
    darc_levels_set(fit, total_mm, pair);
    return darc_fit_evidence(fit, log_likelihood, step) + level_log_prior[pair.rise] +
           level_log_prior[pair.fall];
}

double darc_levels_choose(darc_fit *fit, double log_likelihood, double total_mm, bool all,
                          darc_levels *levels, double *best_step)
{
    double step[DARC_MAX_PARAM], best = -INFINITY;
    darc_levels from = *levels;
    int reach = all ? LEVEL_COUNT : 1;
    darc_prior_shape(fit);
    for (int flank = 0; flank < 2; flank++)
        for (int by = -reach; by <= reach; by++) {
            darc_levels trial = *levels;
            int *level = flank == 0 ? &trial.rise : &trial.fall;
            *level = (flank == 0 ? from.rise : from.fall) + by;
            if (*level < 0 || *level >= LEVEL_COUNT || (flank == 1 && by == 0))
                continue;
            double e = weigh_pair(fit, log_likelihood, total_mm, trial, step);
            if (e > best) {
                best = e;
                *levels = trial;
                memcpy(best_step, step, sizeof step);
            }
        }
    darc_levels_set(fit, total_mm, *levels);
    return best;
}

/* Splits the variance of the lift: what scatter alone would give were shape and
 * hysteresis known, and what the hysteresis adds. */
static void split_variance(const darc_fit *fit, const double *gradient,
                           darc_hypothesis *x)
{
    darc_parts parts = darc_parts_of(fit, gradient);
    x->var_dial = parts.dial;
    x->var_wheel = parts.wheel;
    darc_fit held =
        *fit; /* with the same arrays: nobody asks for its factor after this */
    darc_parts_hold(&held, DARC_RISE, held.model.first_turn);
    double with_hysteresis = darc_fit_variance(&held, gradient);
    darc_parts_hold(&held, DARC_HYST, DARC_HYST + 1);
    x->var_readings = darc_fit_variance(&held, gradient);
    x->var_hysteresis = fmax(with_hysteresis - x->var_readings, 0.0);
}

/* Adds what one pair of levels says, with weight w, to the sums of a hypothesis. */
static void add_pair(darc_fit *fit, const double *value,
                     double gradient[DARC_ASKED][DARC_MAX_PARAM], const double *step,
                     double w, darc_hypothesis *x)
{
    for (int q = 0; q < DARC_ASKED; q++) {
        double v = value[q];
        for (int k = 0; k < fit->model.n_param; k++)
            v += gradient[q][k] * step[k];
        x->mean[q] += w * v;
        x->second[q] += w * (v * v + darc_fit_variance(fit, gradient[q]));
    }
    for (int k = 0; k < fit->model.n_param; k++)
        x->param[k] += w * (fit->param[k] + step[k]);
}

bool darc_levels_average(darc_fit *fit, double log_likelihood, double total_mm,
                         darc_hypothesis *x)
{
    double value[DARC_ASKED], gradient[DARC_ASKED][DARC_MAX_PARAM];
    double step[DARC_MAX_PARAM], sum = 0.0, top = -INFINITY;
    double log_e[LEVEL_COUNT * LEVEL_COUNT];
    darc_fit_ask(fit, value, gradient);
    memset(x->mean, 0, sizeof x->mean);
    memset(x->second, 0, sizeof x->second);
    memset(x->param, 0, sizeof x->param);
    for (int j = 0; j < LEVEL_COUNT * LEVEL_COUNT; j++) {
        darc_levels pair = {j / LEVEL_COUNT, j % LEVEL_COUNT};
        log_e[j] = weigh_pair(fit, log_likelihood, total_mm, pair, step);
        top = fmax(top, log_e[j]);
    }
    if (top == -INFINITY)
        return false;
    for (int j = 0; j < LEVEL_COUNT * LEVEL_COUNT; j++) {
        double w = exp(log_e[j] - top);
        if (!(w > LEAST_LEVEL_WEIGHT))
            continue;
        darc_levels_set(fit, total_mm, (darc_levels){j / LEVEL_COUNT, j % LEVEL_COUNT});
        darc_fit_evidence(fit, log_likelihood, step);
        add_pair(fit, value, gradient, step, w, x);
        sum += w;
    }
    for (int q = 0; q < DARC_ASKED; q++) {
        x->mean[q] /= sum;
        x->second[q] /= sum;
    }
    for (int k = 0; k < fit->model.n_param; k++)
        x->param[k] /= sum;
    x->log_evidence = top + log(sum);
    split_variance(fit, gradient[DARC_ASK_LIFT], x);
    return true;
}
