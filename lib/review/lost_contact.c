/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/lost_contact.h"

#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <string.h>

#include "core/finding.h"
#include "estimate/look.h"
#include "estimate/slack_start.h"
#include "estimate/solve.h"
#include "review/goodness.h"
#include "review/readings.h"

#define LEAST_STILL    4 /* readings in a row */
#define BRIDGED        3 /* misread readings in a row that do not end a stretch, plus 1 */
#define MOST_STRETCHES 16
#define LEAST_KEPT     12  /* readings to ask */
#define MUTED_SHARE    0.4 /* of the span: makes a reading a misread one */
#define BELOW_SDS      3.2 /* the true minimum is below the still readings for sure ... */
#define BELOW_MM       0.006
#define FAR_BELOW_SDS  1.5 /* ... or far below in all likelihood */
#define FAR_BELOW_MM   0.03
/* What a first look must leave possible, to look closer. */
#define LOOK_SDS      2.0
#define LOOK_BELOW_MM 0.012

typedef struct stretch {
    size_t begin, end;
} stretch;

typedef struct still {
    double level_mm, tolerance_mm, span_mm;
    int count;
    stretch part[MOST_STRETCHES];
    int muted_count;
    size_t muted[MOST_STRETCHES];
} still;

/* At the level; or below it, which only a misread one can be. */
static bool is_still(const darc_record *r, const still *x, size_t i)
{
    return r->lift_mm[i] <= x->level_mm + x->tolerance_mm;
}

/* The stretch that begins at reading `from` of a pass, with misread ones in it. */
static stretch stretch_from(const darc_record *r, const darc_pass *p, const still *x,
                            size_t from)
{
    stretch part = {from, from + 1};
    for (size_t i = part.end; i < p->end && i < part.end + BRIDGED; i++)
        if (is_still(r, x, i))
            part.end = i + 1;
    return part;
}

/* Appends the stretches of a pass; returns the most readings in one. A reading at which
 * the crank turns round must stay, and so must one of every pass: it is muted. */
static size_t find_in_pass(const darc_record *r, const darc_pass *p, bool turns, still *x)
{
    size_t most = 0;
    for (size_t i = p->begin; i < p->end && x->count < MOST_STRETCHES; i++) {
        if (!is_still(r, x, i))
            continue;
        stretch part = stretch_from(r, p, x, i);
        i = part.end - 1;
        most = part.end - part.begin > most ? part.end - part.begin : most;
        bool whole = part.begin == p->begin && part.end == p->end;
        if ((turns && part.end == p->end) || whole)
            x->muted[x->muted_count++] = --part.end;
        if (part.begin < part.end)
            x->part[x->count++] = part;
    }
    return most;
}

/* Stretches at the lowest level, each within a pass; none when all of them are short. */
static still find_still(const darc_record *r, const darc_noise *noise, double *sample_mm)
{
    still x = {.tolerance_mm = fmax(darc_still_mm(noise), noise->step_mm)};
    double low, high;
    size_t n = 0, most = 0;
    darc_record_span(r, &low, &high);
    for (size_t i = 0; i < r->n; i++)
        if (fabs(r->lift_mm[i] - low) <= x.tolerance_mm)
            sample_mm[n++] = r->lift_mm[i];
    x.level_mm = n ? gsl_stats_median(sample_mm, 1, n) : low;
    x.span_mm = high - low;
    for (int k = 0; k < r->passes && x.muted_count < MOST_STRETCHES; k++) {
        bool turns = k + 1 < r->passes && r->pass[k + 1].start == DARC_START_TURN;
        size_t longest = find_in_pass(r, &r->pass[k], turns, &x);
        most = longest > most ? longest : most;
    }
    if (most < LEAST_STILL)
        x.count = 0;
    return x;
}

/* A copy of a record without the still readings; those that must stay are made to count
 * as misread. */
static void copy_others(const darc_record *from, const still *x,
                        const darc_readings *room, darc_record *to)
{
    bool muted;
    int part = 0;
    *to = *from;
    to->crank_deg = room->crank_deg;
    to->lift_mm = room->lift_mm;
    to->row = room->row;
    to->n = 0;
    for (int k = 0; k < from->passes; k++) {
        to->pass[k].begin = to->n;
        for (size_t i = from->pass[k].begin; i < from->pass[k].end; i++) {
            while (part < x->count && i >= x->part[part].end)
                part++;
            if (part < x->count && i >= x->part[part].begin)
                continue;
            muted = false;
            for (int j = 0; j < x->muted_count; j++)
                muted = muted || x->muted[j] == i;
            room->crank_deg[to->n] = from->crank_deg[i];
            room->lift_mm[to->n] =
                from->lift_mm[i] + (muted ? MUTED_SHARE * x->span_mm : 0.0);
            room->row[to->n++] = from->row[i];
        }
        to->pass[k].end = to->n;
    }
}

/* Whether a first look at the other readings leaves room for a minimum below. */
static bool may_be_below(const darc_problem *others, double level_mm, darc_memory *m)
{
    double zero[DARC_MAX_PARAM] = {[DARC_ZERO] = 1.0};
    darc_fit_look(&m->other, others);
    darc_fit_slack(&m->other, &m->trial, others);
    if (!m->other.solved)
        return false;
    double below = level_mm - m->other.param[DARC_ZERO];
    double sd = sqrt(darc_fit_variance(&m->other, zero));
    return !(below + LOOK_SDS * sd < LOOK_BELOW_MM);
}

darc_contact darc_contact_look(const darc_problem *problem, bool learn,
                               darc_memory *memory)
{
    const darc_record *r = &problem->record;
    darc_contact contact = {.found = false};
    darc_estimate e;
    still x = find_still(r, &problem->noise, memory->sample_mm);
    if (x.count == 0)
        return contact;
    contact.row = r->row[x.part[0].begin];
    darc_problem others = *problem;
    copy_others(r, &x, &memory->copy, &others.record);
    if (others.record.n < LEAST_KEPT ||
        (learn && !may_be_below(&others, x.level_mm, memory)))
        return contact;
    darc_fit_solve(&memory->other, &memory->trial, &others, learn, &e);
    darc_goodness g = darc_goodness_of(&memory->other, &others.record);
    contact.found = darc_estimate_is_sensible(&e);
    contact.good = contact.found && !g.excess && !darc_is_systematic(&g);
    contact.below_mm = x.level_mm - e.mean[DARC_ASK_ZERO];
    contact.sd_mm = sqrt(e.var[DARC_ASK_ZERO]);
    return contact;
}

bool darc_check_contact(const darc_contact *contact, dialarc_timing *t)
{
    double below = contact->below_mm, sd = contact->sd_mm;
    bool lost = contact->found && (below > BELOW_MM + BELOW_SDS * sd ||
                                   below > FAR_BELOW_MM + FAR_BELOW_SDS * sd);
    if (lost)
        darc_findings_add(&t->findings, DIALARC_FINDING_DIAL_OFF_SPINDLE,
                          DIALARC_SEVERITY_STOP, contact->row);
    return lost;
}
