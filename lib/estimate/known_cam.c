/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/known_cam.h"

#include <math.h>

#include "estimate/gauss_newton.h"
#include "estimate/parts.h"
#include "estimate/prior.h"
#include "estimate/slack_start.h"
#include "estimate/start.h"

static void give_cam(const darc_given_cam *cam, darc_model *m)
{
    m->rise_law = cam->law;
    m->fall_law = cam->fall_law;
    m->blend = cam->blend;
    m->rise_deg = cam->rise_deg;
    m->top_deg = cam->top_deg;
    m->base_deg = cam->base_deg;
    m->table = cam->table;
    m->table_low_mm = cam->table_low_mm;
    m->table_high_mm = cam->table_high_mm;
}

/* A law whose angles are known to a tolerance: they are parameters, near what is stated.
 */
static void free_segments(const darc_given_cam *cam, darc_fit *fit)
{
    if (!(cam->rise_sd_deg > 0.0))
        return;
    fit->model.learned = fit->model.law_stated = true;
    fit->param[DARC_RISE] = cam->rise_deg;
    fit->param[DARC_TOP] = cam->top_deg;
    fit->param[DARC_BASE] = cam->base_deg;
}

/* Splits the variance of the lift into what the readings' scatter gives and what is left
 * of the hysteresis, of which the lift takes its share by their covariance. */
static void split_variance(const darc_fit *fit, const double *lift_gradient,
                           darc_estimate *e)
{
    double hyst[DARC_MAX_PARAM] = {0.0}, shared = 0.0;
    darc_parts parts = darc_parts_of(fit, lift_gradient);
    e->var_dial = parts.dial;
    e->var_wheel = parts.wheel;
    e->var_cam = parts.segments;
    hyst[DARC_HYST] = 1.0;
    darc_fit_backsolve(fit, hyst);
    for (int k = 0; k < fit->model.n_param; k++)
        shared += hyst[k] * lift_gradient[k];
    e->var_hysteresis = shared * shared / hyst[DARC_HYST];
    e->var_hysteresis = fmin(e->var_hysteresis, parts.rest);
    e->var_readings = parts.rest - e->var_hysteresis;
}

void darc_fit_known_tell(const darc_fit *fit, const darc_given_cam *cam, darc_estimate *e)
{
    double gradient[DARC_ASKED][DARC_MAX_PARAM], step[DARC_MAX_PARAM];
    darc_fit_ask(fit, e->mean, gradient);
    for (int k = 0; k < DARC_ASKED; k++)
        e->var[k] = darc_fit_variance(fit, gradient[k]);
    split_variance(fit, gradient[DARC_ASK_LIFT], e);
    e->var_cam += cam->sd_mm * cam->sd_mm;
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++) {
        darc_lift lift;
        darc_model_lift(&fit->model, fit->param,
                        e->mean[DARC_ASK_RISE] * k / DIALARC_RISE_INTERVALS, &lift);
        e->rise_mm[k] = lift.mm;
    }
    e->law_probability = 1.0;
    e->log_evidence = darc_fit_evidence(fit, fit->log_likelihood, step);
    e->converged = fit->converged;
}

void darc_fit_known_begin(darc_fit *fit, const darc_problem *problem)
{
    darc_fit_begin(fit, problem);
    give_cam(&problem->cam, &fit->model);
    free_segments(&problem->cam, fit);
    darc_model_layout(&fit->model, &problem->record);
    darc_prior_basic(fit, problem);
}

void darc_fit_known(darc_fit *fit, darc_fit *spare, const darc_problem *problem,
                    darc_estimate *estimate)
{
    darc_fit_known_begin(fit, problem);
    darc_fit_start(fit, &problem->record);
    darc_fit_iterate(fit, &problem->record);
    darc_fit_slack(fit, spare, problem);
    darc_estimate_clear(estimate);
    estimate->law = problem->cam.law;
    if (fit->solved)
        darc_fit_known_tell(fit, &problem->cam, estimate);
}
