/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/look.h"

#include "estimate/gauss_newton.h"
#include "estimate/prior.h"
#include "estimate/start.h"

#define FLEXIBLE_SHARE 5e-2 /* the freest level at which a cam is learned */

/* How much smaller a free term is thought to be than the first: k^1.5. */
static const double decay[DARC_SHAPE_TERMS] = {1.0,
                                               2.8284271247461903,
                                               5.196152422706632,
                                               8.0,
                                               11.180339887498949,
                                               14.696938456699069,
                                               18.520259177452136,
                                               22.627416997969522,
                                               27.0,
                                               31.622776601683793};

static double term_weight(double total_mm, double share, int term)
{
    double sd = total_mm * share / decay[term];
    return 1.0 / (sd * sd);
}

void darc_prior_terms(darc_fit *fit, double total_mm, double rise_share,
                      double fall_share)
{
    double *rise = fit->prior.weight + DARC_TERMS, *fall = rise + fit->model.terms;
    for (int k = 0; k < fit->model.terms; k++) {
        rise[k] = term_weight(total_mm, rise_share, k);
        fall[k] = term_weight(total_mm, fall_share, k);
    }
}

void darc_fit_look(darc_fit *fit, const darc_problem *problem)
{
    darc_fit_begin(fit, problem);
    fit->model.learned = true;
    fit->model.terms = DARC_SHAPE_TERMS;
    darc_model_layout(&fit->model, &problem->record);
    darc_prior_basic(fit, problem);
    darc_fit_start(fit, &problem->record);
    darc_prior_terms(fit, fit->param[DARC_LIFT], FLEXIBLE_SHARE, FLEXIBLE_SHARE);
    darc_fit_iterate(fit, &problem->record);
}
