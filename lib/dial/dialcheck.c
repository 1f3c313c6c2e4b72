/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/dialcheck.h>

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include <dialarc/conformity.h>

#include "core/finite.h"

/* Blocks and turns are decimal numbers that binary ones only approach. */
#define SAME_MM 1e-9

/* A reading; sorted by travel and way. */
typedef struct reading {
    double block_mm, shown_mm;
    bool out;
} reading;

/* The readings of one travel, one way. */
typedef struct stand {
    size_t n;
    double mean_mm, squares, low_mm, high_mm;
} stand;

static int by_travel(const void *a, const void *b)
{
    const reading *x = a, *y = b;
    if (x->block_mm != y->block_mm)
        return x->block_mm < y->block_mm ? -1 : 1;
    return (int)x->out - (int)y->out;
}

static dialarc_status check_readings(size_t n, const double *block_mm,
                                     const double *shown_mm, const double *way)
{
    if (n < 2 || n > DIALARC_DIALCHECK_MAX)
        return DIALARC_ERR_SIZE;
    if (!block_mm || !shown_mm || !way)
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(block_mm[i]) || !isfinite(shown_mm[i]) || !isfinite(way[i]))
            return DIALARC_ERR_NOT_FINITE;
        if (fabs(block_mm[i]) > DARC_LARGEST || fabs(shown_mm[i]) > DARC_LARGEST)
            return DIALARC_ERR_READING;
        if (way[i] != 1.0 && way[i] != 0.0 && way[i] != -1.0)
            return DIALARC_ERR_DIRECTION;
    }
    return DIALARC_OK;
}

/* The readings in order; NULL when there is no memory. */
static reading *sorted(size_t n, const double *block_mm, const double *shown_mm,
                       const double *way)
{
    reading *r = malloc(n * sizeof *r);
    for (size_t i = 0; r && i < n; i++)
        r[i] = (reading){block_mm[i], shown_mm[i], way[i] < 0.0};
    if (r)
        qsort(r, n, sizeof *r, by_travel);
    return r;
}

/* The readings of a travel and a way that begin at `*at`, which goes on behind them. */
static stand take(const reading *r, size_t n, size_t *at, bool out)
{
    stand s = {.n = 0};
    double block_mm = r[*at < n ? *at : n - 1].block_mm;
    for (; *at < n && r[*at].block_mm == block_mm && r[*at].out == out; ++*at) {
        double x = r[*at].shown_mm, away = x - s.mean_mm;
        s.low_mm = s.n ? fmin(s.low_mm, x) : x;
        s.high_mm = s.n ? fmax(s.high_mm, x) : x;
        s.n++;
        s.mean_mm += away / (double)s.n;
        s.squares += away * (x - s.mean_mm);
    }
    return s;
}

/* The errors with the stem going in, and what is found on the way. */
typedef struct curve {
    size_t n; /* travels read with the stem going in */
    double *block_mm, *error_mm;
    size_t travels, fewest;
    double squares, dof;
    double hysteresis_mm, repeatability_mm; /* below 0: not seen */
} curve;

static void note(curve *c, const stand *s)
{
    if (s->n == 0)
        return;
    c->squares += s->squares;
    c->dof += (double)(s->n - 1);
    if (s->n > 1)
        c->repeatability_mm = fmax(c->repeatability_mm, s->high_mm - s->low_mm);
    if (c->fewest == 0 || s->n < c->fewest)
        c->fewest = s->n;
}

static void walk(const reading *r, size_t n, curve *c)
{
    for (size_t at = 0; at < n;) {
        double block_mm = r[at].block_mm;
        stand in = take(r, n, &at, false), out = {.n = 0};
        if (at < n && r[at].block_mm == block_mm)
            out = take(r, n, &at, true);
        note(c, &in);
        note(c, &out);
        c->travels++;
        if (in.n > 0) {
            c->block_mm[c->n] = block_mm;
            c->error_mm[c->n++] = in.mean_mm - block_mm;
        }
        if (in.n > 0 && out.n > 0)
            c->hysteresis_mm = fmax(c->hysteresis_mm, fabs(out.mean_mm - in.mean_mm));
    }
}

/* The largest span of errors within any way so long; NaN when none holds two travels. */
static double span_within(const curve *c, double way_mm)
{
    double largest = -1.0;
    for (size_t i = 0; i < c->n; i++) {
        double low = c->error_mm[i], high = low;
        for (size_t k = i + 1;
             k < c->n && c->block_mm[k] - c->block_mm[i] <= way_mm + SAME_MM; k++) {
            low = fmin(low, c->error_mm[k]);
            high = fmax(high, c->error_mm[k]);
            largest = fmax(largest, high - low);
        }
    }
    return largest < 0.0 ? (double)NAN : largest;
}

static double seen(double value)
{
    return value < 0.0 ? (double)NAN : value;
}

static dialarc_dialcheck tell(const curve *c, double step_mm, double turn_mm,
                              double block_u_mm)
{
    double largest = 0.0, variance = c->dof > 0.0 ? c->squares / c->dof : 0.0;
    for (size_t i = 1; i < c->n; i++)
        largest = fmax(largest, fabs(c->error_mm[i] - c->error_mm[0]));
    double read = variance / (double)c->fewest + step_mm * step_mm / 12.0;
    return (dialarc_dialcheck){
        .travels = c->travels,
        .largest_error_mm = largest,
        .hysteresis_mm = seen(c->hysteresis_mm),
        .repeatability_mm = seen(c->repeatability_mm),
        .tenth_turn_mm = span_within(c, 0.1 * turn_mm),
        .half_turn_mm = span_within(c, 0.5 * turn_mm),
        .one_turn_mm = span_within(c, turn_mm),
        .whole_range_mm = span_within(c, c->block_mm[c->n - 1] - c->block_mm[0]),
        .reading_sd_mm = c->dof > 0.0 ? sqrt(variance) : (double)NAN,
        .reading_dof = c->dof,
        .error_u_mm = sqrt(read + block_u_mm * block_u_mm),
        .span_u_mm = sqrt(2.0 * (read + block_u_mm * block_u_mm)),
        .hysteresis_u_mm = sqrt(2.0 * read)};
}

dialarc_status dialarc_dialcheck_assess(size_t n, const double *block_mm,
                                        const double *shown_mm, const double *way,
                                        double step_mm, double turn_mm, double block_u_mm,
                                        dialarc_dialcheck *check)
{
    dialarc_status status =
        check ? check_readings(n, block_mm, shown_mm, way) : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(step_mm) || !isfinite(turn_mm) || !isfinite(block_u_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_not_negative(step_mm) || !darc_positive(turn_mm))
        return DIALARC_ERR_DIAL;
    if (!darc_not_negative(block_u_mm))
        return DIALARC_ERR_SD;
    reading *r = sorted(n, block_mm, shown_mm, way);
    double *block = malloc(2 * n * sizeof *block);
    curve c = {.block_mm = block, .hysteresis_mm = -1.0, .repeatability_mm = -1.0};
    status = r && block ? DIALARC_OK : DIALARC_ERR_NO_MEMORY;
    if (status == DIALARC_OK) {
        c.error_mm = block + n;
        walk(r, n, &c);
        status = c.n < 2 ? DIALARC_ERR_SIZE : DIALARC_OK;
    }
    if (status == DIALARC_OK)
        *check = tell(&c, step_mm, turn_mm, block_u_mm);
    free(r);
    free(block);
    return status;
}

dialarc_status dialarc_dialcheck_calibration(size_t n, const double *block_mm,
                                             const double *shown_mm, const double *way,
                                             double u_mm, dialarc_dialcal **dialcal)
{
    dialarc_status status =
        dialcal ? check_readings(n, block_mm, shown_mm, way) : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    reading *r = sorted(n, block_mm, shown_mm, way);
    double *block = malloc(2 * n * sizeof *block);
    if (r && block) {
        size_t travels = 0;
        for (size_t at = 0; at < n;) {
            double travel = r[at].block_mm;
            stand in = take(r, n, &at, false), out = {.n = 0};
            if (at < n && r[at].block_mm == travel)
                out = take(r, n, &at, true);
            block[travels] = travel;
            block[n + travels++] = in.n == 0    ? out.mean_mm
                                   : out.n == 0 ? in.mean_mm
                                                : 0.5 * (in.mean_mm + out.mean_mm);
        }
        status = dialarc_dialcal_new(travels, block + n, block, u_mm, dialcal);
    } else {
        status = DIALARC_ERR_NO_MEMORY;
    }
    free(r);
    free(block);
    return status;
}

dialarc_status dialarc_dialcheck_proof(double value_mm, double u_mm, double limit_mm,
                                       double probability, dialarc_proof *proof)
{
    double guard;
    if (!proof)
        return DIALARC_ERR_NULL;
    if (!isfinite(limit_mm) || isinf(value_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (isless(probability, 0.5))
        return DIALARC_ERR_PROBABILITY;
    dialarc_status status = dialarc_conformity_guard_band(probability, u_mm, &guard);
    if (status != DIALARC_OK)
        return status;
    *proof = isnan(value_mm)                ? DIALARC_PROOF_NONE
             : value_mm <= limit_mm - guard ? DIALARC_PROOF_KEPT
             : value_mm > limit_mm + guard  ? DIALARC_PROOF_EXCEEDED
                                            : DIALARC_PROOF_NEITHER;
    return DIALARC_OK;
}
