/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/learn.h"

#include <math.h>

#include "cam/law.h"
#include "estimate/levels.h"
#include "estimate/look.h"
#include "estimate/prior.h"
#include "estimate/slack_start.h"
#include "numeric/cholesky.h"

/* The seven laws, and the constant rate with other blends, each of which counts half. */
#define BLEND_LOG_PRIOR (-0.7)
const darc_candidate darc_candidates[DARC_CANDIDATES] = {
    {DIALARC_LAW_MODIFIED_SINE, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_HARMONIC, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_POLY345, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_MODIFIED_TRAPEZOID, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_CONSTANT_RATE, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_CYCLOIDAL, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_POLY4567, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_CONSTANT_RATE, 0.10, BLEND_LOG_PRIOR},
    {DIALARC_LAW_CONSTANT_RATE, 0.14, BLEND_LOG_PRIOR},
    {DIALARC_LAW_CONSTANT_RATE, 0.19, BLEND_LOG_PRIOR},
    {DIALARC_LAW_CONSTANT_RATE, 0.31, BLEND_LOG_PRIOR},
    {DIALARC_LAW_CONSTANT_RATE, 0.37, BLEND_LOG_PRIOR},
    {DIALARC_LAW_CONSTANT_RATE, 0.44, BLEND_LOG_PRIOR},
};

/* Where the lift hides in the scatter, no reading tells one foot from another: the sd of
 * the foot that the laws tried leave out, over the angle in which it does. By simulation
 * with cams of and outside the laws. */
#define HIDDEN_SHARE 0.33

#define GRID           48
#define LINEARISATIONS 12
#define LEAST_GAIN     2e-2 /* in log probability that is worth another step */
#define PATIENCE       1
#define LEFT_BEHIND    20.0 /* in log evidence after that many steps */

/* Normal equations of a hypothesis at its present parameters, for the readings as the
 * look has weighed them; returns the log likelihood there. */
static double linearise(const darc_fit *look, const darc_record *record, darc_fit *fit)
{
    double log_likelihood = 0.0;
    darc_model_rows(&fit->model, fit->param, record, fit->noise.angle_sd_deg,
                    fit->at.rows);
    for (size_t i = 0; i < record->n; i++) {
        const darc_pull *p = &look->at.pulls[i];
        double d = fit->at.rows[i].mean - look->at.rows[i].mean;
        log_likelihood += d * (p->g - 0.5 * p->w * d);
        fit->at.pulls[i].g = p->g - p->w * d;
        fit->at.pulls[i].w = p->w;
    }
    darc_fit_accumulate(fit, record->n);
    return log_likelihood;
}

/* Half the penalty that the prior now set puts on the parameters. */
static double prior_cost(const darc_fit *fit)
{
    double sum = 0.0;
    for (int k = 0; k < fit->model.n_param; k++) {
        double away = fit->prior.mean[k] - fit->param[k];
        sum += fit->prior.weight[k] * away * away;
    }
    return 0.5 * sum;
}

/* What a whole step promises, in log probability. */
static double promised(const darc_fit *fit, const double *step)
{
    double slope[DARC_MAX_PARAM], gain = 0.0;
    darc_fit_slope(fit, slope);
    for (int k = 0; k < fit->model.n_param; k++)
        gain += 0.5 * step[k] * slope[k];
    return gain;
}

static void move(darc_fit *fit, const double *step, double share)
{
    for (int k = 0; k < fit->model.n_param; k++)
        fit->param[k] += share * step[k];
}

/* Brings a hypothesis to its solution under its likeliest pair of levels. Gives up, with
 * -INFINITY, on one that is going to be much less likely than `rival`. */
static double settle(const darc_fit *look, const darc_record *record, double rival,
                     darc_fit *fit)
{
    double step[DARC_MAX_PARAM], total_mm = look->param[DARC_LIFT];
    double log_likelihood = linearise(look, record, fit);
    darc_levels levels = darc_levels_freest();
    for (int it = 0; it < LINEARISATIONS; it++) {
        double promise =
            darc_levels_choose(fit, log_likelihood, total_mm, it == 0, &levels, step);
        if (promise == -INFINITY || (it >= PATIENCE && promise < rival - LEFT_BEHIND))
            return -INFINITY;
        double before = log_likelihood - prior_cost(fit), share = 1.0;
        if (promised(fit, step) < LEAST_GAIN)
            break;
        move(fit, step, 1.0);
        log_likelihood = linearise(look, record, fit);
        while (!(log_likelihood - prior_cost(fit) > before - LEAST_GAIN) &&
               share > 0.05) {
            share *= 0.5;
            move(fit, step, -share);
            log_likelihood = linearise(look, record, fit);
        }
    }
    return log_likelihood;
}

/* Free terms that bend a law into the one on which the readings were looked at:
 * least squares on an even grid, so that every hypothesis starts from the same curve. */
static void start_terms(const darc_fit *look, const darc_candidate *c, darc_fit *fit)
{
    double gram[DARC_SHAPE_TERMS][DARC_SHAPE_TERMS] = {{0.0}};
    double factor[DARC_SHAPE_TERMS][DARC_SHAPE_TERMS], ridge[DARC_SHAPE_TERMS];
    double v[DARC_SHAPE_TERMS] = {0.0};
    for (int j = 1; j < GRID; j++) {
        double u = (double)j / GRID, f[DARC_SHAPE_TERMS];
        darc_model_terms(DARC_SHAPE_TERMS, u, f);
        double gap = darc_law(look->model.rise_law, look->model.blend, u).s -
                     darc_law(c->law, c->blend, u).s;
        for (int k = 0; k < DARC_SHAPE_TERMS; k++) {
            v[k] += gap * f[k];
            for (int l = 0; l <= k; l++)
                gram[l][k] += f[k] * f[l];
        }
    }
    for (int k = 0; k < DARC_SHAPE_TERMS; k++)
        ridge[k] = 1e-6;
    darc_cholesky(DARC_SHAPE_TERMS, DARC_SHAPE_TERMS, gram[0], ridge, factor[0], NULL);
    darc_cholesky_solve(DARC_SHAPE_TERMS, DARC_SHAPE_TERMS, factor[0], v);
    double total = look->param[DARC_LIFT];
    for (int k = 0; k < DARC_SHAPE_TERMS; k++) {
        fit->param[DARC_TERMS + k] += total * v[k];
        fit->param[DARC_TERMS + DARC_SHAPE_TERMS + k] -= total * v[k];
    }
}

/* Crank angle in which the lift climbs out of the scatter of one reading: none when even
 * the foot is beyond it, the whole rise when nothing is. */
static double climb_crank_deg(const darc_estimate *estimate, const darc_model *model,
                              const darc_noise *noise)
{
    const double *lift = estimate->rise_mm;
    double level = darc_reading_sd(noise);
    int k = 0;
    while (k <= DIALARC_RISE_INTERVALS && !(lift[k] > level))
        k++;
    double steps = fmin(k, DIALARC_RISE_INTERVALS);
    if (k > 0 && k <= DIALARC_RISE_INTERVALS)
        steps = k - 1 + (level - lift[k - 1]) / (lift[k] - lift[k - 1]);
    return model->crank_per_pump * estimate->mean[DARC_ASK_RISE] * steps /
           DIALARC_RISE_INTERVALS;
}

/* Brings every law of the list to its solution, one after the other in `trial`. */
static void try_laws(const darc_fit *look, const darc_record *record, darc_fit *trial,
                     darc_learned *learned)
{
    double rival = -INFINITY;
    for (int k = 0; k < DARC_CANDIDATES; k++) {
        const darc_candidate *c = &darc_candidates[k];
        darc_hypothesis *x = &learned->hypothesis[learned->count];
        darc_fit_follow(trial, look);
        trial->model.rise_law = trial->model.fall_law = x->law = c->law;
        trial->model.blend = x->blend = c->blend;
        start_terms(look, c, trial);
        double log_likelihood = settle(look, record, rival, trial);
        if (log_likelihood == -INFINITY ||
            !darc_levels_average(trial, log_likelihood, look->param[DARC_LIFT], x))
            continue;
        x->log_evidence += c->log_prior;
        rival = fmax(rival, x->log_evidence);
        learned->count++;
    }
}

void darc_fit_learn(darc_fit *fit, darc_fit *spare, const darc_problem *problem,
                    darc_estimate *estimate)
{
    darc_fit_look(fit, problem);
    darc_fit_slack(fit, spare, problem);
    darc_learned *learned = fit->at.learned;
    darc_estimate_clear(estimate);
    if (!fit->solved)
        return;
    learned->model = fit->model;
    try_laws(fit, &problem->record, spare, learned);
    if (learned->count == 0)
        return;
    darc_learned_average(learned, estimate);
    estimate->log_evidence += fit->log_likelihood; /* about which the rest is counted */
    learned->foot_deg = estimate->mean[DARC_ASK_FOOT];
    darc_learned_lifts(learned, estimate->mean[DARC_ASK_RISE] / DIALARC_RISE_INTERVALS,
                       DIALARC_RISE_INTERVALS + 1, estimate->rise_mm);
    double hidden = HIDDEN_SHARE * climb_crank_deg(estimate, &fit->model, &fit->noise);
    estimate->var[DARC_ASK_FOOT] += hidden * hidden;
    estimate->converged = fit->converged;
}

void darc_learned_open(const darc_fit *fit, const darc_record *record, darc_fit *about)
{
    const darc_hypothesis *best = darc_learned_best(fit->at.learned);
    darc_fit_follow(about, fit);
    darc_learned_take(fit->at.learned, &about->model, about->param);
    linearise(fit, record, about);
    darc_prior_shape(about);
    darc_levels_set(about, fit->param[DARC_LIFT],
                    (darc_levels){best->rise_level, best->fall_level});
}
