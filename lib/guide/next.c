/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "guide/next.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "assess/assess.h"
#include "core/normal.h"
#include "decision/advice.h"
#include "decision/decision.h"
#include "estimate/prior.h"
#include "guide/chance.h"
#include "guide/choose.h"
#include "guide/outlook.h"

/* Readings of the plan that is followed until a sweep can be used. */
#define PLAN       10
#define PLAN_LEARN 24

/* Lift that is thought of where there is no window; common practice, no source. */
#define USUAL_LIFT_MM 0.9

/* Patience: more readings than this many times those so far are not thought of, nor is
 * one that betters the uncertainty by less than a share of it, nor is it gone on for a
 * verdict that is so unlikely. */
#define MOST_TIMES      4.0
#define WORTH_A_READING 0.01
#define WORTH_TRYING    0.05

/* The readings so far with room for one more, each with its direction. */
typedef struct readings {
    size_t n;
    double *crank_deg, *dial_mm;
    dialarc_direction *direction;
    bool *sound; /* not misread, by the fit of them */
} readings;

static bool make_room(size_t n, readings *r)
{
    *r = (readings){.n = n};
    r->crank_deg = malloc((n + 1) * sizeof *r->crank_deg);
    r->dial_mm = malloc((n + 1) * sizeof *r->dial_mm);
    r->direction = malloc((n + 1) * sizeof *r->direction);
    r->sound = malloc((n + 1) * sizeof *r->sound);
    return r->crank_deg && r->dial_mm && r->direction && r->sound;
}

static void give_back(readings *r)
{
    free(r->crank_deg);
    free(r->dial_mm);
    free(r->direction);
    free(r->sound);
}

static void copy(const dialarc_sweep *sweep, readings *r)
{
    for (size_t i = 0; i < sweep->n; i++) {
        r->crank_deg[i] = sweep->crank_deg[i];
        r->dial_mm[i] = sweep->dial_mm[i];
        r->direction[i] = DIALARC_DIRECTION_WITH;
        r->sound[i] = true;
    }
}

/* What the record and its fit know of each reading. */
static void learn(const darc_record *record, const darc_fit *fit, bool fitted,
                  readings *r)
{
    for (int k = 0; k < record->passes; k++)
        for (size_t i = record->pass[k].begin; i < record->pass[k].end; i++) {
            size_t row = record->row[i];
            r->direction[row] = record->pass[k].direction > 0 ? DIALARC_DIRECTION_WITH
                                                              : DIALARC_DIRECTION_AGAINST;
            r->sound[row] = !fitted || darc_is_sound(&fit->at.pulls[i]);
        }
}

static bool has_reading(const readings *r, double crank_deg, dialarc_direction direction,
                        double within_deg)
{
    for (size_t i = 0; i < r->n; i++)
        if (r->direction[i] == direction && r->sound[i] &&
            fabs(remainder(r->crank_deg[i] - crank_deg, 360.0)) < within_deg)
            return true;
    return false;
}

static size_t planned(const dialarc_setup *setup)
{
    return dialarc_setup_cam_known(setup) ? PLAN : PLAN_LEARN;
}

/* The first reading of a plan that has not been taken; none when all have. */
static dialarc_status next_of_plan(darc_memory *memory, const dialarc_setup *setup,
                                   const dialarc_reach *reach, const readings *r,
                                   dialarc_next *next)
{
    double angle[PLAN_LEARN];
    size_t n = planned(setup), most = darc_reach_angles(reach, NULL);
    double middle = 0.5 * (setup->lift_low_mm + setup->lift_high_mm);
    if (most < DARC_CHOOSE_MIN)
        return DIALARC_ERR_SIZE;
    n = n < most ? n : most;
    dialarc_status status = darc_choose(
        memory, setup, isfinite(middle) ? middle : USUAL_LIFT_MM, reach, n, angle);
    if (status != DIALARC_OK)
        return status;
    dialarc_direction direction = DIALARC_DIRECTION_WITH;
    for (size_t k = 0; k < n; k++) {
        if (k > 0 && angle[k] < angle[k - 1])
            direction = DIALARC_DIRECTION_AGAINST;
        if (!has_reading(r, angle[k], direction, 0.5 * reach->step_crank_deg)) {
            next->prospect = DIALARC_PROSPECT_MORE;
            next->crank_deg = angle[k];
            next->direction = direction;
            return DIALARC_OK;
        }
    }
    next->prospect = DIALARC_PROSPECT_NEVER;
    next->advice = DIALARC_ADVICE_SEE_FINDINGS;
    return DIALARC_OK;
}

/* Variance of the lift at TDC by the readings in `r`, the model straight about `at`; NaN
 * when they leave something open. */
static double variance_with(darc_memory *memory, const dialarc_setup *setup,
                            const readings *r, const darc_fit *at)
{
    const dialarc_sweep sweep = {r->n, r->crank_deg, r->dial_mm, r->direction};
    double value[DARC_ASKED], gradient[DARC_ASKED][DARC_MAX_PARAM];
    darc_problem problem;
    darc_fit *fit = &memory->other;
    if (darc_memory_open(memory, setup, NULL, 0.0, &sweep, &problem) != DIALARC_OK)
        return DIALARC_UNKNOWN;
    darc_fit_follow(fit, at);
    darc_model_layout(&fit->model, &problem.record);
    darc_prior_turns(fit, &problem);
    for (int k = fit->model.first_turn; k < fit->model.n_param; k++)
        fit->param[k] = fit->prior.mean[k];
    if (fit->model.terms)
        darc_outlook_bends(fit);
    darc_model_rows(&fit->model, fit->param, &problem.record, fit->noise.angle_sd_deg,
                    fit->at.rows);
    darc_fit_clear_normal(fit);
    for (size_t i = 0; i < r->n; i++)
        if (r->sound[problem.record.row[i]])
            darc_fit_add_row(fit, fit->at.rows[i].by, 0.0,
                             darc_outlook_weight(&fit->noise, &fit->at.rows[i]));
    if (!darc_fit_factorise(fit, NULL))
        return DIALARC_UNKNOWN;
    darc_fit_ask(fit, value, gradient);
    return darc_fit_variance(fit, gradient[DARC_ASK_LIFT]);
}

/* The reading that lessens the variance most; returns the share of it that is left. */
static double best_reading(darc_memory *memory, const dialarc_setup *setup,
                           const dialarc_reach *reach, const darc_fit *at,
                           const double *angle, readings *r, dialarc_next *next)
{
    size_t candidates = darc_reach_angles(reach, NULL), n = r->n;
    size_t forward = darc_reach_forward(reach);
    double now = variance_with(memory, setup, r, at), least = now;
    for (size_t k = 0; k < candidates; k++) {
        dialarc_direction direction =
            k < forward ? DIALARC_DIRECTION_WITH : DIALARC_DIRECTION_AGAINST;
        r->n = n;
        if (has_reading(r, angle[k], direction, 0.5 * reach->step_crank_deg))
            continue;
        r->crank_deg[n] = angle[k];
        r->dial_mm[n] = 0.0; /* does not count: the weight alone does */
        r->direction[n] = direction;
        r->sound[n] = true;
        r->n = n + 1;
        double variance = variance_with(memory, setup, r, at);
        if (isless(variance, least)) {
            least = variance;
            next->crank_deg = angle[k];
            next->direction = direction;
        }
    }
    r->n = n;
    return least / now;
}

/* Chance of a verdict when what the readings leave open has become so much less; 1 when
 * there is no window. */
static double chance_later(const darc_known *known, const dialarc_timing *t)
{
    const dialarc_budget *b = &t->budget;
    double open = b->readings_mm * b->readings_mm;
    if (t->cam_learned)
        open += b->cam_mm * b->cam_mm;
    double won = open * (1.0 - 1.0 / MOST_TIMES), sd = b->total_mm;
    if (!known->has_window)
        return DIALARC_UNKNOWN;
    darc_chances c =
        darc_chances_of(known, t->lift_mm, sqrt(won), sqrt(fmax(sd * sd - won, 0.0)));
    return c.in + c.low + c.high;
}

/* What to do where no reading helps: what the decision says, unless that is to read. */
static dialarc_advice instead(const darc_known *known, const dialarc_timing *t,
                              const dialarc_decision *d)
{
    darc_doubt doubt = darc_doubt_of(known, t);
    if (d->advice != DIALARC_ADVICE_READ_AGAIN)
        return d->advice;
    doubt.readings_mm = 0.0;
    return darc_weakest(&doubt);
}

/* Of a sweep that can be used. */
static void judge(const darc_known *known, const dialarc_timing *t,
                  const dialarc_decision *d, double left, bool few, dialarc_next *next)
{
    double tdc = t->budget.tdc_mm, u = t->budget.total_mm;
    double open = fmax(u * u - tdc * tdc, 0.0);
    next->lift_mm = t->lift_mm;
    next->lift_u_mm = t->lift_u_mm;
    next->lift_u_next_mm = DARC_NORMAL_975 * sqrt(fmax(u * u - open * (1.0 - left), 0.0));
    next->chance_verdict = chance_later(known, t);
    bool sure = d->verdict == DIALARC_VERDICT_IN || d->verdict == DIALARC_VERDICT_LOW ||
                d->verdict == DIALARC_VERDICT_HIGH;
    if (sure ||
        (!known->has_window &&
         isgreater(next->lift_u_next_mm, (1.0 - WORTH_A_READING) * t->lift_u_mm))) {
        next->prospect = DIALARC_PROSPECT_ENOUGH;
        next->advice = d->advice;
    } else if (known->has_window && !few && next->chance_verdict < WORTH_TRYING) {
        next->prospect = DIALARC_PROSPECT_NEVER;
        next->advice = instead(known, t, d);
    }
    if (isnan(next->crank_deg) && next->prospect == DIALARC_PROSPECT_MORE) {
        next->prospect = DIALARC_PROSPECT_NEVER; /* all has been read */
        next->advice = instead(known, t, d);
    }
    if (next->prospect != DIALARC_PROSPECT_MORE) {
        next->crank_deg = next->lift_u_next_mm = DIALARC_UNKNOWN;
        next->direction = DIALARC_DIRECTION_UNKNOWN;
    }
}

/* The readings so far, assessed; then the next one. */
static dialarc_status look(darc_memory *memory, const dialarc_setup *setup,
                           const dialarc_sweep *sweep, const dialarc_reach *reach,
                           double *angle, readings *r, dialarc_next *next)
{
    darc_problem problem;
    dialarc_timing timing;
    dialarc_decision decision;
    copy(sweep, r);
    dialarc_status status = darc_memory_open(memory, setup, NULL, 0.0, sweep, &problem);
    if (status != DIALARC_OK)
        return status;
    dialarc_status converged = darc_assess_timing(&problem, memory, NULL, &timing);
    darc_decide(&problem.known, &timing, &decision);
    bool usable = decision.verdict != DIALARC_VERDICT_UNUSABLE;
    learn(&problem.record, &memory->fit, usable, r);
    if (!usable)
        status = next_of_plan(memory, setup, reach, r, next);
    if (usable) {
        const darc_fit at = memory->fit; /* its arrays are not asked for */
        darc_reach_angles(reach, angle);
        double left = best_reading(memory, setup, reach, &at, angle, r, next);
        judge(&problem.known, &timing, &decision, left, r->n < planned(setup), next);
    }
    return status == DIALARC_OK ? converged : status;
}

dialarc_status darc_next(darc_memory *memory, const dialarc_setup *setup,
                         const dialarc_sweep *sweep, const dialarc_reach *reach,
                         dialarc_next *next)
{
    dialarc_next x = {.prospect = DIALARC_PROSPECT_MORE,
                      .crank_deg = DIALARC_UNKNOWN,
                      .direction = DIALARC_DIRECTION_UNKNOWN,
                      .lift_mm = DIALARC_UNKNOWN,
                      .lift_u_mm = DIALARC_UNKNOWN,
                      .lift_u_next_mm = DIALARC_UNKNOWN,
                      .chance_verdict = DIALARC_UNKNOWN,
                      .advice = DIALARC_ADVICE_NONE};
    readings r;
    double *angle = malloc(darc_reach_angles(reach, NULL) * sizeof *angle);
    dialarc_status status = darc_memory_reserve(memory, sweep->n + 1);
    if (!make_room(sweep->n, &r) || !angle)
        status = DIALARC_ERR_NO_MEMORY;
    if (status == DIALARC_OK)
        status = look(memory, setup, sweep, reach, angle, &r, &x);
    if (status >= DIALARC_OK)
        *next = x;
    give_back(&r);
    free(angle);
    return status;
}
