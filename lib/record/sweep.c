/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/sweep.h>

#include <math.h>
#include <stdlib.h>

#include "record/record.h"

/* A step in the angle is taken for a wrap of the wheel when it is at least this large and
 * what is left of it after whole turns is at most the second figure, degrees. */
#define WRAP_FROM 270.0
#define WRAP_LEFT 90.0

/* A turning point stands out when the angle has come back by this many sds. */
#define TURN_SDS 5.0

static dialarc_status check_sweep(const dialarc_sweep *sweep)
{
    if (!sweep)
        return DIALARC_ERR_NULL;
    if (sweep->n > DIALARC_SWEEP_MAX)
        return DIALARC_ERR_SIZE;
    if (sweep->n && (!sweep->crank_deg || !sweep->dial_mm))
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < sweep->n; i++) {
        if (!isfinite(sweep->crank_deg[i]) || !isfinite(sweep->dial_mm[i]))
            return DIALARC_ERR_NOT_FINITE;
        if (sweep->direction && (sweep->direction[i] < DIALARC_DIRECTION_AGAINST ||
                                 sweep->direction[i] > DIALARC_DIRECTION_WITH))
            return DIALARC_ERR_DIRECTION;
    }
    return DIALARC_OK;
}

/* Unrolls whole turns of the wheel so that the recorded zero stays at zero. */
static void unroll(size_t n, const double *recorded, double *unrolled)
{
    double offset = 0.0, nearest = INFINITY, anchor = 0.0;
    for (size_t i = 0; i < n; i++) {
        double change = i ? recorded[i] - recorded[i - 1] : 0.0;
        double turns = 360.0 * round(change / 360.0);
        if (fabs(change) >= WRAP_FROM && fabs(change - turns) <= WRAP_LEFT)
            offset -= turns;
        if (fabs(recorded[i]) < nearest) {
            nearest = fabs(recorded[i]);
            anchor = offset;
        }
        unrolled[i] = recorded[i] + offset;
    }
    for (size_t i = 0; i < n; i++)
        unrolled[i] -= anchor;
}

static void add_pass(darc_record *r, size_t begin, size_t end, int direction)
{
    if (r->passes == DARC_MAX_PASSES) { /* the rest joins the last pass */
        r->pass[r->passes - 1].end = end;
        return;
    }
    int turn = r->passes > 0 && r->pass[r->passes - 1].direction == -direction;
    r->pass[r->passes++] =
        (darc_pass){begin, end, direction, turn ? DARC_START_TURN : DARC_START_FREE};
}

/* Passes from the order of the angles: a reversal counts when it exceeds `threshold`. */
static void split_by_order(darc_record *r, double threshold)
{
    const double *c = r->crank_deg;
    size_t begin = 0, extreme = 0;
    int direction = 0;
    for (size_t i = 1; i < r->n; i++) {
        double gone = c[i] - c[extreme];
        if (direction == 0) {
            if (fabs(gone) > threshold) {
                direction = gone > 0.0 ? 1 : -1;
                extreme = i;
            }
        } else if (gone * direction >= 0.0) {
            extreme = i;
        } else if (-gone * direction > threshold) {
            add_pass(r, begin, extreme + 1, direction);
            begin = extreme + 1;
            extreme = i;
            direction = -direction;
        }
    }
    if (r->n)
        add_pass(r, begin, r->n, direction ? direction : 1);
}

/* A pass of one reading is a jump with nothing read on the way: its reading opens the
 * next pass, whose state of slack is then unknown. */
static void merge_jumps(darc_record *r)
{
    int kept = 0;
    for (int k = 0; k < r->passes; k++) {
        darc_pass p = r->pass[k];
        int single = p.end - p.begin == 1 && k > 0 && k + 1 < r->passes;
        if (single) {
            r->pass[k + 1].begin = p.begin;
            r->pass[k + 1].start = DARC_START_FREE;
            continue;
        }
        r->pass[kept++] = p;
    }
    r->passes = kept;
}

typedef struct keyed {
    double crank_deg, lift_mm;
    size_t row;
    int direction;
} keyed;

/* With the running direction first, angles rising; then against it, falling. */
static int by_motion(const void *a, const void *b)
{
    const keyed *x = a, *y = b;
    if (x->direction != y->direction)
        return x->direction > y->direction ? -1 : 1;
    double d = (x->crank_deg - y->crank_deg) * x->direction;
    if (d != 0.0)
        return d < 0.0 ? -1 : 1;
    return x->row < y->row ? -1 : x->row > y->row;
}

/* Whether the directions given agree with the order of the angles. */
static int directions_in_order(const dialarc_sweep *s, const double *crank,
                               double threshold)
{
    double extreme = crank[0];
    for (size_t i = 1; i < s->n; i++) {
        int d = (int)s->direction[i];
        if (d != (int)s->direction[i - 1])
            extreme = crank[i];
        double gone = (crank[i] - extreme) * d;
        if (gone < -threshold)
            return 0;
        if (gone > 0.0)
            extreme = crank[i];
    }
    return 1;
}

static void split_by_direction(const dialarc_sweep *s, darc_record *r)
{
    size_t begin = 0;
    for (size_t i = 1; i <= r->n; i++)
        if (i == r->n || s->direction[r->row[i]] != s->direction[r->row[begin]]) {
            add_pass(r, begin, i, (int)s->direction[r->row[begin]]);
            begin = i;
        }
}

static dialarc_status sort_record(const dialarc_sweep *s, darc_record *r)
{
    keyed *k = malloc((r->n ? r->n : 1) * sizeof *k);
    if (!k)
        return DIALARC_ERR_NO_MEMORY;
    for (size_t i = 0; i < r->n; i++)
        k[i] = (keyed){r->crank_deg[i], r->lift_mm[i], i, (int)s->direction[i]};
    qsort(k, r->n, sizeof *k, by_motion);
    for (size_t i = 0; i < r->n; i++) {
        r->crank_deg[i] = k[i].crank_deg;
        r->lift_mm[i] = k[i].lift_mm;
        r->row[i] = k[i].row;
    }
    free(k);
    r->sorted = 1;
    return DIALARC_OK;
}

double darc_record_middle(const darc_record *r, size_t i)
{
    if (i == 0 || i + 1 >= r->n)
        return r->lift_mm[i];
    double a = r->lift_mm[i - 1], b = r->lift_mm[i], c = r->lift_mm[i + 1];
    double low = a < b ? a : b, high = a < b ? b : a;
    return c < low ? low : c > high ? high : c;
}

static int all_directions_known(const dialarc_sweep *s)
{
    if (!s->direction)
        return 0;
    for (size_t i = 0; i < s->n; i++)
        if (s->direction[i] == DIALARC_DIRECTION_UNKNOWN)
            return 0;
    return s->n > 0;
}

dialarc_status darc_record_fill(const dialarc_sweep *sweep, const dialarc_setup *setup,
                                double angle_sd_deg, darc_record *r)
{
    dialarc_status status = check_sweep(sweep);
    if (status != DIALARC_OK)
        return status;
    double sense = setup->dial_sense < 0 ? -1.0 : 1.0;
    double threshold = fmax(TURN_SDS * angle_sd_deg, 1e-9);
    r->n = sweep->n;
    r->passes = r->sorted = 0;
    unroll(sweep->n, sweep->crank_deg, r->crank_deg);
    for (size_t i = 0; i < r->n; i++) {
        r->lift_mm[i] = sense * sweep->dial_mm[i];
        r->row[i] = i;
    }
    if (!all_directions_known(sweep)) {
        split_by_order(r, threshold);
        merge_jumps(r);
        return DIALARC_OK;
    }
    int ordered = directions_in_order(sweep, r->crank_deg, threshold);
    if (!ordered)
        status = sort_record(sweep, r);
    if (status != DIALARC_OK)
        return status;
    split_by_direction(sweep, r);
    for (int k = 0; k < r->passes && !ordered; k++)
        r->pass[k].start = DARC_START_FREE; /* the turns were not recorded */
    if (ordered)
        merge_jumps(r);
    return DIALARC_OK;
}
