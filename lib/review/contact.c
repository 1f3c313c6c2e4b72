/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/contact.h"

#include <gsl/gsl_math.h>
#include <math.h>
#include <string.h>

#include "estimate/learn.h"
#include "estimate/levels.h"
#include "estimate/look.h"
#include "estimate/mixture.h"
#include "estimate/prior.h"
#include "estimate/slack_start.h"
#include "estimate/solve.h"
#include "estimate/step.h"
#include "review/goodness.h"

#define LEAST_KEPT       4   /* readings to ask when the cam is given ... */
#define LEAST_KEPT_LEARN 5   /* ... and when it is to be learned from them */
#define SURELY           3.0 /* sds within which the others end where the still ones do */
#define FEW_KEPT         20  /* others: fewer may tell anything */
#define FAR_BENT         (DARC_LEVELS - 2) /* 2 % of the lift */
#define SETTLING_STEPS   8                 /* to settle in */
#define LEAST_ROW_SD_MM  1e-6
#define ONE_SIDED_SDS    8.0 /* from the level: then only on one side of it */
/* How far a plunger goes beyond a dial that does not follow: up to this, evenly. Common
 * practice, no source. */
static const double reach_mm[DARC_ENDS] = {[DARC_END_LOW] = 0.5, [DARC_END_HIGH] = 2.0};
/* Less than this is no loss of contact. */
static const double least_mm[DARC_ENDS] = {
    [DARC_END_LOW] = 0.012, [DARC_END_HIGH] = 0.05};

/* How far it is supposed to go where a cam to be learned, of any shape, finds its foot
 * wherever the others end. Common practice, no source. */
#define DEPTHS 3
static const double depth_mm[DEPTHS] = {0.05, 0.12, 0.25};
#define DEPTH_SD 0.4 /* as a share */

/* How far beyond the still readings a fit of the others has the plunger go: at the low
 * end to the minimum, at the high one to the full lift. */
static double beyond_mm(const darc_still *x, double zero_mm, double total_mm)
{
    return x->sense > 0.0 ? x->level_mm - zero_mm : zero_mm + total_mm + x->level_mm;
}

/* Whether a learned cam lies far from every law: the bend may be that of a dial. */
static bool is_bent_far(const darc_learned *learned)
{
    if (learned->count == 0)
        return false;
    const darc_hypothesis *best = darc_learned_best(learned);
    return best->rise_level >= FAR_BENT || best->fall_level >= FAR_BENT;
}

/* Whether it is clear from the fit of all readings that the others, asked alone, would
 * have the plunger go no further than the still ones: its equations are solved without
 * them. Only where the fit leaves nothing to explain: else they might tell of another
 * one.
 */
static bool is_dwell(const darc_record *r, const darc_still *x, darc_end end, bool learn,
                     darc_memory *memory)
{
    const darc_fit *fit = &memory->fit;
    darc_fit *about = &memory->trial;
    double step[DARC_MAX_PARAM], ends[DARC_MAX_PARAM] = {0.0};
    darc_goodness g = darc_goodness_of(fit, r);
    int part = 0;
    if (darc_scatter_is_suspect(&g) || darc_is_systematic(&g) ||
        !darc_few_are_rejected(&g, r->n))
        return false;
    if (learn && fit->at.learned->count) {
        if (is_bent_far(fit->at.learned))
            return false;
        darc_learned_open(fit, r, about);
    } else {
        darc_fit_follow(about, fit);
        memcpy(about->at.normal, fit->at.normal, sizeof *fit->at.normal);
        memcpy(about->at.rows, fit->at.rows, r->n * sizeof *fit->at.rows);
    }
    for (size_t i = 0; i < r->n; i++) {
        const darc_row *row = &about->at.rows[i];
        const darc_pull *p = &fit->at.pulls[i];
        double moved = row->mean - fit->at.rows[i].mean;
        if (darc_still_role(x, i, &part) != DARC_KEPT)
            darc_fit_add_row(about, row->by, p->w * moved - p->g, -p->w);
    }
    if (!isfinite(darc_fit_evidence(about, 0.0, step)))
        return false;
    ends[DARC_ZERO] = 1.0;
    ends[DARC_LIFT] = end == DARC_END_HIGH ? 1.0 : 0.0;
    double beyond = beyond_mm(x, about->param[DARC_ZERO] + step[DARC_ZERO],
                              about->param[DARC_LIFT] + step[DARC_LIFT]);
    return isless(beyond + SURELY * sqrt(darc_fit_variance(about, ends)), least_mm[end]);
}

/* What a dial that follows the plunger down to a level, and stands still there, makes of
 * a row: mean and sd of max(normal, level) over the error of the angle. */
static void hold_row(const darc_still *x, const darc_fit *fit, darc_row *row)
{
    double sd = fmax(fabs(row->slope) * fit->noise.angle_sd_deg, LEAST_ROW_SD_MM);
    double above = x->sense * row->mean - x->level_mm, z = above / sd;
    if (z > ONE_SIDED_SDS)
        return;
    double moves = z < -ONE_SIDED_SDS ? 0.0 : 0.5 * erfc(-M_SQRT1_2 * z);
    double density = z < -ONE_SIDED_SDS ? 0.0 : exp(-0.5 * z * z) / sqrt(2.0 * M_PI);
    double mean = z * moves + density, square = (z * z + 1.0) * moves + z * density;
    row->mean = x->sense * (x->level_mm + sd * mean);
    row->slope *= sqrt(fmax(square - mean * mean, 0.0));
    for (int k = 0; k < fit->model.n_param; k++)
        row->by[k] *= moves;
}

/* The readings that were kept; or all, as a dial gives them that stands still at the
 * level, or one that follows the plunger everywhere. */
typedef enum asked { KEPT, ALL_HELD, ALL_FOLLOWING } asked;

/* Their equations about the fit's parameters; returns their log likelihood. */
static double weigh(const darc_record *r, const darc_still *x, asked which, darc_fit *fit)
{
    double sum = 0.0;
    int part = 0;
    darc_model_rows(&fit->model, fit->param, r, fit->noise.angle_sd_deg, fit->at.rows);
    darc_fit_clear_normal(fit);
    for (size_t i = 0; i < r->n; i++) {
        darc_row *row = &fit->at.rows[i];
        if (darc_still_role(x, i, &part) != DARC_KEPT && which == KEPT)
            continue;
        if (which == ALL_HELD)
            hold_row(x, fit, row);
        darc_pull p = darc_row_pull(&fit->noise, fit->misread_share, r->lift_mm[i], row);
        darc_fit_add_row(fit, row->by, p.g, p.w);
        sum += log(p.density);
    }
    return sum;
}

/* What a fit comes to that is settled on them. */
typedef struct settled {
    double log_evidence, lift_mm, var;
} settled;

static settled settle(const darc_record *r, const darc_still *x, asked which,
                      darc_fit *fit)
{
    double value[DARC_ASKED], gradient[DARC_ASKED][DARC_MAX_PARAM];
    double limit[DARC_MAX_PARAM], slope[DARC_MAX_PARAM], step[DARC_MAX_PARAM];
    int n = fit->model.n_param;
    darc_descent last;
    darc_descent_begin(&last);
    for (int k = 0; k < SETTLING_STEPS; k++) {
        weigh(r, x, which, fit);
        darc_system system = darc_fit_system(fit, slope);
        darc_step_limits(&fit->model, fit->param[DARC_LIFT], n, limit);
        if (darc_descent_step(&last, &system, limit, step) < 0.0)
            break;
        for (int j = 0; j < n; j++)
            fit->param[j] += step[j];
    }
    settled s = {.log_evidence = darc_fit_evidence(fit, weigh(r, x, which, fit), step)};
    darc_fit_ask(fit, value, gradient);
    s.lift_mm = value[DARC_ASK_LIFT];
    s.var = darc_fit_variance(fit, gradient[DARC_ASK_LIFT]);
    return s;
}

/* Log evidence of all readings when the dial followed and nothing is supposed of the
 * depth, from the parameters of the others on; -INFINITY when there is none. */
static double follow(const darc_record *r, const darc_still *x, const double *param,
                     darc_fit *fit)
{
    memcpy(fit->param, param, sizeof fit->param);
    fit->prior.weight[DARC_ZERO] = 0.0;
    double log_evidence = settle(r, x, ALL_FOLLOWING, fit).log_evidence;
    return isfinite(log_evidence) ? log_evidence : -INFINITY;
}

/* Adds to the estimate of the others what the still readings say, wherever the level is:
 * by the likeliest cam, settled on the others and on all; and what all say of a dial that
 * followed, by the same cam, if it is learned. The fit is used up. */
static void add_still(const darc_problem *problem, const darc_still *x, darc_end end,
                      double deep_mm, darc_contact *contact, darc_fit *fit)
{
    const darc_record *r = &problem->record;
    const darc_noise *noise = &fit->noise;
    darc_estimate *e = &contact->estimate;
    double count = 0.0, param[DARC_MAX_PARAM];
    int part = 0;
    for (size_t i = 0; i < r->n; i++)
        count += darc_still_role(x, i, &part) != DARC_KEPT;
    if (fit->at.learned->count) {
        const darc_hypothesis *best = darc_learned_best(fit->at.learned);
        double total_mm = fit->param[DARC_LIFT];
        darc_learned_take(fit->at.learned, &fit->model, fit->param);
        darc_prior_shape(fit);
        darc_levels_set(fit, total_mm, (darc_levels){best->rise_level, best->fall_level});
    }
    settled others = settle(r, x, KEPT, fit);
    memcpy(param, fit->param, sizeof param);
    settled all = settle(r, x, ALL_HELD, fit);
    contact->found = isfinite(others.log_evidence) && isfinite(all.log_evidence) &&
                     others.var > 0.0 && all.var >= 0.0;
    if (!contact->found)
        return;
    if (fit->at.learned->count)
        contact->following =
            e->log_evidence + follow(r, x, param, fit) - others.log_evidence;
    double level_sd = sqrt(noise->dial_sd_mm * noise->dial_sd_mm / count +
                           noise->step_mm * noise->step_mm / 12.0);
    double there = 0.5 * erfc(-M_SQRT1_2 * contact->beyond_mm / contact->sd_mm);
    double level =
        level_sd * (deep_mm > 0.0 ? 1.0 / DEPTHS : sqrt(2.0 * M_PI) / reach_mm[end]);
    e->log_evidence += all.log_evidence - others.log_evidence + log(level * there);
    e->mean[DARC_ASK_LIFT] += all.lift_mm - others.lift_mm;
    e->var[DARC_ASK_LIFT] *= fmin(all.var / others.var, 1.0);
}

/* Fits the others, and what they say of the still ones. Where `deep_mm` is above 0, the
 * plunger is thought to have gone about so far beyond the level; else up to the reach. */
static darc_contact ask_others(const darc_problem *problem, const darc_still *x,
                               darc_end end, bool learn, double deep_mm,
                               darc_problem *others, darc_memory *memory)
{
    darc_contact contact = {.row = problem->record.row[x->part[0].begin],
                            .following = -INFINITY};
    darc_estimate *e = &contact.estimate;
    others->zero_mm = x->level_mm - deep_mm;
    others->zero_sd_mm = DEPTH_SD * deep_mm;
    darc_fit_solve(&memory->other, &memory->trial, others, learn, e);
    if (!darc_estimate_is_sensible(e))
        return contact;
    darc_goodness g = darc_goodness_of(&memory->other, &others->record);
    contact.good = !g.excess && !darc_is_systematic(&g);
    contact.beyond_mm = beyond_mm(x, e->mean[DARC_ASK_ZERO], e->mean[DARC_ASK_TOTAL]);
    contact.sd_mm = sqrt(e->var[DARC_ASK_ZERO] +
                         (end == DARC_END_HIGH ? e->var[DARC_ASK_TOTAL] : 0.0));
    contact.found = contact.beyond_mm > least_mm[end];
    if (contact.found)
        add_still(problem, x, end, deep_mm, &contact, &memory->other);
    return contact;
}

/* Adds an answer to another about the same readings: the estimate of the likelier one,
 * with the lift of their mixture and the evidence of both. */
static void add_answer(const darc_contact *more, darc_contact *sum)
{
    darc_contact a = *sum, b = *more;
    if (!b.found)
        return;
    a.following = b.following = fmax(a.following, b.following);
    *sum = a;
    if (!a.found || b.estimate.log_evidence > a.estimate.log_evidence) {
        *sum = b;
        b = a;
    }
    if (!b.found)
        return;
    darc_estimate *e = &sum->estimate;
    darc_rival rival = {b.estimate.mean[DARC_ASK_LIFT], b.estimate.var[DARC_ASK_LIFT],
                        b.estimate.log_evidence - e->log_evidence};
    double probability, left = darc_rivals_weigh(&rival, 1, &probability);
    darc_estimate_mix(e, &rival, &probability, 1);
    e->log_evidence -= log(left);
}

/* The same where the others alone may be led astray: how deep the plunger went is
 * supposed, and the suppositions are averaged. */
static darc_contact ask_deep(const darc_problem *problem, const darc_still *x,
                             darc_problem *others, darc_memory *memory)
{
    darc_contact sum = {.found = false, .following = -INFINITY};
    for (int k = 0; k < DEPTHS; k++) {
        darc_contact c =
            ask_others(problem, x, DARC_END_LOW, true, depth_mm[k], others, memory);
        add_answer(&c, &sum);
    }
    return sum;
}

darc_contact darc_contact_look(const darc_problem *problem, darc_end end, bool learn,
                               darc_memory *memory)
{
    const darc_record *r = &problem->record;
    darc_still x = darc_still_find(r, &problem->noise, end, memory->sample_mm);
    if (x.count == 0)
        return (darc_contact){.found = false, .following = -INFINITY};
    darc_problem others = *problem;
    darc_still_copy_others(r, &x, &memory->copy, &others.record);
    if (others.record.n < (learn ? LEAST_KEPT_LEARN : LEAST_KEPT) ||
        (others.record.n >= FEW_KEPT && is_dwell(r, &x, end, learn, memory)))
        return (darc_contact){.found = false, .following = -INFINITY};
    bool deep = learn && end == DARC_END_LOW &&
                (others.record.n < FEW_KEPT || is_bent_far(memory->fit.at.learned));
    return deep ? ask_deep(problem, &x, &others, memory)
                : ask_others(problem, &x, end, learn, 0.0, &others, memory);
}
