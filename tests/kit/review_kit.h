/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the tests of the findings share: an ordinary job to be spoilt in one way at a
 * time, and what the library says of it.
 */
#ifndef REVIEW_KIT_H
#define REVIEW_KIT_H

#include <dialarc/assess.h>
#include <dialarc/decision.h>

#include "assess/assess.h"
#include "kit/check_main.h"
#include "kit/sweep_kit.h"

/* Whether the job's cam is given to the library or has to be learned. */
enum { LEARNED = 0, GIVEN = 1 };

/*
 * Four lobes, modified sine, 0.9 mm at TDC, foot 34 crank degrees before it, base
 * dwell of 20 crank degrees; steps of 2 degrees from half-way down the fall to 20 degrees
 * after TDC and back. Slack 4 degrees.
 */
static inline sim_job ordinary_job(void)
{
    sim_job j = {.cam = {.lobes = 4,
                         .lift_mm = 2.2,
                         .rise_deg = 38.0,
                         .top_deg = 2.0,
                         .base_deg = 10.0,
                         .rise_law = 4,
                         .fall_law = 4,
                         .blend = 0.25},
                 .crank_per_pump = 2.0,
                 .slack_deg = 4.0,
                 .hysteresis_mm = 0.003,
                 .zero_mm = 0.005,
                 .step_deg = 2.0,
                 .two_way = 1,
                 .angle_sd_deg = 0.2,
                 .dial_sd_mm = 0.003,
                 .dial_step_mm = 0.005,
                 .dial_turn_mm = 1.0};
    double low = 0.0, high = j.cam.rise_deg;
    for (int k = 0; k < 60; k++) {
        double middle = 0.5 * (low + high);
        *(sim_lift(&j.cam, middle) < 0.9 ? &low : &high) = middle;
    }
    j.foot_crank_deg = -2.0 * low;
    j.start_deg = j.foot_crank_deg - 40.0;
    j.end_deg = 20.0;
    return j;
}

typedef struct outcome {
    dialarc_status status;
    dialarc_timing timing;
    dialarc_verdict verdict;
    double error_mm; /* of the lift at TDC */
} outcome;

/* Bytes of a record's readings, to compare. */
typedef struct copied {
    double crank[SIM_MAX], lift[SIM_MAX];
    size_t row[SIM_MAX];
    darc_record record;
} copied;

static inline void copy_record(const darc_record *r, copied *c)
{
    memcpy(c->crank, r->crank_deg, r->n * sizeof c->crank[0]);
    memcpy(c->lift, r->lift_mm, r->n * sizeof c->lift[0]);
    memcpy(c->row, r->row, r->n * sizeof c->row[0]);
    c->record = *r;
}

static inline void check_unaltered(const darc_record *r, const copied *c)
{
    ck_assert_uint_eq(r->n, c->record.n);
    ck_assert_int_eq(r->passes, c->record.passes);
    ck_assert(r->sorted == c->record.sorted);
    for (int k = 0; k < r->passes; k++) {
        ck_assert_uint_eq(r->pass[k].begin, c->record.pass[k].begin);
        ck_assert_uint_eq(r->pass[k].end, c->record.pass[k].end);
        ck_assert_int_eq(r->pass[k].direction, c->record.pass[k].direction);
        ck_assert_int_eq(r->pass[k].start, c->record.pass[k].start);
    }
    ck_assert(memcmp(c->crank, r->crank_deg, r->n * sizeof c->crank[0]) == 0);
    ck_assert(memcmp(c->lift, r->lift_mm, r->n * sizeof c->lift[0]) == 0);
    ck_assert(memcmp(c->row, r->row, r->n * sizeof c->row[0]) == 0);
}

/* The library's word on a sweep with a window of 0.80 to 1.00 mm. Whatever is found, the
 * record is the same, bit by bit, before and after. */
static inline outcome judged(const dialarc_setup *setup, const dialarc_sweep *sweep)
{
    static copied before;
    outcome o;
    dialarc_decision decision;
    darc_memory memory = {.capacity = 0};
    darc_problem problem;
    dialarc_setup with_window = *setup;
    with_window.lift_low_mm = 0.8;
    with_window.lift_high_mm = 1.0;
    ck_assert_int_eq(darc_memory_open(&memory, &with_window, NULL, 0.0, sweep, &problem),
                     DIALARC_OK);
    copy_record(&problem.record, &before);
    o.status = darc_assess_timing(&problem, &memory, NULL, &o.timing);
    check_unaltered(&problem.record, &before);
    ck_assert(o.status == DIALARC_OK || o.status == DIALARC_NOT_CONVERGED);
    ck_assert_int_eq(dialarc_decision_judge(&with_window, &o.timing, &decision),
                     DIALARC_OK);
    o.verdict = decision.verdict;
    o.error_mm = NAN;
    darc_memory_release(&memory);
    return o;
}

/* Simulates a job and judges it. */
static inline outcome look(const sim_job *job, int known, uint64_t seed)
{
    static sim_sweep s;
    sim_random r;
    sim_seed(&r, seed);
    sim_run(job, &r, &s);
    dialarc_setup setup = kit_setup(job, known);
    setup.tdc_sd_deg = 0.1;
    dialarc_sweep sweep = kit_sweep(&s);
    outcome o = judged(&setup, &sweep);
    o.error_mm = o.timing.lift_mm - s.lift_tdc_mm;
    return o;
}

static inline int has(const outcome *o, dialarc_finding finding)
{
    return dialarc_findings_has(&o->timing.findings, finding);
}

static inline void expect(const outcome *o, dialarc_finding finding,
                          dialarc_severity severity)
{
    ck_assert_msg(has(o, finding), "no %s", dialarc_finding_code(finding));
    ck_assert_msg(o->timing.findings.severity[finding] == severity, "%s: %s",
                  dialarc_finding_code(finding),
                  dialarc_severity_text(o->timing.findings.severity[finding]));
}

static inline void expect_not(const outcome *o, dialarc_finding finding)
{
    ck_assert_msg(!has(o, finding), "%s", dialarc_finding_code(finding));
}

/* A finding that stops the verdict, and no verdict. */
static inline void expect_stop(const outcome *o, dialarc_finding finding)
{
    expect(o, finding, DIALARC_SEVERITY_STOP);
    ck_assert_int_eq(o->verdict, DIALARC_VERDICT_UNUSABLE);
}

/* Nothing worse than a note, a verdict, and the truth within the uncertainty. */
static inline void expect_fine(const outcome *o)
{
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        ck_assert_msg(!has(o, (dialarc_finding)k) ||
                          o->timing.findings.severity[k] == DIALARC_SEVERITY_NOTE,
                      "%s", dialarc_finding_code((dialarc_finding)k));
    ck_assert_int_ne(o->verdict, DIALARC_VERDICT_UNUSABLE);
    ck_assert_double_le(fabs(o->error_mm), 1.5 * o->timing.lift_u_mm);
}

#endif
