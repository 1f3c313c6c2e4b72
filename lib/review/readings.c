/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/readings.h"

#include <math.h>

#include "core/finding.h"

#define LEAST_READINGS    6    /* with the cam given ... */
#define LEAST_TO_LEARN    8    /* ... and to learn it from */
#define LEAST_SPAN_MM     0.05 /* a plunger that moves less is not being driven */
#define LEAST_SPAN_SDS    8.0
#define STILL_SDS         2.5
#define TDC_SDS           2.0 /* tolerance on having reached TDC */
#define STOPPED_AT_TDC    2.0 /* crank degrees */
#define LEAST_EQUAL       4   /* equal readings that mean a dial off its spindle */
#define MANY_JUMPS        8
#define READINGS_A_JUMP   10
#define WHOLE_NUMBER_SLIP 1e-6

double darc_still_mm(const darc_noise *noise)
{
    return STILL_SDS * darc_reading_sd(noise);
}

static void check_count(const darc_record *r, bool given, dialarc_timing *t)
{
    if (r->n < (given ? LEAST_READINGS : LEAST_TO_LEARN))
        darc_findings_add(&t->findings, DIALARC_FINDING_TOO_FEW_READINGS,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
}

static double span_mm(const darc_record *r)
{
    double low, high;
    darc_record_span(r, &low, &high);
    return r->n >= 3 ? high - low : 0.0;
}

static bool all_equal(const darc_record *r)
{
    size_t i = 1;
    while (i < r->n && r->lift_mm[i] == r->lift_mm[0])
        i++;
    return i >= r->n;
}

/* A dial that hardly moves has lost the plunger, or the engine was not turned. */
static bool check_dial_moves(const darc_record *r, const darc_noise *noise,
                             dialarc_timing *t)
{
    if (span_mm(r) >= fmax(LEAST_SPAN_MM, LEAST_SPAN_SDS * darc_reading_sd(noise)))
        return true;
    if (r->n >= LEAST_EQUAL && all_equal(r))
        darc_findings_add(&t->findings, DIALARC_FINDING_DIAL_OFF_SPINDLE,
                          DIALARC_SEVERITY_STOP, r->row[0]);
    darc_findings_add(&t->findings, DIALARC_FINDING_MINIMUM_NOT_BRACKETED,
                      DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
    return false;
}

typedef struct range {
    double low, high;
} range;

static range pass_range(const darc_record *r, const darc_pass *pass)
{
    range x = {INFINITY, -INFINITY};
    for (size_t i = pass->begin; i < pass->end; i++) {
        x.low = fmin(x.low, r->crank_deg[i]);
        x.high = fmax(x.high, r->crank_deg[i]);
    }
    return x;
}

/* TDC reached at all, and by a pass in running direction that comes from before it. */
static void check_way_to_tdc(const darc_record *r, double tolerance, dialarc_timing *t)
{
    bool with = false, from_before = false;
    double before = INFINITY, after = -INFINITY;
    for (int k = 0; k < r->passes; k++) {
        range x = pass_range(r, &r->pass[k]);
        bool forward = r->pass[k].direction > 0;
        before = fmin(before, x.low);
        after = fmax(after, x.high);
        with |= forward;
        from_before |= forward && x.low < -tolerance && x.high >= -tolerance;
    }
    bool reached = before <= tolerance && after >= -tolerance;
    if (!reached)
        darc_findings_add(&t->findings, DIALARC_FINDING_TDC_NOT_REACHED,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
    if (!with || (reached && !from_before))
        darc_findings_add(&t->findings, DIALARC_FINDING_APPROACH_AGAINST_ROTATION,
                          with ? DIALARC_SEVERITY_CAUTION : DIALARC_SEVERITY_STOP,
                          DIALARC_NO_ROW);
}

/* The record stops at TDC, to which the crank was turned back after having passed it in
 * running direction. A sweep that goes back all the way does not stop there. */
static void check_overshoot(const darc_record *r, double tolerance, dialarc_timing *t)
{
    if (r->passes < 2 || r->sorted)
        return;
    const darc_pass *last = &r->pass[r->passes - 1];
    const darc_pass *before = &r->pass[r->passes - 2];
    double stopped = r->crank_deg[r->n - 1];
    if (last->direction > 0 || before->direction < 0 ||
        fabs(stopped) > fmax(tolerance, STOPPED_AT_TDC))
        return;
    range there = pass_range(r, before);
    if (there.low < -tolerance && there.high > tolerance)
        darc_findings_add(&t->findings, DIALARC_FINDING_OVERSHOT_TDC,
                          DIALARC_SEVERITY_CAUTION, r->row[r->n - 1]);
}

/* One crank turn on, the pump of an even number of lobes stands just the same: only the
 * engine shows which turn it is. */
static void check_stroke(const darc_known *known, dialarc_timing *t)
{
    double ratio = known->crank_per_pump;
    double lobes = known->lobes / ratio; /* passed in a crank turn */
    if (!known->firing_tdc_seen && ratio > 1.0 + WHOLE_NUMBER_SLIP &&
        fabs(lobes - round(lobes)) < WHOLE_NUMBER_SLIP)
        darc_findings_add(&t->findings, DIALARC_FINDING_STROKE_NOT_DETERMINED,
                          DIALARC_SEVERITY_NOTE, DIALARC_NO_ROW);
}

/* Readings that keep jumping back and forth do not stand in the order taken. */
static void check_order(const darc_record *r, dialarc_timing *t)
{
    size_t jumps = 0;
    for (int k = 1; k < r->passes; k++)
        jumps += r->pass[k].start == DARC_START_FREE;
    if (!r->sorted && jumps >= MANY_JUMPS && READINGS_A_JUMP * jumps > r->n)
        darc_findings_add(&t->findings, DIALARC_FINDING_FIT_NOT_CONVERGED,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
}

bool darc_check_readings(const darc_problem *problem, dialarc_timing *t)
{
    const darc_record *r = &problem->record;
    const darc_noise *noise = &problem->noise;
    double tolerance = TDC_SDS * noise->angle_sd_deg;
    check_stroke(&problem->known, t);
    check_count(r, problem->cam.given, t);
    if (r->n == 0)
        return false;
    check_way_to_tdc(r, tolerance, t);
    check_overshoot(r, tolerance, t);
    check_order(r, t);
    bool moves = r->n < 3 || check_dial_moves(r, noise, t);
    return moves && !dialarc_findings_has(&t->findings, DIALARC_FINDING_TOO_FEW_READINGS);
}
