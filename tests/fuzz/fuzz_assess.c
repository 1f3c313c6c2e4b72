/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any readings for any setup: the estimate, the verdict, the lobes. */
#include <dialarc/assess.h>
#include <dialarc/decision.h>
#include <dialarc/lobes.h>
#include <dialarc/reuse.h>

#include "fuzz_kit.h"
#include "kit/simulate.h"

const char fuzz_name[] = "assess";

#define MOST 100 /* readings, so that a run takes milliseconds */

/* The arrays of readings, and the sweep whose readings they are. */
typedef struct record {
    size_t n;
    double crank_deg[MOST], dial_mm[MOST], residual_mm[MOST];
    dialarc_direction direction[MOST];
} record;

/* Readings one behind the other, each an angle and a dial reading. */
static void any_readings(fuzz_bytes *b, record *r)
{
    for (r->n = 0; b->size > 0 && r->n < MOST; r->n++) {
        r->crank_deg[r->n] = fuzz_number(b);
        r->dial_mm[r->n] = fuzz_number(b);
    }
}

/* The job of a simulated sweep that the setup describes more or less. */
static sim_job any_job(fuzz_bytes *b, const dialarc_setup *s)
{
    int lobes = s->lobes >= 1 && s->lobes <= 12 ? s->lobes : 4;
    double pitch = 360.0 / lobes;
    sim_job j = {.crank_per_pump = 2.0, .two_way = fuzz_byte(b) & 1, .dial_turn_mm = 1.0};
    j.cam =
        (sim_cam){.lobes = lobes, .lift_mm = 0.5 + fuzz_byte(b) / 100.0, .blend = 0.25};
    j.cam.rise_deg = pitch * (0.2 + fuzz_byte(b) / 700.0);
    j.cam.top_deg = pitch * fuzz_byte(b) / 1500.0;
    j.cam.base_deg = pitch * fuzz_byte(b) / 1500.0;
    j.cam.rise_law = j.cam.fall_law = (int)(fuzz_byte(b) % SIM_LAWS);
    j.foot_crank_deg = -(double)fuzz_byte(b) / 2.0;
    j.slack_deg = fuzz_byte(b) / 10.0;
    j.hysteresis_mm = fuzz_byte(b) / 20000.0;
    j.zero_mm = fuzz_byte(b) / 50.0 - 2.5;
    j.step_deg = 0.5 + fuzz_byte(b) / 25.0;
    j.start_deg = j.foot_crank_deg - fuzz_byte(b);
    j.end_deg = j.start_deg + 4.0 * fuzz_byte(b);
    j.angle_sd_deg = fuzz_byte(b) / 500.0;
    j.dial_sd_mm = fuzz_byte(b) / 20000.0;
    j.dial_step_mm = fuzz_byte(b) / 10000.0;
    j.misread_share = fuzz_byte(b) / 1000.0;
    return j;
}

/* A simulated sweep, then single numbers of it replaced. */
static void simulated(fuzz_bytes *b, const dialarc_setup *s, record *r)
{
    static sim_sweep sweep;
    sim_random random;
    sim_seed(&random, fuzz_byte(b));
    sim_job job = any_job(b, s);
    sim_run(&job, &random, &sweep);
    r->n = sweep.n < MOST ? sweep.n : MOST;
    memcpy(r->crank_deg, sweep.crank_deg, r->n * sizeof(double));
    memcpy(r->dial_mm, sweep.dial_mm, r->n * sizeof(double));
    while (b->size > 3 && r->n > 0) {
        size_t at = fuzz_word(b);
        (at & 1 ? r->crank_deg : r->dial_mm)[at / 2 % r->n] = fuzz_number(b);
    }
}

static void check_findings(const dialarc_findings *f, size_t n)
{
    FUZZ_CHECK(f->present >> DIALARC_FINDING_COUNT == 0);
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        if (f->present >> k & 1)
            FUZZ_CHECK(f->row[k] == DIALARC_NO_ROW || f->row[k] < n);
}

static void check_timing(const dialarc_setup *setup, const dialarc_timing *t, size_t n)
{
    FUZZ_CHECK(fuzz_sane(t->lift_mm) && isnan(t->lift_mm) == isnan(t->lift_u_mm));
    FUZZ_CHECK(fuzz_sane(t->lift_u_mm) && !(t->lift_u_mm < 0.0));
    FUZZ_CHECK(fuzz_sane(t->minimum_mm) && fuzz_sane(t->minimum_crank_deg));
    FUZZ_CHECK(!(t->slack_crank_deg < 0.0) && !(t->dial_hysteresis_mm < 0.0));
    FUZZ_CHECK(!(t->slack_u_crank_deg < 0.0) && !(t->dial_hysteresis_u_mm < 0.0));
    FUZZ_CHECK(!(t->total_lift_mm < 0.0) && !(t->rise_pump_deg < 0.0));
    FUZZ_CHECK(t->readings_used + t->readings_rejected <= n);
    check_findings(&t->findings, n);
    dialarc_decision d;
    dialarc_status status = dialarc_decision_judge(setup, t, &d);
    FUZZ_CHECK(status == DIALARC_OK);
    FUZZ_CHECK(!(d.probability_in < 0.0) && !(d.probability_in > 1.0));
    FUZZ_CHECK(fuzz_sane(d.turn_pump_deg) && fuzz_sane(d.aim_mm));
}

static void check_lobes(dialarc_workspace *w, const dialarc_setup *setup,
                        const dialarc_sweep *sweep, double *residual)
{
    dialarc_lobes l = {.lobes = -7};
    dialarc_status status = dialarc_lobes_estimate(w, setup, sweep, residual, &l);
    FUZZ_CHECK((l.lobes == -7) == (status < DIALARC_OK));
    if (status < DIALARC_OK)
        return;
    FUZZ_CHECK(l.lobes == setup->lobes);
    FUZZ_CHECK(!(l.spread_crank_deg < 0.0) && !(l.run_out_mm < 0.0));
    check_findings(&l.findings, sweep->n);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static record r;
    static dialarc_workspace *used;
    fuzz_bytes b = {data, size};
    unsigned kind = fuzz_byte(&b);
    dialarc_setup setup = fuzz_setup(&b);
    if (!used)
        used = dialarc_workspace_new();
    if (kind & 1)
        any_readings(&b, &r);
    else
        simulated(&b, &setup, &r);
    for (size_t i = 0; i < r.n; i++)
        r.direction[i] = (kind & 4) && i > r.n / 2 ? DIALARC_DIRECTION_AGAINST
                                                   : DIALARC_DIRECTION_WITH;
    dialarc_sweep sweep = {r.n, r.crank_deg, r.dial_mm, kind & 2 ? r.direction : NULL};
    dialarc_timing t = {.lift_mm = -7.0};
    dialarc_status status =
        dialarc_timing_estimate(used, &setup, &sweep, r.residual_mm, &t);
    FUZZ_CHECK(status <= DIALARC_NOT_CONVERGED);
    if (status < DIALARC_OK)
        FUZZ_CHECK(t.lift_mm == -7.0);
    else
        check_timing(&setup, &t, r.n);
    if (kind & 8)
        check_lobes(used, &setup, &sweep, r.residual_mm);
    return 0;
}
