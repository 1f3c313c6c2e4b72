/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/contact.h"

#include <gsl/gsl_math.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <string.h>

#include "estimate/learn.h"
#include "estimate/look.h"
#include "estimate/slack_start.h"
#include "estimate/solve.h"
#include "review/goodness.h"
#include "review/readings.h"

#define LEAST_STILL      2    /* readings in a row */
#define WIDER_STEP       1.01 /* of a graduation, whatever its last digit */
#define BRIDGED          3    /* misread readings in a row that end no stretch, plus 1 */
#define MOST_STRETCHES   16
#define LEAST_KEPT       4   /* readings to ask when the cam is given ... */
#define LEAST_KEPT_LEARN 5   /* ... and when it is to be learned from them */
#define SURELY           3.0 /* sds within which the others end where the still ones do */
#define FEW_KEPT         20  /* others: fewer may tell anything */
#define MUTED_SHARE      0.4 /* of the span: makes a reading a misread one */
/* How far a plunger goes beyond a dial that does not follow: up to this, evenly. Common
 * practice, no source. */
static const double reach_mm[DARC_ENDS] = {[DARC_END_LOW] = 0.5, [DARC_END_HIGH] = 2.0};
/* Less than this is no loss of contact. */
static const double least_mm[DARC_ENDS] = {
    [DARC_END_LOW] = 0.012, [DARC_END_HIGH] = 0.05};

typedef struct stretch {
    size_t begin, end;
} stretch;

/* Readings count in the sense of the end: the lower, the further out. */
typedef struct still {
    double sense; /* 1 at the low end, -1 at the high one */
    double level_mm, tolerance_mm, span_mm;
    int count;
    stretch part[MOST_STRETCHES];
    int muted_count;
    size_t muted[MOST_STRETCHES];
} still;

/* At the level; or beyond it, which only a misread one can be. */
static bool is_still(const darc_record *r, const still *x, size_t i)
{
    return x->sense * r->lift_mm[i] <= x->level_mm + x->tolerance_mm;
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

/* How many of a stretch are at the level, neither beyond it nor misread. */
static size_t count_at(const darc_record *r, const still *x, const stretch *part)
{
    size_t n = 0;
    for (size_t i = part->begin; i < part->end; i++)
        n += fabs(x->sense * r->lift_mm[i] - x->level_mm) <= x->tolerance_mm;
    return n;
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
        size_t there = count_at(r, x, &part);
        most = there > most ? there : most;
        bool whole = part.begin == p->begin && part.end == p->end;
        if ((turns && part.end == p->end) || whole)
            x->muted[x->muted_count++] = --part.end;
        if (part.begin < part.end)
            x->part[x->count++] = part;
    }
    return most;
}

/* Stretches at the outermost level, each within a pass; none when all of them are short.
 */
static still find_still(const darc_record *r, const darc_noise *noise, darc_end end,
                        double *sample_mm)
{
    still x = {.sense = end == DARC_END_LOW ? 1.0 : -1.0,
               .tolerance_mm = fmax(darc_still_mm(noise), WIDER_STEP * noise->step_mm)};
    double low, high;
    size_t n = 0, most = 0;
    darc_record_span(r, &low, &high);
    double outermost = end == DARC_END_LOW ? low : -high;
    for (size_t i = 0; i < r->n; i++)
        if (fabs(x.sense * r->lift_mm[i] - outermost) <= x.tolerance_mm)
            sample_mm[n++] = x.sense * r->lift_mm[i];
    x.level_mm = n ? gsl_stats_mean(sample_mm, 1, n) : outermost;
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

typedef enum role { KEPT, LEFT_OUT, MUTED } role;

/* What becomes of reading i; `part` is the first stretch that does not end before it. */
static role role_of(const still *x, size_t i, int *part)
{
    while (*part < x->count && i >= x->part[*part].end)
        ++*part;
    if (*part < x->count && i >= x->part[*part].begin)
        return LEFT_OUT;
    for (int j = 0; j < x->muted_count; j++)
        if (x->muted[j] == i)
            return MUTED;
    return KEPT;
}

/* A copy of a record without the still readings; those that must stay are made to count
 * as misread. */
static void copy_others(const darc_record *from, const still *x,
                        const darc_readings *room, darc_record *to)
{
    int part = 0;
    *to = *from;
    to->crank_deg = room->crank_deg;
    to->lift_mm = room->lift_mm;
    to->row = room->row;
    to->n = 0;
    for (int k = 0; k < from->passes; k++) {
        to->pass[k].begin = to->n;
        for (size_t i = from->pass[k].begin; i < from->pass[k].end; i++) {
            role what = role_of(x, i, &part);
            if (what == LEFT_OUT)
                continue;
            double muted_mm = what == MUTED ? MUTED_SHARE * x->span_mm : 0.0;
            room->crank_deg[to->n] = from->crank_deg[i];
            room->lift_mm[to->n] = from->lift_mm[i] + muted_mm;
            room->row[to->n++] = from->row[i];
        }
        to->pass[k].end = to->n;
    }
}

/* How far beyond the still readings a fit of the others has the plunger go: at the low
 * end to the minimum, at the high one to the full lift. */
static double beyond_mm(const still *x, double zero_mm, double total_mm)
{
    return x->sense > 0.0 ? x->level_mm - zero_mm : zero_mm + total_mm + x->level_mm;
}

/* Whether it is clear from the fit of all readings that the others, asked alone, would
 * have the plunger go no further than the still ones: its equations are solved without
 * them. Only where the fit leaves nothing to explain: else they might tell of another
 * one.
 */
static bool is_dwell(const darc_record *r, const still *x, darc_end end, bool learn,
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
        if (role_of(x, i, &part) != KEPT)
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

/* Makes the rows of a fit of the others those of all readings: of a dial that follows the
 * plunger up to the level, and stands there. Returns the log density of those that were
 * kept, under the rows that they had there. */
static double stand_still(const darc_record *r, const still *x, darc_fit *fit)
{
    double kept = 0.0;
    int part = 0;
    if (fit->at.learned->count)
        darc_learned_take(fit->at.learned, &fit->model, fit->param);
    darc_model_rows(&fit->model, fit->param, r, fit->noise.angle_sd_deg, fit->at.rows);
    for (size_t i = 0; i < r->n; i++) {
        darc_row *row = &fit->at.rows[i];
        if (role_of(x, i, &part) == KEPT) {
            kept += log(darc_row_pull(&fit->noise, fit->misread_share, r->lift_mm[i], row)
                            .density);
        } else if (x->sense * row->mean < x->level_mm) {
            row->mean = x->sense * x->level_mm;
            row->slope = 0.0;
        }
    }
    return kept;
}

/* Log density of all readings under the fit's rows, with the share of misreads that they
 * show. */
static double log_density(const darc_record *r, const darc_fit *fit)
{
    double share = fit->misread_share, sum = 0.0;
    for (int k = 0; k < 3; k++) { /* comes to rest at once: most are clearly either */
        double misread = 0.0;
        sum = 0.0;
        for (size_t i = 0; i < r->n; i++) {
            darc_pull p =
                darc_row_pull(&fit->noise, share, r->lift_mm[i], &fit->at.rows[i]);
            sum += log(p.density);
            misread += 1.0 - p.sound;
        }
        share = darc_misread_share(misread / (double)r->n);
    }
    return sum;
}

/* What the still readings add to the evidence of a fit of the others, wherever the level
 * is. The fit's rows and parameters are used up. */
static double evidence_of_still(const darc_problem *problem, const still *x, darc_end end,
                                const darc_contact *contact, darc_fit *fit)
{
    const darc_record *r = &problem->record;
    const darc_noise *noise = &fit->noise;
    double muted = 0.0, count = 0.0;
    int part = 0;
    size_t kept = 0;
    for (size_t i = 0; i < r->n; i++) {
        role what = role_of(x, i, &part);
        if (what == MUTED)
            muted += log(fit->at.pulls[kept].density);
        kept += what != LEFT_OUT;
        count += what != KEPT;
    }
    double others = muted + stand_still(r, x, fit);
    double level_sd = sqrt(noise->dial_sd_mm * noise->dial_sd_mm / count +
                           noise->step_mm * noise->step_mm / 12.0);
    double there = 0.5 * erfc(-M_SQRT1_2 * contact->beyond_mm / contact->sd_mm);
    return log_density(r, fit) - others +
           log(sqrt(2.0 * M_PI) * level_sd / reach_mm[end] * there);
}

darc_contact darc_contact_look(const darc_problem *problem, darc_end end, bool learn,
                               darc_memory *memory)
{
    const darc_record *r = &problem->record;
    darc_contact contact = {.found = false};
    darc_estimate *e = &contact.estimate;
    still x = find_still(r, &problem->noise, end, memory->sample_mm);
    if (x.count == 0)
        return contact;
    contact.row = r->row[x.part[0].begin];
    darc_problem others = *problem;
    copy_others(r, &x, &memory->copy, &others.record);
    if (others.record.n < (learn ? LEAST_KEPT_LEARN : LEAST_KEPT) ||
        (others.record.n >= FEW_KEPT && is_dwell(r, &x, end, learn, memory)))
        return contact;
    darc_fit_solve(&memory->other, &memory->trial, &others, learn, e);
    contact.found = darc_estimate_is_sensible(e);
    if (!contact.found)
        return contact;
    darc_goodness g = darc_goodness_of(&memory->other, &others.record);
    contact.good = !g.excess && !darc_is_systematic(&g);
    contact.beyond_mm = beyond_mm(&x, e->mean[DARC_ASK_ZERO], e->mean[DARC_ASK_TOTAL]);
    contact.sd_mm = sqrt(e->var[DARC_ASK_ZERO] +
                         (end == DARC_END_HIGH ? e->var[DARC_ASK_TOTAL] : 0.0));
    contact.found = contact.beyond_mm > least_mm[end];
    if (contact.found)
        e->log_evidence += evidence_of_still(problem, &x, end, &contact, &memory->other);
    return contact;
}
