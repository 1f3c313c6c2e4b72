/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/levels.h"

#include <math.h>
#include <string.h>

#include "estimate/parts.h"
#include "estimate/prior.h"

/* Amplitude of the free terms as a share of the total lift, and what is thought of it
 * before any reading. */
static const double level_share[DARC_LEVELS] = {2e-4, 8e-4, 2.5e-3, 7e-3, 2e-2, 5e-2};
static const double level_log_prior[DARC_LEVELS] = {0.0, 0.0, 0.3, -0.2, -1.0, -2.5};

#define LEAST_LEVEL_WEIGHT 1e-4 /* pairs less likely than this are left out */

enum { RISE, FALL, FLANKS };

/* Pairs of levels, weighed about the parameters of a fit. */
typedef struct scale {
    darc_fit *fit;
    double total_mm;
    double log_evidence; /* what is the same for all pairs */
    bool apart;          /* the flanks do not meet: fit->at.apart is used */
    bool singular[FLANKS][DARC_LEVELS], taken[FLANKS][DARC_LEVELS];
    double log_prior[FLANKS][DARC_LEVELS];
    double step[DARC_MAX_PARAM]; /* of the pair last weighed, when they meet */
} scale;

darc_levels darc_levels_freest(void)
{
    return (darc_levels){DARC_LEVELS - 1, DARC_LEVELS - 1};
}

void darc_levels_set(darc_fit *fit, double total_mm, darc_levels levels)
{
    darc_prior_terms(fit, total_mm, level_share[levels.rise], level_share[levels.fall]);
}

static void open_scale(darc_fit *fit, double log_likelihood, double total_mm, scale *s)
{
    double slope[DARC_MAX_PARAM];
    *s = (scale){.fit = fit, .total_mm = total_mm, .log_evidence = log_likelihood};
    darc_system system = darc_fit_system(fit, slope);
    s->apart = darc_head_open(&system, &fit->at.apart->head);
    if (s->apart)
        s->log_evidence +=
            darc_fit_log_prior(fit, 0, DARC_TERMS) +
            darc_fit_log_prior(fit, fit->model.first_dial, fit->model.n_param);
}

/* A flank under one level, eliminated when it is first asked for; NULL when singular. */
static const darc_flank *flank_at(scale *s, int flank, int level)
{
    darc_flank *f = &s->fit->at.apart->flank[flank][level];
    if (!s->taken[flank][level]) {
        double slope[DARC_MAX_PARAM];
        int first = DARC_TERMS + flank * DARC_SHAPE_TERMS;
        darc_levels_set(s->fit, s->total_mm, (darc_levels){level, level});
        darc_system system = darc_fit_system(s->fit, slope);
        s->singular[flank][level] =
            !darc_flank_take(&system, &s->fit->at.apart->head, first, f);
        s->log_prior[flank][level] =
            level_log_prior[level] +
            darc_fit_log_prior(s->fit, first, first + DARC_SHAPE_TERMS);
        s->taken[flank][level] = true;
    }
    return s->singular[flank][level] ? NULL : f;
}

/* Log evidence of a pair, of which step and variances can be asked for until another is
 * weighed. */
static double weigh_pair(scale *s, darc_levels pair)
{
    if (!s->apart) {
        darc_levels_set(s->fit, s->total_mm, pair);
        return darc_fit_evidence(s->fit, s->log_evidence, s->step) +
               level_log_prior[pair.rise] + level_log_prior[pair.fall];
    }
    const darc_flank *rise = flank_at(s, RISE, pair.rise);
    const darc_flank *fall = flank_at(s, FALL, pair.fall);
    if (!rise || !fall)
        return -INFINITY;
    return s->log_evidence + s->log_prior[RISE][pair.rise] +
           s->log_prior[FALL][pair.fall] +
           darc_head_take(&s->fit->at.apart->head, rise, fall);
}

static void step_of_pair(const scale *s, double *step)
{
    if (s->apart)
        darc_head_step(&s->fit->at.apart->head, step);
    else
        memcpy(step, s->step, sizeof s->step);
}

static double variance_of_pair(const scale *s, const double *gradient)
{
    return s->apart ? darc_head_variance(&s->fit->at.apart->head, gradient)
                    : darc_fit_variance(s->fit, gradient);
}

double darc_levels_choose(darc_fit *fit, double log_likelihood, double total_mm, bool all,
                          darc_levels *levels, double *step)
{
    double best = -INFINITY;
    darc_levels from = *levels;
    int reach = all ? DARC_LEVELS : 1;
    scale s;
    darc_prior_shape(fit);
    open_scale(fit, log_likelihood, total_mm, &s);
    for (int flank = 0; flank < FLANKS; flank++)
        for (int by = -reach; by <= reach; by++) {
            darc_levels trial = *levels;
            int *level = flank == RISE ? &trial.rise : &trial.fall;
            *level = (flank == RISE ? from.rise : from.fall) + by;
            if (*level < 0 || *level >= DARC_LEVELS || (flank == FALL && by == 0))
                continue;
            double e = weigh_pair(&s, trial);
            if (e > best) {
                best = e;
                *levels = trial;
                step_of_pair(&s, step);
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

/* Adds what the pair last weighed says, with weight w, to the sums of a hypothesis. */
static void add_pair(const scale *s, const double *value,
                     double gradient[DARC_ASKED][DARC_MAX_PARAM], double w,
                     darc_hypothesis *x)
{
    double step[DARC_MAX_PARAM];
    int n = s->fit->model.n_param;
    step_of_pair(s, step);
    for (int q = 0; q < DARC_ASKED; q++) {
        double v = value[q];
        for (int k = 0; k < n; k++)
            v += gradient[q][k] * step[k];
        x->mean[q] += w * v;
        x->second[q] += w * (v * v + variance_of_pair(s, gradient[q]));
    }
    for (int k = 0; k < n; k++)
        x->param[k] += w * (s->fit->param[k] + step[k]);
}

bool darc_levels_average(darc_fit *fit, double log_likelihood, double total_mm,
                         darc_hypothesis *x)
{
    double value[DARC_ASKED], gradient[DARC_ASKED][DARC_MAX_PARAM];
    double sum = 0.0, top = -INFINITY, log_e[DARC_LEVELS][DARC_LEVELS];
    darc_levels pair, last = {0, 0};
    scale s;
    open_scale(fit, log_likelihood, total_mm, &s);
    darc_fit_ask(fit, value, gradient);
    memset(x->mean, 0, sizeof x->mean);
    memset(x->second, 0, sizeof x->second);
    memset(x->param, 0, sizeof x->param);
    for (pair.rise = 0; pair.rise < DARC_LEVELS; pair.rise++)
        for (pair.fall = 0; pair.fall < DARC_LEVELS; pair.fall++) {
            log_e[pair.rise][pair.fall] = weigh_pair(&s, pair);
            if (isgreater(log_e[pair.rise][pair.fall], top)) {
                top = log_e[pair.rise][pair.fall];
                x->rise_level = pair.rise;
                x->fall_level = pair.fall;
            }
        }
    if (top == -INFINITY)
        return false;
    for (pair.rise = 0; pair.rise < DARC_LEVELS; pair.rise++)
        for (pair.fall = 0; pair.fall < DARC_LEVELS; pair.fall++) {
            double w = exp(log_e[pair.rise][pair.fall] - top);
            if (!(w > LEAST_LEVEL_WEIGHT))
                continue;
            weigh_pair(&s, pair);
            add_pair(&s, value, gradient, w, x);
            sum += w;
            last = pair;
        }
    for (int q = 0; q < DARC_ASKED; q++) {
        x->mean[q] /= sum;
        x->second[q] /= sum;
    }
    for (int k = 0; k < fit->model.n_param; k++)
        x->param[k] /= sum;
    x->log_evidence = top + log(sum);
    darc_levels_set(fit, total_mm, last);
    darc_fit_factorise(fit, NULL);
    split_variance(fit, gradient[DARC_ASK_LIFT], x);
    return true;
}
