/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A dial that has lost the plunger stands still, at a reading above the true minimum, and
 * looks just like a base dwell: a learned cam fits it perfectly. What tells them apart is
 * the way in and out. A cam leaves its dwell with zero slope. So the readings in which
 * the dial stood still are left out, and the others are asked for the minimum.
 */
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <string.h>

#include "review/review.h"

#define LEAST_STILL    4 /* readings on end */
#define STILL_SDS      2.5
#define BRIDGED        3 /* misread readings on end that do not end a stretch, plus 1 */
#define MOST_STRETCHES 16
#define LEAST_KEPT     12  /* readings to ask */
#define MUTED_SHARE    0.4 /* of the span: makes a reading a misread one */
#define BELOW_SDS      3.2 /* the true minimum is below the still readings for sure ... */
#define BELOW_MM       0.006
#define FAR_SDS        1.5 /* ... or far below in all likelihood */
#define FAR_MM         0.03
#define LOOK_SDS       2.0 /* what a first look must leave possible, to look closer */
#define LOOK_BELOW_MM  0.012

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
static int is_still(const darc_record *r, const still *x, size_t i)
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
static size_t find_in_pass(const darc_record *r, const darc_pass *p, int turns, still *x)
{
    size_t most = 0;
    for (size_t i = p->begin; i < p->end && x->count < MOST_STRETCHES; i++) {
        if (!is_still(r, x, i))
            continue;
        stretch part = stretch_from(r, p, x, i);
        i = part.end - 1;
        most = part.end - part.begin > most ? part.end - part.begin : most;
        int whole = part.begin == p->begin && part.end == p->end;
        if ((turns && part.end == p->end) || whole)
            x->muted[x->muted_count++] = --part.end;
        if (part.begin < part.end)
            x->part[x->count++] = part;
    }
    return most;
}

/* Stretches at the lowest level, each within a pass; none when all of them are short. */
static still find_still(darc_scratch *s, const darc_noise *noise)
{
    const darc_record *r = &s->record;
    still x = {.tolerance_mm = fmax(STILL_SDS * darc_reading_sd(noise), noise->step_mm)};
    double low = INFINITY, high = -INFINITY;
    size_t n = 0, most = 0;
    for (size_t i = 1; i + 1 < r->n; i++) {
        low = fmin(low, darc_record_middle(r, i));
        high = fmax(high, darc_record_middle(r, i));
    }
    for (size_t i = 0; i < r->n; i++)
        if (fabs(r->lift_mm[i] - low) <= x.tolerance_mm)
            s->mean0[n++] = r->lift_mm[i];
    x.level_mm = n ? gsl_stats_median(s->mean0, 1, n) : low;
    x.span_mm = high - low;
    for (int k = 0; k < r->passes && x.muted_count < MOST_STRETCHES; k++) {
        int turns = k + 1 < r->passes && r->pass[k + 1].start == DARC_START_TURN;
        size_t longest = find_in_pass(r, &r->pass[k], turns, &x);
        most = longest > most ? longest : most;
    }
    if (most < LEAST_STILL)
        x.count = 0;
    return x;
}

static void reverse(darc_record *r, size_t begin, size_t end)
{
    while (begin + 1 < end) {
        end--;
        double crank = r->crank_deg[begin], lift = r->lift_mm[begin];
        size_t row = r->row[begin];
        r->crank_deg[begin] = r->crank_deg[end];
        r->lift_mm[begin] = r->lift_mm[end];
        r->row[begin] = r->row[end];
        r->crank_deg[end] = crank;
        r->lift_mm[end] = lift;
        r->row[end] = row;
        begin++;
    }
}

/* Exchanges the neighbouring stretches begin..middle and middle..end. */
static void exchange(darc_record *r, size_t begin, size_t middle, size_t end)
{
    reverse(r, begin, middle);
    reverse(r, middle, end);
    reverse(r, begin, end);
}

/* Makes the muted readings say nothing, or takes that back. */
static void mute(darc_record *r, const still *x, double by_mm)
{
    for (int j = 0; j < x->muted_count; j++)
        r->lift_mm[x->muted[j]] += by_mm;
}

/* Moves the still readings behind the record's end. */
static void cut(darc_record *r, const still *x)
{
    for (int j = x->count - 1; j >= 0; j--) {
        size_t length = x->part[j].end - x->part[j].begin;
        exchange(r, x->part[j].begin, x->part[j].end, r->n);
        r->n -= length;
        for (int k = 0; k < r->passes; k++) {
            r->pass[k].begin -= r->pass[k].begin >= x->part[j].end ? length : 0;
            r->pass[k].end -= r->pass[k].end >= x->part[j].end ? length : 0;
        }
    }
}

/* Undoes cut(), but for the passes. */
static void paste(darc_record *r, const still *x)
{
    for (int j = 0; j < x->count; j++) {
        size_t length = x->part[j].end - x->part[j].begin;
        r->n += length;
        exchange(r, x->part[j].begin, r->n - length, r->n);
    }
}

/* Whether a first look at the other readings leaves room for a minimum below. */
static int may_be_below(darc_scratch *s, const dialarc_setup *setup,
                        const darc_noise *noise, double level_mm)
{
    double v[DARC_MAX_PARAM] = {0.0};
    darc_fit_look(s, setup, noise);
    if (!s->fit.solved)
        return 0;
    v[DARC_ZERO] = 1.0;
    darc_fit_backsolve(&s->fit, v);
    double below = level_mm - s->fit.param[DARC_ZERO], sd = sqrt(v[DARC_ZERO]);
    return !(below + LOOK_SDS * sd < LOOK_BELOW_MM);
}

/* Fits the record without the still readings, and asks that fit for the minimum. */
static void ask_others(darc_scratch *s, const dialarc_setup *setup,
                       const darc_noise *noise, int learn, const still *x,
                       darc_floor *floor)
{
    darc_record *r = &s->record;
    darc_pass pass[DARC_MAX_PASSES];
    darc_answer answer;
    memcpy(pass, r->pass, sizeof pass);
    mute(r, x, MUTED_SHARE * x->span_mm);
    cut(r, x);
    if (r->n >= LEAST_KEPT && (!learn || may_be_below(s, setup, noise, x->level_mm))) {
        darc_fit_as(s, setup, noise, learn, &answer);
        darc_fitness f = darc_fitness_of(s);
        floor->found = darc_answer_is_sensible(&answer);
        floor->good = floor->found && !f.excess && !darc_is_systematic(&f);
        floor->below_mm = x->level_mm - answer.mean[DARC_ASK_ZERO];
        floor->sd_mm = sqrt(answer.var[DARC_ASK_ZERO]);
    }
    paste(r, x);
    memcpy(r->pass, pass, sizeof pass);
    mute(r, x, -MUTED_SHARE * x->span_mm);
}

darc_floor darc_floor_look(darc_scratch *s, const dialarc_setup *setup,
                           const darc_noise *noise, int learn)
{
    const darc_record *r = &s->record;
    darc_floor floor = {0};
    still x = find_still(s, noise);
    if (x.count == 0)
        return floor;
    floor.row = r->row[x.part[0].begin];
    ask_others(s, setup, noise, learn, &x, &floor);
    return floor;
}

int darc_scrutinise_floor(const darc_floor *floor, dialarc_timing *t)
{
    double below = floor->below_mm, sd = floor->sd_mm;
    int off = floor->found &&
              (below > BELOW_MM + BELOW_SDS * sd || below > FAR_MM + FAR_SDS * sd);
    if (off)
        darc_findings_add(&t->findings, DIALARC_FINDING_DIAL_OFF_SPINDLE,
                          DIALARC_SEVERITY_STOP, floor->row);
    return off;
}
