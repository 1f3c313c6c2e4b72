/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/look.h"

#include "estimate/gauss_newton.h"
#include "estimate/levels.h"
#include "estimate/prior.h"
#include "estimate/start.h"

/* A start for a cam of any shape. */
static void begin(darc_fit *fit, const darc_problem *problem)
{
    darc_fit_begin(fit, problem);
    fit->model.learned = true;
    fit->model.terms = DARC_SHAPE_TERMS;
    darc_model_layout(&fit->model, &problem->record);
    darc_prior_basic(fit, problem);
    darc_fit_start(fit, &problem->record);
    darc_levels_set(fit, fit->param[DARC_LIFT], darc_levels_freest());
}

void darc_fit_look(darc_fit *fit, const darc_problem *problem)
{
    begin(fit, problem);
    darc_fit_iterate(fit, &problem->record);
}

void darc_fit_look_from_afar(darc_fit *fit, const darc_problem *problem)
{
    begin(fit, problem);
    darc_fit_approach(fit, &problem->record);
}
