/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/still.h"

#include <gsl/gsl_statistics_double.h>
#include <math.h>

#include "review/readings.h"

#define LEAST_STILL 2    /* readings in a row */
#define WIDER_STEP  1.01 /* of a graduation, whatever its last digit */
#define BRIDGED     3    /* misread readings in a row that end no stretch, plus 1 */
#define MUTED_SHARE 0.4  /* of the span: makes a reading a misread one */

/* At the level; or beyond it, which only a misread one can be. */
static bool is_still(const darc_record *r, const darc_still *x, size_t i)
{
    return x->sense * r->lift_mm[i] <= x->level_mm + x->tolerance_mm;
}

/* The stretch that begins at reading `from` of a pass, with misread ones in it. */
static darc_stretch stretch_from(const darc_record *r, const darc_pass *p,
                                 const darc_still *x, size_t from)
{
    darc_stretch part = {from, from + 1};
    for (size_t i = part.end; i < p->end && i < part.end + BRIDGED; i++)
        if (is_still(r, x, i))
            part.end = i + 1;
    return part;
}

/* How many of a stretch are at the level, neither beyond it nor misread. */
static size_t count_at(const darc_record *r, const darc_still *x,
                       const darc_stretch *part)
{
    size_t n = 0;
    for (size_t i = part->begin; i < part->end; i++)
        n += fabs(x->sense * r->lift_mm[i] - x->level_mm) <= x->tolerance_mm;
    return n;
}

/* Appends the stretches of a pass; returns the most readings in one. A reading at which
 * the crank turns round must stay, and so must one of every pass: it is muted. */
static size_t find_in_pass(const darc_record *r, const darc_pass *p, bool turns,
                           darc_still *x)
{
    size_t most = 0;
    for (size_t i = p->begin; i < p->end && x->count < DARC_MOST_STRETCHES; i++) {
        if (!is_still(r, x, i))
            continue;
        darc_stretch part = stretch_from(r, p, x, i);
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

darc_still darc_still_find(const darc_record *r, const darc_noise *noise, darc_end end,
                           double *sample_mm)
{
    darc_still x = {.sense = end == DARC_END_LOW ? 1.0 : -1.0,
                    .tolerance_mm =
                        fmax(darc_still_mm(noise), WIDER_STEP * noise->step_mm)};
    double low, high;
    size_t n = 0, most = 0;
    darc_record_span(r, &low, &high);
    double outermost = end == DARC_END_LOW ? low : -high;
    for (size_t i = 0; i < r->n; i++)
        if (fabs(x.sense * r->lift_mm[i] - outermost) <= x.tolerance_mm)
            sample_mm[n++] = x.sense * r->lift_mm[i];
    x.level_mm = n ? gsl_stats_mean(sample_mm, 1, n) : outermost;
    x.span_mm = high - low;
    for (int k = 0; k < r->passes && x.muted_count < DARC_MOST_STRETCHES; k++) {
        bool turns = k + 1 < r->passes && r->pass[k + 1].start == DARC_START_TURN;
        size_t longest = find_in_pass(r, &r->pass[k], turns, &x);
        most = longest > most ? longest : most;
    }
    if (most < LEAST_STILL)
        x.count = 0;
    return x;
}

darc_role darc_still_role(const darc_still *x, size_t i, int *part)
{
    while (*part < x->count && i >= x->part[*part].end)
        ++*part;
    if (*part < x->count && i >= x->part[*part].begin)
        return DARC_LEFT_OUT;
    for (int j = 0; j < x->muted_count; j++)
        if (x->muted[j] == i)
            return DARC_MUTED;
    return DARC_KEPT;
}

void darc_still_copy_others(const darc_record *from, const darc_still *x,
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
            darc_role what = darc_still_role(x, i, &part);
            if (what == DARC_LEFT_OUT)
                continue;
            double muted_mm = what == DARC_MUTED ? MUTED_SHARE * x->span_mm : 0.0;
            room->crank_deg[to->n] = from->crank_deg[i];
            room->lift_mm[to->n] = from->lift_mm[i] + muted_mm;
            room->row[to->n++] = from->row[i];
        }
        to->pass[k].end = to->n;
    }
}
