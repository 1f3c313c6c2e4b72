/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cam/law.h"
#include "numeric/cholesky.h"
#include "numeric/normal_equations.h"

#define FIRST_MISREAD 0.05 /* share of misread readings that a fit begins with */

bool darc_fit_reserve(darc_fit *fit, size_t n)
{
    darc_fit_memory *m = &fit->at;
    *m = (darc_fit_memory){.rows = malloc(n * sizeof *m->rows),
                           .pulls = malloc(n * sizeof *m->pulls),
                           .normal = malloc(sizeof *m->normal),
                           .factor = malloc(sizeof *m->factor),
                           .apart = malloc(sizeof *m->apart),
                           .learned = malloc(sizeof *m->learned)};
    if (m->rows && m->pulls && m->normal && m->factor && m->apart && m->learned) {
        m->learned->count = 0;
        return true;
    }
    darc_fit_release(fit);
    return false;
}

void darc_fit_release(darc_fit *fit)
{
    darc_fit_memory *m = &fit->at;
    free(m->rows);
    free(m->pulls);
    free(m->normal);
    free(m->factor);
    free(m->apart);
    free(m->learned);
    *m = (darc_fit_memory){NULL, NULL, NULL, NULL, NULL, NULL};
}

void darc_fit_begin(darc_fit *fit, const darc_problem *problem)
{
    darc_fit_memory kept = fit->at;
    memset(fit, 0, sizeof *fit);
    fit->at = kept;
    fit->at.learned->count = 0;
    fit->noise = problem->noise;
    fit->misread_share = FIRST_MISREAD;
    fit->model.pitch_deg = 360.0 / problem->known.lobes;
    fit->model.crank_per_pump = problem->known.crank_per_pump;
    fit->model.blend = DARC_DEFAULT_BLEND;
    fit->model.dial_terms = problem->instruments.travel_sd > 0.0;
    fit->model.wheel_terms = problem->instruments.wheel_sd_deg > 0.0;
    fit->model.dial_turn_mm = problem->noise.turn_mm;
    fit->model.wheel_zero_deg = -problem->counted_from_deg;
}

void darc_fit_follow(darc_fit *to, const darc_fit *from)
{
    darc_fit_memory kept = to->at;
    *to = *from;
    to->at = kept;
}

void darc_fit_swap(darc_fit *a, darc_fit *b)
{
    darc_fit was = *a;
    *a = *b;
    *b = was;
}

void darc_fit_clear_normal(darc_fit *fit)
{
    darc_normal_clear(fit->model.n_param, DARC_MAX_PARAM, **fit->at.normal, fit->pull);
}

void darc_fit_add_row(darc_fit *fit, const double *by, double g, double w)
{
    darc_normal_add(fit->model.n_param, DARC_MAX_PARAM, by, g, w, **fit->at.normal,
                    fit->pull);
}

void darc_fit_accumulate(darc_fit *fit, size_t n)
{
    const darc_row *row = fit->at.rows;
    const darc_pull *p = fit->at.pulls;
    darc_fit_clear_normal(fit);
    size_t i = 0;
    for (; i + 4 <= n; i += 4) {
        const double *by[] = {row[i].by, row[i + 1].by, row[i + 2].by, row[i + 3].by};
        const double g[] = {p[i].g, p[i + 1].g, p[i + 2].g, p[i + 3].g};
        const double w[] = {p[i].w, p[i + 1].w, p[i + 2].w, p[i + 3].w};
        darc_normal_add_four(fit->model.n_param, DARC_MAX_PARAM, by, g, w,
                             **fit->at.normal, fit->pull);
    }
    for (; i < n; i++)
        darc_fit_add_row(fit, row[i].by, p[i].g, p[i].w);
}

darc_system darc_fit_system(const darc_fit *fit, double *slope)
{
    darc_fit_slope(fit, slope);
    return (darc_system){fit->model.n_param, DARC_MAX_PARAM, **fit->at.normal,
                         fit->prior.weight,  slope,          **fit->at.factor};
}

bool darc_fit_factorise(const darc_fit *fit, double *log_det)
{
    return darc_cholesky(fit->model.n_param, DARC_MAX_PARAM, **fit->at.normal,
                         fit->prior.weight, **fit->at.factor, log_det);
}

void darc_fit_backsolve(const darc_fit *fit, double *v)
{
    darc_cholesky_solve(fit->model.n_param, DARC_MAX_PARAM, **fit->at.factor, v);
}

double darc_fit_log_prior(const darc_fit *fit, int from, int to)
{
    double sum = 0.0;
    for (int k = from; k < to; k++) {
        double away = fit->prior.mean[k] - fit->param[k], w = fit->prior.weight[k];
        if (w > 0.0)
            sum += log(w) - w * away * away;
    }
    return 0.5 * sum;
}

double darc_fit_evidence(const darc_fit *fit, double log_likelihood, double *step)
{
    double slope[DARC_MAX_PARAM], log_det, gain = 0.0;
    int n = fit->model.n_param;
    if (!darc_fit_factorise(fit, &log_det))
        return -INFINITY;
    darc_fit_slope(fit, slope);
    memcpy(step, slope, (size_t)n * sizeof step[0]);
    darc_fit_backsolve(fit, step);
    for (int k = 0; k < n; k++)
        gain += slope[k] * step[k];
    return log_likelihood + darc_fit_log_prior(fit, 0, n) + 0.5 * (gain - log_det);
}

double darc_fit_variance(const darc_fit *fit, const double *gradient)
{
    double v[DARC_MAX_PARAM], sum = 0.0;
    int n = fit->model.n_param;
    memcpy(v, gradient, (size_t)n * sizeof v[0]);
    darc_cholesky_forward(n, DARC_MAX_PARAM, **fit->at.factor, v);
    for (int k = 0; k < n; k++)
        sum += v[k] * v[k];
    return sum;
}

void darc_fit_slope(const darc_fit *fit, double *slope)
{
    for (int k = 0; k < fit->model.n_param; k++)
        slope[k] =
            fit->pull[k] + fit->prior.weight[k] * (fit->prior.mean[k] - fit->param[k]);
}

void darc_fit_ask(const darc_fit *fit, double value[DARC_ASKED],
                  double gradient[DARC_ASKED][DARC_MAX_PARAM])
{
    const darc_model *m = &fit->model;
    double ratio = m->crank_per_pump, pitch = m->pitch_deg * ratio;
    double foot = fit->param[DARC_FOOT];
    darc_lift lift;
    darc_model_lift(m, fit->param, -foot / ratio, &lift);
    memset(gradient, 0, DARC_ASKED * sizeof gradient[0]);
    double *g = gradient[DARC_ASK_LIFT];
    g[DARC_FOOT] = -lift.per_deg / ratio;
    g[DARC_LIFT] = lift.by_lift;
    if (m->learned) {
        g[DARC_RISE] = lift.by_rise;
        g[DARC_TOP] = lift.by_top;
        g[DARC_BASE] = lift.by_base;
        memcpy(g + DARC_TERMS, lift.term, 2 * (size_t)m->terms * sizeof g[0]);
        gradient[DARC_ASK_RISE][DARC_RISE] = 1.0;
    }
    gradient[DARC_ASK_ZERO][DARC_ZERO] = 1.0;
    gradient[DARC_ASK_FOOT][DARC_FOOT] = 1.0;
    gradient[DARC_ASK_SLACK][DARC_SLACK] = 1.0;
    gradient[DARC_ASK_HYST][DARC_HYST] = 1.0;
    gradient[DARC_ASK_TOTAL][DARC_LIFT] = 1.0;
    value[DARC_ASK_LIFT] = lift.mm;
    value[DARC_ASK_ZERO] = fit->param[DARC_ZERO];
    value[DARC_ASK_FOOT] = foot - pitch * ceil(foot / pitch);
    value[DARC_ASK_SLACK] = fit->param[DARC_SLACK];
    value[DARC_ASK_HYST] = fit->param[DARC_HYST];
    value[DARC_ASK_RATE] = lift.per_deg / ratio;
    value[DARC_ASK_TOTAL] = fit->param[DARC_LIFT];
    value[DARC_ASK_RISE] = m->learned ? fit->param[DARC_RISE] : m->rise_deg;
}
