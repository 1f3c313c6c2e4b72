/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/slack_start.h"

#include <math.h>
#include <string.h>

#include "estimate/gauss_newton.h"
#include "estimate/prior.h"
#include "record/thin.h"

/* Gain in log likelihood that a start inside the slack must bring to be believed. */
#define FREE_START_GAIN      8.0
#define FREE_START_REACH_DEG 20.0

#define FLAT_SDS   4.0 /* readings that differ less than this do not differ */
#define MOST_MOVED 2   /* readings that do, besides a quarter, while the pump stands */

/* A slack larger than drives have: what a sweep that never takes it up backwards leaves
 * possible. Preferred when the readings do not speak against it by more than this. */
#define LOOSE_DEG  15.0
#define LOOSE_LOSS 6.0

/* A fit that has been iterated, and the one in which other starts are tried. */
typedef struct search {
    const darc_fit *fit;
    darc_fit *trial;
    const darc_problem *problem;
    const darc_record *record;
} search;

/* Crank angle of the turn after which a pass would begin `open` degrees inside the slack.
 */
static double turn_for(const search *s, int pass, double open)
{
    const darc_pass *p = &s->record->pass[pass];
    double first = s->record->crank_deg[p->begin], slack = s->fit->param[DARC_SLACK];
    return p->direction > 0 ? first + open - slack : first + slack - open;
}

/* Log likelihood of the trial for the readings of a record from the start of a pass up to
 * `end`. */
static double log_likelihood(const search *s, const darc_record *record, int pass,
                             size_t end)
{
    const darc_fit *trial = s->trial;
    double sum = 0.0;
    darc_model_rows_of(&trial->model, trial->param, record, trial->noise.angle_sd_deg,
                       pass, end, trial->at.rows);
    for (size_t i = record->pass[pass].begin; i < end; i++)
        sum += log(darc_row_pull(&trial->noise, trial->misread_share, record->lift_mm[i],
                                 &trial->at.rows[i])
                       .density);
    return sum;
}

/* First reading that a start `open` degrees inside the slack leaves as it was: the first
 * past it, or that of the next pass with a free start. */
static size_t window_end(const search *s, int pass, double open)
{
    const darc_record *r = s->record;
    const darc_pass *p = &r->pass[pass];
    double reach = open + 6.0 * s->fit->noise.angle_sd_deg;
    for (size_t i = p->begin; i < p->end; i++)
        if ((r->crank_deg[i] - r->crank_deg[p->begin]) * p->direction > reach)
            return i;
    for (int k = pass + 1; k < r->passes; k++)
        if (darc_starts_free(&s->trial->model, r, k))
            return r->pass[k].begin;
    return r->n;
}

/* What readings differ by at most while the pump stands still. */
static double still_mm(const search *s)
{
    return FLAT_SDS * darc_reading_sd(&s->fit->noise);
}

/* Where a pass begins, mm: the median of its first three readings. */
static double first_lift(const search *s, int pass)
{
    const darc_pass *p = &s->record->pass[pass];
    return p->end - p->begin < 3 ? s->record->lift_mm[p->begin]
                                 : darc_record_middle(s->record, p->begin + 1);
}

/* Whether the crank can have turned at an angle after the last reading before a pass. */
static bool is_beyond(const search *s, int pass, double turn)
{
    const darc_pass *p = &s->record->pass[pass];
    return pass == 0 || (s->record->crank_deg[p->begin - 1] - turn) * p->direction > 0.0;
}

/* The readings that a pass begins with, while more and more of them are looked at. */
typedef struct beginning {
    double rest_mm, still_mm; /* where the pump stands, and what readings differ by */
    size_t begin, seen;
    size_t moved;  /* readings elsewhere */
    size_t closed; /* those expected elsewhere with the slack taken up from the first */
    double log_density;
} beginning;

static void look_on(const search *s, size_t end, beginning *b)
{
    for (; b->seen < end; b->seen++) {
        b->log_density += log(s->fit->at.pulls[b->seen].density);
        b->moved += fabs(s->record->lift_mm[b->seen] - b->rest_mm) > b->still_mm;
        b->closed += fabs(s->fit->at.rows[b->seen].mean - b->rest_mm) > 0.5 * b->still_mm;
    }
}

/* Whether the pump stands, in the trial, where the first readings are. */
static bool stands_there(const search *s, int pass, const beginning *b)
{
    const darc_fit *trial = s->trial;
    darc_model_rows_of(&trial->model, trial->param, s->record, trial->noise.angle_sd_deg,
                       pass, b->begin + 1, trial->at.rows);
    return fabs(trial->at.rows[b->begin].mean - b->rest_mm) <= b->still_mm;
}

/* Log likelihood gained at best when a pass begins inside the slack, with its start as
 * parameter `at` of the trial, which is left there. */
static double best_start(const search *s, int pass, int at, bool turned)
{
    double best = 0.0, *start = &s->trial->param[at], best_turn = *start;
    size_t begin = s->record->pass[pass].begin;
    beginning b = {first_lift(s, pass), still_mm(s), begin, begin, 0, 0, 0.0};
    for (double open = 0.5; open <= FREE_START_REACH_DEG; open += 0.5) {
        size_t end = window_end(s, pass, open);
        look_on(s, end, &b);
        if (b.moved > MOST_MOVED + (end - begin) / 4) /* the pump does not stand */
            break;
        *start = turn_for(s, pass, open);
        if (!b.closed || (turned && !is_beyond(s, pass, *start)) ||
            !stands_there(s, pass, &b))
            continue;
        double gain = log_likelihood(s, s->record, pass, end) - b.log_density;
        if (gain > best) {
            best = gain;
            best_turn = *start;
        }
    }
    *start = best_turn;
    return best;
}

/* Makes the trial the fit with the start of a pass as a parameter besides. Returns its
 * index; below 0 when there is no room for it. */
static int free_start(const search *s, int pass)
{
    darc_fit *trial = s->trial;
    darc_fit_follow(trial, s->fit);
    trial->model.free_passes |= (uint64_t)1 << pass;
    darc_model_layout(&trial->model, s->record);
    int at = darc_turn_index(&trial->model, s->record, pass);
    int grown = trial->model.n_param - s->fit->model.n_param;
    bool turned = darc_turn_index(&s->fit->model, s->record, pass) >= 0;
    if (at < 0 || (grown == 0 && !turned))
        return -1;
    if (grown > 0)
        memmove(trial->param + at + 1, trial->param + at,
                (size_t)(trial->model.n_param - at - 1) * sizeof(double));
    return at;
}

/* Whether a pass began inside the slack, or after a turn that lay beyond the last
 * reading: when a start there explains the readings much better. It is left in the trial.
 */
static bool started_inside(const search *s, int pass)
{
    bool turned = darc_turn_index(&s->fit->model, s->record, pass) >= 0;
    int at = free_start(s, pass);
    return at >= 0 && best_start(s, pass, at, turned) > FREE_START_GAIN;
}

/* Loss of log likelihood, on some of the readings, by the trial against the fit. */
static double thin_loss(const search *s)
{
    darc_thin thin;
    double loss = 0.0;
    darc_thin_out(s->record, &thin);
    for (size_t i = 0; i < thin.record.n; i++)
        loss += log(s->fit->at.pulls[thin.at[i]].density);
    return loss - log_likelihood(s, &thin.record, 0, thin.record.n);
}

/* Whether no reading was taken with the slack taken up backwards: then all that is known
 * is how large it is at least. The trial has it large. */
static bool may_be_loose(const search *s)
{
    const darc_fit *fit = s->fit;
    if (s->record->passes < 2 || fit->param[DARC_SLACK] > LOOSE_DEG)
        return false;
    darc_fit_follow(s->trial, fit);
    s->trial->param[DARC_SLACK] = s->trial->prior.mean[DARC_SLACK] = LOOSE_DEG;
    return thin_loss(s) < 2.0 * LOOSE_LOSS &&
           log_likelihood(s, s->record, 0, s->record->n) >
               fit->log_likelihood - LOOSE_LOSS;
}

/* A flat stretch at the beginning of a sweep in one direction. */
static bool begins_flat(const search *s)
{
    const darc_record *r = s->record;
    return r->passes == 1 && r->n > 2 && r->pass[0].direction > 0 &&
           fabs(r->lift_mm[1] - r->lift_mm[0]) <= still_mm(s);
}

/* Fits the trial with the one pass of the record beginning `open` degrees inside the
 * slack. Returns its log likelihood. */
static double fit_open(const search *s, double open)
{
    free_start(s, 0); /* the first of its kind: there is room */
    s->trial->param[s->trial->model.first_turn] = turn_for(s, 0, open);
    darc_prior_turns(s->trial, s->problem);
    darc_fit_iterate(s->trial, s->record);
    return s->trial->log_likelihood;
}

/* The slack's flat stretch can pass for the minimum, and the fit settle on it: so the
 * other hypothesis gets a fit of its own. Returns how far inside the slack the trial that
 * is much better begins; 0 when none is. */
static double find_flat_start(const search *s)
{
    static const double trial[] = {1.5, 3.0, 5.0, 8.0, 12.0};
    double best = s->fit->log_likelihood + FREE_START_GAIN, best_open = 0.0;
    for (size_t k = 0; k < sizeof trial / sizeof trial[0]; k++) {
        double l = fit_open(s, trial[k]);
        if (l > best) {
            best = l;
            best_open = trial[k];
        }
    }
    return best_open;
}

void darc_fit_slack(darc_fit *fit, darc_fit *spare, const darc_problem *problem)
{
    const search s = {fit, spare, problem, &problem->record};
    if (may_be_loose(&s)) {
        darc_fit_follow(fit, spare);
        darc_fit_iterate(fit, s.record);
    }
    for (int k = 0; k < s.record->passes; k++)
        if (started_inside(&s, k))
            darc_fit_follow(fit, spare);
    if (fit->model.free_passes) {
        darc_prior_turns(fit, problem);
        darc_fit_iterate(fit, s.record);
    } else if ((!fit->model.learned || fit->model.law_stated) && begins_flat(&s)) {
        double open = find_flat_start(&s);
        if (open > 0.0) {
            fit_open(&s, open);
            darc_fit_swap(fit, spare);
        }
    }
}
