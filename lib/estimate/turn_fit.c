/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reweighted Gauss-Newton on the path model of a whole turn. */
#include <math.h>
#include <string.h>

#include "assess/lobes.h"
#include "numeric/cholesky.h"

#define MAX_ITERATIONS 80
#define FIRST_WIDENING 0.05 /* of the total lift: errors that the start may have */
#define LEAST_MISREAD  0.002
#define MOST_MISREAD   0.12

/* Steps in standard deviations of what is asked for. Where the run-out nearly stands
 * still on a dwell the model has a kink; a solution on it has full steps going to and fro
 * across it for ever. A step that hardly shrinks is therefore shortened, what has been
 * moved decides when to stop, and the full step has only to be no error that matters. */
#define SETTLED       1e-4
#define CYCLE_RATIO   0.7
#define LEAST_SHARE   0.02
#define SETTLED_LEAST 0.02
#define LONGEST_STEP  1.0

/* Weak priors, about no error at all: shares of the lobe pitch and of the total lift. */
#define TIMING_SD_SHARE  0.1
#define LIFT_SD_SHARE    0.2
#define RUN_OUT_SD_SHARE 0.1

static int factorise(darc_lobes_fit *fit, const double *diagonal)
{
    return darc_cholesky(fit->n_param, DARC_LOBES_PARAM, fit->normal[0], diagonal,
                         fit->factor[0], NULL);
}

void darc_lobes_backsolve(const darc_lobes_fit *fit, double *v)
{
    darc_cholesky_solve(fit->n_param, DARC_LOBES_PARAM, fit->factor[0], v);
}

/* Adds one reading: only the derivatives that are there. */
static void add_row(darc_lobes_fit *fit, const darc_lobes_row *row, const darc_pull *p)
{
    double by[DARC_LOBES_PARAM];
    int at[DARC_LOBES_PARAM], count = 0, own = fit->n_common;
    for (int k = 0; k < own; k++)
        if (row->common[k] != 0.0) {
            at[count] = k;
            by[count++] = row->common[k];
        }
    at[count] = own;
    by[count++] = row->by_cos;
    at[count] = own + 1;
    by[count++] = row->by_sin;
    if (row->lobe) {
        at[count] = own + darc_lobes_timing(row->lobe);
        by[count++] = row->by_timing;
        at[count] = own + darc_lobes_lift(fit->model.lobes, row->lobe);
        by[count++] = row->by_lift;
    }
    for (int k = 0; k < count; k++) {
        fit->pull[at[k]] += p->g * by[k];
        for (int l = k; l < count; l++)
            fit->normal[at[k]][at[l]] += p->w * by[k] * by[l];
    }
}

/* Normal equations at the present parameters; returns the mean misread probability. */
static double gather(darc_scratch *s, darc_lobes_fit *fit, double widen_mm)
{
    const darc_noise *e = &fit->common->noise;
    darc_lobes_walk walk;
    darc_lobes_row row;
    double misread = 0.0;
    memset(fit->normal, 0, sizeof fit->normal);
    memset(fit->pull, 0, sizeof fit->pull);
    memset(fit->sound, 0, sizeof fit->sound);
    fit->score2 = 0.0;
    darc_lobes_find_turns(&fit->model);
    darc_lobes_begin(&fit->model, &s->record, e->angle_sd_deg, &walk);
    for (size_t i = 0; i < s->record.n; i++) {
        darc_lobes_next(&walk, i, &row);
        double turned = row.slope * e->angle_sd_deg;
        double sd =
            sqrt(e->dial_sd_mm * e->dial_sd_mm + turned * turned + widen_mm * widen_mm);
        s->mean0[i] = row.mean;
        s->pulls[i] = darc_reading_pull(s->record.lift_mm[i], row.mean, sd, e->step_mm,
                                        e->turn_mm, fit->common->misread_share);
        add_row(fit, &row, &s->pulls[i]);
        fit->sound[row.lobe] += s->pulls[i].sound;
        fit->score2 += s->pulls[i].sound * s->pulls[i].score2;
        misread += 1.0 - s->pulls[i].sound;
    }
    return misread / (double)s->record.n;
}

static void join_priors(darc_lobes_fit *fit, double *weight)
{
    if (fit->common->model.learned)
        darc_fit_shape_prior(fit->common);
    memcpy(weight, fit->common->prior.weight, (size_t)fit->n_common * sizeof weight[0]);
    memcpy(weight + fit->n_common, fit->own_weight,
           (size_t)(fit->n_param - fit->n_common) * sizeof weight[0]);
}

/* Share of a step within which the model is nearly straight. */
static double straight_share(const darc_lobes_fit *fit, const double *step, double share)
{
    double pitch = fit->model.cam->pitch_deg * fit->model.cam->crank_per_pump;
    double total = fit->model.common[DARC_LIFT], limit[DARC_LOBES_PARAM];
    const double basic[DARC_BASIC] = {1.0, 0.04 * pitch, 0.3 * total, 3.0, 0.05};
    for (int k = 0; k < fit->n_param; k++)
        limit[k] = INFINITY;
    memcpy(limit, basic, sizeof basic);
    for (int k = 0; k < fit->model.lobes - 1; k++)
        limit[fit->n_common + 2 + k] = 0.04 * pitch;
    for (int k = 0; k < fit->n_param; k++)
        if (fabs(step[k]) * share > limit[k])
            share = limit[k] / fabs(step[k]);
    return share;
}

/* Longest change of timing, lift or run-out, in its standard deviations. */
static double length_of(const darc_lobes_fit *fit, const double *step)
{
    double longest = 0.0;
    for (int k = fit->n_common; k < fit->n_param; k++) {
        double unit[DARC_LOBES_PARAM] = {0.0};
        unit[k] = 1.0;
        darc_lobes_backsolve(fit, unit);
        longest = fmax(longest, fabs(step[k]) / sqrt(unit[k]));
    }
    return longest;
}

/* Takes a share of one step; returns the length of the whole, or -1 when singular. */
static double take_step(darc_lobes_fit *fit, double share)
{
    double weight[DARC_LOBES_PARAM], step[DARC_LOBES_PARAM];
    darc_fit *common = fit->common;
    join_priors(fit, weight);
    if (!factorise(fit, weight))
        return -1.0;
    for (int k = 0; k < fit->n_param; k++) {
        int own = k - fit->n_common;
        double away = own < 0 ? common->prior.mean[k] - common->param[k] : -fit->own[own];
        step[k] = fit->pull[k] + weight[k] * away;
    }
    darc_lobes_backsolve(fit, step);
    share = straight_share(fit, step, share);
    for (int k = 0; k < fit->n_common; k++)
        common->param[k] += share * step[k];
    for (int k = fit->n_common; k < fit->n_param; k++)
        fit->own[k - fit->n_common] += share * step[k];
    return length_of(fit, step);
}

static void begin(darc_scratch *s, int lobes, darc_lobes_fit *fit)
{
    memset(fit, 0, sizeof *fit);
    darc_fit *common = fit->common = &s->fit;
    double pitch = common->model.pitch_deg * common->model.crank_per_pump;
    double total = common->param[DARC_LIFT];
    double timing = TIMING_SD_SHARE * pitch, lift = LIFT_SD_SHARE * total,
           run_out = RUN_OUT_SD_SHARE * total;
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

void darc_lobes_solve(darc_scratch *s, int lobes, darc_lobes_fit *fit)
{
    double weight[DARC_LOBES_PARAM];
    double share = 1.0, before = INFINITY, length = INFINITY;
    begin(s, lobes, fit);
    double widen = FIRST_WIDENING * fit->model.common[DARC_LIFT];
    for (int it = 0; it < MAX_ITERATIONS && share * length > SETTLED; it++) {
        double misread = gather(s, fit, widen);
        length = take_step(fit, share);
        if (length < 0.0)
            break;
        if (widen > 0.0) {
            widen = widen > 0.25 * fit->common->noise.dial_sd_mm ? 0.5 * widen : 0.0;
            length = INFINITY;
            continue;
        }
        fit->common->misread_share = fmin(fmax(misread, LEAST_MISREAD), MOST_MISREAD);
        if (length > CYCLE_RATIO * before)
            share = fmax(0.7 * share, LEAST_SHARE);
        before = length;
    }
    gather(s, fit, 0.0);
    join_priors(fit, weight);
    int sound = factorise(fit, weight);
    fit->converged =
        sound && length >= 0.0 && length < LONGEST_STEP && share * length < SETTLED_LEAST;
}
