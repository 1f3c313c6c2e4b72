/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/design.h>

#include <math.h>
#include <stdlib.h>

#include "assess/workspace.h"
#include "core/normal.h"
#include "decision/advice.h"
#include "decision/decision.h"
#include "guide/chance.h"
#include "guide/choose.h"
#include "guide/expect.h"
#include "guide/next.h"
#include "record/sweep.h"

const char *dialarc_prospect_name(dialarc_prospect prospect)
{
    switch (prospect) {
    case DIALARC_PROSPECT_MORE:
        return "more";
    case DIALARC_PROSPECT_ENOUGH:
        return "enough";
    case DIALARC_PROSPECT_NEVER:
        return "never";
    }
    return "unknown";
}

/* ---- what is to be expected ----------------------------------------------------- */

/* What can be said of the window. */
static void add_window(const darc_known *known, dialarc_expectation *x)
{
    const dialarc_budget *b = &x->budget;
    double u = b->total_mm;
    const darc_best_case best = {sqrt(fmax(u * u - b->tdc_mm * b->tdc_mm, 0.0)), 0.0,
                                 x->rate_mm_per_crank_deg};
    dialarc_decision decision;
    darc_decision_clear(&decision, DIALARC_VERDICT_NONE);
    x->narrowest_window_mm = 2.0 * DARC_NORMAL_9875 * u;
    if (!known->has_window)
        return;
    double middle = 0.5 * (known->low_mm + known->high_mm);
    x->chance_in = darc_chances_of(known, middle, u, u).in;
    x->chance_verdict = darc_chance_within(known, x->lift_mm, DARC_LIFT_AWAY_MM, u);
    darc_decision_tdc(known, &best, DARC_SURE, &decision);
    x->tdc_sd_needed_deg = decision.tdc_sd_needed_deg;
}

static dialarc_advice weakest(const dialarc_budget *b)
{
    const darc_doubt doubt = {.readings_mm = hypot(b->readings_mm, b->hysteresis_mm),
                              .tdc_mm = b->tdc_mm,
                              .cam_mm = b->cam_mm,
                              .dial_mm = b->dial_mm,
                              .wheel_mm = b->wheel_mm};
    return darc_weakest(&doubt);
}

static void tell(const darc_known *known, const darc_expected *e, double worst_mm,
                 dialarc_expectation *x)
{
    x->budget = e->budget;
    x->lift_u_mm = DARC_NORMAL_975 * e->budget.total_mm;
    x->lift_u_worst_mm = worst_mm;
    x->rate_mm_per_crank_deg = e->rate;
    x->usable = e->usable;
    x->findings = e->findings;
    x->tdc_sd_deg = known->noise.tdc_sd_deg;
    x->chance_in = x->chance_verdict = DIALARC_UNKNOWN;
    x->narrowest_window_mm = x->tdc_sd_needed_deg = DIALARC_UNKNOWN;
    x->weakest = DIALARC_ADVICE_SEE_FINDINGS;
    if (e->usable > 0.0) {
        x->weakest = weakest(&e->budget);
        add_window(known, x);
    }
}

/* The lift thought of, and those on either side that the cam has. */
static dialarc_status expect(darc_memory *memory, const dialarc_setup *setup,
                             double lift_mm, size_t n, const double *crank_deg,
                             double *room, dialarc_expectation *x)
{
    darc_expected e, aside;
    dialarc_status status = darc_expect(memory, setup, lift_mm, n, crank_deg, room, &e);
    if (status != DIALARC_OK)
        return status;
    double worst = DARC_NORMAL_975 * e.budget.total_mm;
    for (int side = -1; side <= 1; side += 2) {
        status = darc_expect(memory, setup, lift_mm + side * DARC_LIFT_AWAY_MM, n,
                             crank_deg, room, &aside);
        if (status == DIALARC_OK)
            worst = fmax(worst, DARC_NORMAL_975 * aside.budget.total_mm);
        else if (status != DIALARC_ERR_LIFT)
            return status;
    }
    const darc_known known = darc_known_of(setup);
    x->lift_mm = lift_mm;
    tell(&known, &e, worst, x);
    return DIALARC_OK;
}

dialarc_status dialarc_design_expect(dialarc_workspace *workspace,
                                     const dialarc_setup *setup, double lift_mm, size_t n,
                                     const double *crank_deg,
                                     dialarc_expectation *expectation)
{
    if (!workspace || !setup || !crank_deg || !expectation)
        return DIALARC_ERR_NULL;
    const dialarc_sweep angles = {n, crank_deg, crank_deg, NULL};
    dialarc_status status = n == 0 ? DIALARC_ERR_SIZE : darc_sweep_check(&angles);
    if (status == DIALARC_OK && !isfinite(lift_mm))
        status = DIALARC_ERR_NOT_FINITE;
    if (status != DIALARC_OK)
        return status;
    dialarc_expectation x = {.usable = 0.0};
    double *room = malloc(n * sizeof *room);
    status = DIALARC_ERR_NO_MEMORY;
    if (room)
        status = expect(&workspace->memory, setup, lift_mm, n, crank_deg, room, &x);
    if (status == DIALARC_OK)
        *expectation = x;
    free(room);
    return status;
}

/* ---- which to take -------------------------------------------------------------- */

dialarc_status dialarc_design_choose(dialarc_workspace *workspace,
                                     const dialarc_setup *setup, double lift_mm,
                                     const dialarc_reach *reach, size_t n,
                                     double *plan_crank_deg)
{
    if (!workspace || !setup || !reach || !plan_crank_deg)
        return DIALARC_ERR_NULL;
    if (!isfinite(lift_mm))
        return DIALARC_ERR_NOT_FINITE;
    dialarc_status status = dialarc_setup_check(setup);
    if (status == DIALARC_OK)
        status = darc_reach_check(reach, setup);
    if (status != DIALARC_OK)
        return status;
    if (n < DARC_CHOOSE_MIN || n > DIALARC_CHOOSE_MAX ||
        n > darc_reach_angles(reach, NULL))
        return DIALARC_ERR_SIZE;
    return darc_choose(&workspace->memory, setup, lift_mm, reach, n, plan_crank_deg);
}

dialarc_status dialarc_design_next(dialarc_workspace *workspace,
                                   const dialarc_setup *setup, const dialarc_sweep *sweep,
                                   const dialarc_reach *reach, dialarc_next *next)
{
    if (!workspace || !setup || !sweep || !reach || !next)
        return DIALARC_ERR_NULL;
    dialarc_status status = dialarc_setup_check(setup);
    if (status == DIALARC_OK)
        status = darc_sweep_check(sweep);
    if (status == DIALARC_OK)
        status = darc_reach_check(reach, setup);
    return status != DIALARC_OK
               ? status
               : darc_next(&workspace->memory, setup, sweep, reach, next);
}
