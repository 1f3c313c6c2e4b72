/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/turn_fit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "estimate/prior.h"
#include "estimate/step.h"
#include "numeric/cholesky.h"
#include "numeric/normal_equations.h"

#define FIRST_ERROR 0.05 /* of the total lift: errors that the start may have */

/* Steps in standard deviations of what is asked for. Where the run-out nearly stands
 * still on a dwell the model has a kink, across which steps go to and fro: they are
 * shortened, and two that moved nothing by more than a hundredth end the search. */
#define NARROWING     0.25
#define SHORTENING    0.92
#define AT_REST       0.01
#define NEARLY_RESTED 0.02
#define LONGEST_STEP  1.0

/* Weak priors, about no error at all: shares of the lobe pitch and of the total lift. */
#define TIMING_SD_SHARE  0.1
#define LOBE_SD_SHARE    0.2
#define RUN_OUT_SD_SHARE 0.1

_Static_assert(DARC_LOBES_PARAM <= DARC_NORMAL_MAX, "room for all unknowns");

bool darc_turn_fit_reserve(darc_turn_fit *fit)
{
    fit->normal = malloc(sizeof *fit->normal);
    fit->factor = malloc(sizeof *fit->factor);
    if (fit->normal && fit->factor)
        return true;
    darc_turn_fit_release(fit);
    return false;
}

void darc_turn_fit_release(darc_turn_fit *fit)
{
    free(fit->normal);
    free(fit->factor);
    fit->normal = fit->factor = NULL;
}

void darc_turn_fit_backsolve(const darc_turn_fit *fit, double *v)
{
    darc_cholesky_solve(fit->n_param, DARC_LOBES_PARAM, **fit->factor, v);
}

/* Readings on their way into the normal equations. */
typedef struct batch {
    double by[4][DARC_LOBES_PARAM], g[4], w[4];
    int count;
} batch;

static void add_batch(darc_turn_fit *fit, batch *b)
{
    const double *const by[] = {b->by[0], b->by[1], b->by[2], b->by[3]};
    if (b->count == 4)
        darc_normal_add_four(fit->n_param, DARC_LOBES_PARAM, by, b->g, b->w,
                             **fit->normal, fit->pull);
    for (int i = 0; i < b->count && b->count < 4; i++)
        darc_normal_add(fit->n_param, DARC_LOBES_PARAM, by[i], b->g[i], b->w[i],
                        **fit->normal, fit->pull);
    b->count = 0;
}

static void add_row(darc_turn_fit *fit, const darc_lobes_row *row, const darc_pull *p,
                    batch *b)
{
    double *by = b->by[b->count], *own = by + fit->n_common;
    memcpy(by, row->common, (size_t)fit->n_common * sizeof by[0]);
    memset(own, 0, (size_t)(fit->n_param - fit->n_common) * sizeof own[0]);
    own[0] = row->by_cos;
    own[1] = row->by_sin;
    if (row->lobe) {
        own[darc_lobes_timing(row->lobe)] = row->by_timing;
        own[darc_lobes_lift(fit->model.lobes, row->lobe)] = row->by_lift;
    }
    b->g[b->count] = p->g;
    b->w[b->count] = p->w;
    if (++b->count == 4)
        add_batch(fit, b);
}

/* Weights and normal equations at the present parameters, with readings that are
 * `widen_mm` blunter; returns the mean misread probability. */
static double gather(darc_turn_fit *fit, const darc_record *record, double widen_mm)
{
    const darc_noise *e = &fit->common->noise;
    darc_lobes_walk walk;
    darc_lobes_row row;
    batch b = {.count = 0};
    double misread = 0.0;
    darc_normal_clear(fit->n_param, DARC_LOBES_PARAM, **fit->normal, fit->pull);
    memset(fit->sound, 0, sizeof fit->sound);
    fit->score2 = 0.0;
    darc_lobes_find_turns(&fit->model);
    darc_lobes_begin(&fit->model, record, e->angle_sd_deg, &walk);
    for (size_t i = 0; i < record->n; i++) {
        darc_pull *p = &fit->common->at.pulls[i];
        darc_lobes_next(&walk, i, &row);
        fit->expected_mm[i] = row.mean;
        *p = darc_reading_pull(e, fit->common->misread_share, record->lift_mm[i],
                               row.mean, darc_pull_sd(e, row.slope, widen_mm));
        add_row(fit, &row, p, &b);
        fit->sound[row.lobe] += p->sound;
        fit->score2 += p->sound * p->score2;
        misread += 1.0 - p->sound;
    }
    add_batch(fit, &b);
    return misread / (double)record->n;
}

/* Weights of the prior of all parameters, and the slope of the log posterior. */
static void join_priors(darc_turn_fit *fit, double *weight, double *slope)
{
    int common = fit->n_common, own = fit->n_param - common;
    if (fit->common->model.learned)
        darc_prior_shape(fit->common);
    memcpy(weight, fit->common->prior.weight, (size_t)common * sizeof weight[0]);
    memcpy(weight + common, fit->own_weight, (size_t)own * sizeof weight[0]);
    for (int k = 0; k < fit->n_param; k++) {
        double away = k < common ? fit->common->prior.mean[k] - fit->common->param[k]
                                 : -fit->own[k - common];
        slope[k] = fit->pull[k] + weight[k] * away;
    }
}

/* Longest change of timing, lift or run-out in a step, in its standard deviations. */
static double own_length(const darc_turn_fit *fit, const double *step)
{
    double longest = 0.0;
    for (int k = fit->n_common; k < fit->n_param; k++) {
        double unit[DARC_LOBES_PARAM] = {0.0};
        unit[k] = 1.0;
        darc_turn_fit_backsolve(fit, unit);
        longest = fmax(longest, fabs(step[k]) / sqrt(unit[k]));
    }
    return longest;
}

/* Takes a share of one step; returns the length of the whole, or below 0 when singular.
 */
static double take_step(darc_turn_fit *fit, darc_descent *last)
{
    double weight[DARC_LOBES_PARAM], slope[DARC_LOBES_PARAM], limit[DARC_LOBES_PARAM],
        move[DARC_LOBES_PARAM];
    const darc_model *cam = fit->model.cam;
    int n = fit->n_param, common = fit->n_common;
    join_priors(fit, weight, slope);
    darc_step_limits(cam, fit->model.common[DARC_LIFT], n, limit);
    for (int k = 1; k < fit->model.lobes; k++)
        limit[common + darc_lobes_timing(k)] = limit[DARC_FOOT];
    darc_system system = {n,     DARC_LOBES_PARAM, **fit->normal, weight,
                          slope, **fit->factor};
    if (darc_descent_step(last, &system, limit, move) < 0.0)
        return -1.0;
    for (int k = 0; k < common; k++)
        fit->common->param[k] += move[k];
    for (int k = common; k < n; k++)
        fit->own[k - common] += move[k];
    return own_length(fit, last->step);
}

static void begin(darc_turn_fit *fit, darc_fit *common, int lobes, double *expected_mm)
{
    double pitch = common->model.pitch_deg * common->model.crank_per_pump;
    double total = common->param[DARC_LIFT];
    double timing = TIMING_SD_SHARE * pitch, lift = LOBE_SD_SHARE * total,
           run_out = RUN_OUT_SD_SHARE * total;
    fit->common = common;
    fit->expected_mm = expected_mm;
    memset(fit->own, 0, sizeof fit->own);
    common->param[DARC_FOOT] -= pitch * ceil(common->param[DARC_FOOT] / pitch);
    fit->model = (darc_lobes_model){
        .cam = &common->model, .common = common->param, .own = fit->own, .lobes = lobes};
    fit->n_common = common->model.n_param;
    fit->n_param = fit->n_common + 2 * lobes;
    for (int k = 0; k < 2 * lobes; k++) {
        double sd = k < 2 ? run_out : k < lobes + 1 ? timing : lift;
        fit->own_weight[k] = 1.0 / (sd * sd);
    }
}

/* From afar: readings blunt at first, as in one sweep. */
static void come_near(darc_turn_fit *fit, const darc_record *record)
{
    double widen = FIRST_ERROR * fit->model.common[DARC_LIFT];
    while (widen > 0.125 * fit->common->noise.dial_sd_mm) {
        darc_descent last; /* each is a problem of its own */
        darc_descent_begin(&last);
        gather(fit, record, widen);
        if (take_step(fit, &last) < 0.0)
            return;
        widen *= NARROWING;
    }
}

void darc_turn_fit_solve(darc_turn_fit *fit, const darc_problem *problem,
                         darc_fit *common, double *expected_mm)
{
    const darc_record *record = &problem->record;
    double weight[DARC_LOBES_PARAM], slope[DARC_LOBES_PARAM], length = INFINITY;
    darc_descent last;
    darc_descent_begin(&last);
    begin(fit, common, problem->known.lobes, expected_mm);
    come_near(fit, record);
    int still = 0;
    for (int it = 0; it < DARC_MOST_STEPS && still < 2; it++) {
        double misread = gather(fit, record, 0.0);
        length = take_step(fit, &last);
        if (length < 0.0)
            break;
        still = last.share * length > AT_REST ? 0 : still + 1;
        common->misread_share = darc_misread_share(misread);
        if (it >= DARC_SHORTEN_FROM)
            last.most *= SHORTENING;
    }
    gather(fit, record, 0.0);
    join_priors(fit, weight, slope);
    bool solved = darc_cholesky(fit->n_param, DARC_LOBES_PARAM, **fit->normal, weight,
                                **fit->factor, NULL);
    fit->converged = solved && length >= 0.0 && length < LONGEST_STEP &&
                     last.share * length < NEARLY_RESTED;
}
