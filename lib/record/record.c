/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/record.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

/* A step in the angle is taken for a wrap of the wheel when it is at least this large and
 * what is left of it after whole turns is at most the second figure, degrees. */
#define WRAP_FROM 270.0
#define WRAP_LEFT 90.0

/* A turning point stands out when the angle has come back by this many sds. */
#define REVERSAL_SDS 5.0

/* Readings a way on the average, when the rows stand in the order taken. */
#define LEAST_A_WAY 3

/* A reading this close to 0 on the wheel, in degrees, may be one of TDC. */
#define AT_TDC_DEG 15.0

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

static void take_rows(const dialarc_sweep *sweep, const darc_dial_use *dial,
                      const darc_readings *room)
{
    for (size_t i = 0; i < sweep->n; i++) {
        room->crank_deg[i] = sweep->crank_deg[i];
        room->lift_mm[i] = darc_travel(dial, sweep->dial_mm[i]);
        room->row[i] = i;
    }
}

static void add_pass(darc_record *r, size_t begin, size_t end, int direction)
{
    if (r->passes == DARC_MAX_PASSES) { /* the rest joins the last pass */
        r->pass[r->passes - 1].end = end;
        return;
    }
    bool turn = r->passes > 0 && r->pass[r->passes - 1].direction == -direction;
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
        bool single = p.end - p.begin == 1 && k > 0 && k + 1 < r->passes;
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

/* With the running direction first, angles rising; then against it, falling. Nothing in
 * it depends on the order of the rows but where two of them are the same. */
static int by_motion(const void *a, const void *b)
{
    const keyed *x = a, *y = b;
    if (x->direction != y->direction)
        return x->direction > y->direction ? -1 : 1;
    double d = (x->crank_deg - y->crank_deg) * x->direction;
    if (d == 0.0)
        d = x->lift_mm - y->lift_mm;
    if (d != 0.0)
        return d < 0.0 ? -1 : 1;
    return x->row < y->row ? -1 : x->row > y->row;
}

/* Whether the directions given agree with the order of the angles. */
static bool directions_in_order(const dialarc_sweep *s, const double *crank,
                                double threshold)
{
    double extreme = crank[0];
    for (size_t i = 1; i < s->n; i++) {
        int d = (int)s->direction[i];
        if (d != (int)s->direction[i - 1])
            extreme = crank[i];
        double gone = (crank[i] - extreme) * d;
        if (gone < -threshold)
            return false;
        if (gone > 0.0)
            extreme = crank[i];
    }
    return true;
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

static dialarc_status sort_readings(const dialarc_sweep *s, const darc_readings *r)
{
    keyed *k = malloc(s->n * sizeof *k);
    if (!k)
        return DIALARC_ERR_NO_MEMORY;
    for (size_t i = 0; i < s->n; i++)
        k[i] = (keyed){r->crank_deg[i], r->lift_mm[i], i, (int)s->direction[i]};
    qsort(k, s->n, sizeof *k, by_motion);
    for (size_t i = 0; i < s->n; i++) {
        r->crank_deg[i] = k[i].crank_deg;
        r->lift_mm[i] = k[i].lift_mm;
        r->row[i] = k[i].row;
    }
    free(k);
    return DIALARC_OK;
}

size_t darc_record_stand(const darc_record *r, const darc_pass *pass, size_t i)
{
    size_t first = i, end = i + 1;
    while (first > pass->begin && r->crank_deg[first - 1] == r->crank_deg[i])
        first--;
    while (end < pass->end && r->crank_deg[end] == r->crank_deg[i])
        end++;
    return end - first;
}

double darc_record_middle(const darc_record *r, size_t i)
{
    if (i == 0 || i + 1 >= r->n)
        return r->lift_mm[i];
    double a = r->lift_mm[i - 1], b = r->lift_mm[i], c = r->lift_mm[i + 1];
    double low = a < b ? a : b, high = a < b ? b : a;
    return c < low ? low : c > high ? high : c;
}

void darc_record_span(const darc_record *r, double *low_mm, double *high_mm)
{
    double low = INFINITY, high = -INFINITY;
    for (size_t i = 1; i + 1 < r->n; i++) {
        low = fmin(low, darc_record_middle(r, i));
        high = fmax(high, darc_record_middle(r, i));
    }
    *low_mm = low;
    *high_mm = high;
}

static bool all_directions_known(const dialarc_sweep *s)
{
    if (!s->direction)
        return false;
    for (size_t i = 0; i < s->n; i++)
        if (s->direction[i] == DIALARC_DIRECTION_UNKNOWN)
            return false;
    return s->n > 0;
}

/* Ways of one reading, or nearly so, are no ways of a crank: rows put in order by the
 * angle, each way beside the other. */
static bool are_ways(const dialarc_sweep *s)
{
    size_t ways = 1;
    for (size_t i = 1; i < s->n; i++)
        ways += s->direction[i] != s->direction[i - 1];
    return ways == 1 || ways * LEAST_A_WAY <= s->n;
}

/* One way there and one way back, whatever the order of the rows. The way back begins at
 * the last reading of the way there, unless readings lie beyond it. */
static void there_and_back(const dialarc_sweep *sweep, double threshold, darc_record *r)
{
    r->passes = 0;
    split_by_direction(sweep, r);
    if (r->passes == 2 &&
        r->crank_deg[r->pass[1].begin] > r->crank_deg[r->pass[0].end - 1] + threshold)
        r->pass[1].start = DARC_START_FREE;
}

/* By the directions given. The order of the rows tells more than they do only where it
 * shows more ways than two, or the way back first. */
static dialarc_status cut_by_direction(const dialarc_sweep *sweep,
                                       const darc_dial_use *dial, double threshold,
                                       const darc_readings *room, darc_record *r)
{
    bool ordered = are_ways(sweep) && directions_in_order(sweep, r->crank_deg, threshold);
    split_by_direction(sweep, r);
    if (ordered && (r->passes > 2 || r->pass[0].direction < 0)) {
        merge_jumps(r);
        return DIALARC_OK;
    }
    if (!ordered) /* a step of the wheel between rows means nothing */
        take_rows(sweep, dial, room);
    dialarc_status status = sort_readings(sweep, room);
    if (status == DIALARC_OK)
        there_and_back(sweep, threshold, r);
    r->sorted = !ordered;
    return status;
}

dialarc_status darc_record_make(const dialarc_sweep *sweep, const darc_dial_use *dial,
                                double angle_sd_deg, const darc_readings *room,
                                darc_record *record)
{
    double threshold = fmax(REVERSAL_SDS * angle_sd_deg, 1e-9);
    record->n = sweep->n;
    record->crank_deg = room->crank_deg;
    record->lift_mm = room->lift_mm;
    record->row = room->row;
    record->passes = 0;
    record->sorted = false;
    take_rows(sweep, dial, room);
    unroll(sweep->n, sweep->crank_deg, room->crank_deg);
    if (all_directions_known(sweep))
        return cut_by_direction(sweep, dial, threshold, room, record);
    split_by_order(record, threshold);
    merge_jumps(record);
    return DIALARC_OK;
}

void darc_record_count_from(double crank_deg, const darc_readings *room,
                            const darc_record *record)
{
    for (size_t i = 0; i < record->n; i++)
        room->crank_deg[i] -= crank_deg;
}

void darc_record_meet_first_tdc(const dialarc_sweep *sweep, const darc_readings *room,
                                const darc_record *record)
{
    size_t first = SIZE_MAX, n = record->n;
    double shift = 0.0, low = INFINITY, high = -INFINITY;
    for (size_t i = 0; i < n; i++) {
        double recorded = sweep->crank_deg[record->row[i]];
        double turns = record->crank_deg[i] - recorded;
        low = fmin(low, turns);
        high = fmax(high, turns);
        if (record->row[i] < first && fabs(remainder(recorded, 360.0)) <= AT_TDC_DEG) {
            first = record->row[i];
            shift = 360.0 * round(record->crank_deg[i] / 360.0);
        }
    }
    for (size_t i = 0; i < n && high - low > 180.0; i++)
        room->crank_deg[i] -= shift;
}
