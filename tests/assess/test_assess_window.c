/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a window refers to: another crank angle than TDC, or the mark itself. */
#include <dialarc/assess.h>
#include <dialarc/camtable.h>
#include <dialarc/lobes.h>
#include <dialarc/reuse.h>
#include <dialarc/tabled_cam.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/lobes_kit.h"
#include "kit/sweep_kit.h"

static dialarc_workspace *workspace;

static void setup(void)
{
    workspace = dialarc_workspace_new();
}

static void teardown(void)
{
    dialarc_workspace_free(workspace);
}

static dialarc_timing assess(const dialarc_setup *s, const dialarc_sweep *sweep,
                             dialarc_decision *d)
{
    dialarc_timing t;
    ck_assert_int_ge(dialarc_assess(workspace, s, sweep, NULL, &t, d), DIALARC_OK);
    return t;
}

/* A window at 5 degrees before TDC asks of a sweep what one at TDC asks of the sweep
 * whose wheel reads 5 degrees more: to the bit, as 5 is exact on the wheel. */
START_TEST(another_angle_is_another_zero_of_the_wheel)
{
    static sim_sweep s;
    double moved[SIM_MAX];
    sim_random r;
    sim_seed(&r, 31);
    for (int known = 0; known < 2; known++) {
        sim_job job = kit_job(&r);
        sim_run(&job, &r, &s);
        for (size_t i = 0; i < s.n; i++) {
            s.crank_deg[i] = round(s.crank_deg[i] * 1024.0) / 1024.0;
            moved[i] = s.crank_deg[i] + 5.0;
        }
        dialarc_setup at_tdc = kit_setup(&job, known), before = at_tdc;
        at_tdc.lift_low_mm = before.lift_low_mm = 0.6;
        at_tdc.lift_high_mm = before.lift_high_mm = 0.8;
        before.window_crank_deg = -5.0;
        dialarc_sweep there = kit_sweep(&s), here = {s.n, moved, s.dial_mm, NULL};
        dialarc_decision a, b;
        dialarc_timing x = assess(&before, &there, &a), y = assess(&at_tdc, &here, &b);
        ck_assert(isfinite(x.lift_mm));
        ck_assert_double_eq(x.lift_crank_deg, -5.0);
        ck_assert_double_eq(y.lift_crank_deg, 0.0);
        ck_assert_double_eq_tol(x.minimum_crank_deg, y.minimum_crank_deg - 5.0, 1e-12);
        x.lift_crank_deg = y.lift_crank_deg;
        x.minimum_crank_deg = y.minimum_crank_deg;
        ck_assert_mem_eq(&x, &y, offsetof(dialarc_timing, law));
        ck_assert_mem_eq(&x.findings, &y.findings, sizeof x.findings);
        ck_assert_int_eq(a.verdict, b.verdict);
        ck_assert_double_eq(a.probability_in, b.probability_in);
        ck_assert(a.turn_pump_deg == b.turn_pump_deg && a.aim_mm == b.aim_mm);
        ck_assert(a.tdc_sd_needed_deg == b.tdc_sd_needed_deg);
    }
}
END_TEST

/* Lift and rate are those of the pump there, with the uncertainty they are said to have:
 * 95 in 100, and no fewer of 200 than chance would make it in 1 of 1000. */
START_TEST(lift_and_rate_are_those_there)
{
    static sim_sweep s;
    int held = 0, runs = kit_count(200);
    sim_random r;
    sim_seed(&r, 32);
    for (int k = 0; k < runs; k++) {
        sim_job job = kit_job(&r);
        double at = sim_uniform(&r, -10.0, 6.0);
        sim_run(&job, &r, &s);
        dialarc_setup known = kit_setup(&job, 1);
        known.window_crank_deg = at;
        dialarc_sweep sweep = kit_sweep(&s);
        dialarc_decision d;
        dialarc_timing t = assess(&known, &sweep, &d);
        double truth = sim_lift_forward(&job, at), e = 0.01;
        double rate =
            (sim_lift_forward(&job, at + e) - sim_lift_forward(&job, at - e)) / (2.0 * e);
        held += fabs(t.lift_mm - truth) <= t.lift_u_mm;
        ck_assert_double_lt(fabs(t.lift_mm - truth), 3.0 * t.lift_u_mm);
        ck_assert_double_eq_tol(t.rate_mm_per_crank_deg, rate, 0.05 * rate + 0.001);
        ck_assert_double_eq(t.lift_crank_deg, at);
    }
    ck_assert_int_ge(held, (int)(0.90 * runs));
}
END_TEST

/* A wheel off centre is right at TDC and wrong where the window is asked for. */
START_TEST(a_wheel_off_centre_is_right_at_tdc)
{
    static sim_sweep s;
    int held = 0, runs = kit_count(200);
    sim_random r;
    sim_seed(&r, 37);
    for (int k = 0; k < runs; k++) {
        sim_job job = kit_job(&r);
        job.faults.wheel_error_deg = 0.8;
        job.faults.wheel_phase = sim_uniform(&r, 0.0, 6.283);
        sim_run(&job, &r, &s);
        dialarc_setup known = kit_setup(&job, 1);
        known.wheel_error_deg = 0.8;
        known.window_crank_deg = -20.0;
        dialarc_sweep sweep = kit_sweep(&s);
        dialarc_decision d;
        dialarc_timing t = assess(&known, &sweep, &d);
        held += fabs(t.lift_mm - sim_lift_forward(&job, -20.0)) <= t.lift_u_mm;
    }
    ck_assert_int_ge(held, (int)(0.90 * runs));
}
END_TEST

/* A mark that stands wrong by up to 2 degrees: what is asked of true TDC is as unsure as
 * the mark; what is asked of the mark is not. */
START_TEST(a_mark_is_its_own_truth)
{
    static sim_sweep s;
    int held[2] = {0, 0}, runs = kit_count(100);
    double u[2] = {0.0, 0.0};
    sim_random r;
    sim_seed(&r, 33);
    for (int k = 0; k < runs; k++) {
        sim_job job = kit_job(&r);
        job.tdc_error_deg = 0.7 * sim_normal(&r);
        sim_run(&job, &r, &s);
        dialarc_sweep sweep = kit_sweep(&s);
        dialarc_setup known = kit_setup(&job, 1);
        for (int mark = 0; mark < 2; mark++) {
            known.window_at = mark ? DIALARC_WINDOW_AT_MARK : DIALARC_WINDOW_AT_TDC;
            known.tdc_sd_deg = mark ? 0.0 : 0.7; /* met exactly; wrong by that */
            dialarc_decision d;
            dialarc_timing t = assess(&known, &sweep, &d);
            double truth = sim_lift_forward(&job, mark ? job.tdc_error_deg : 0.0);
            held[mark] += fabs(t.lift_mm - truth) <= t.lift_u_mm;
            u[mark] += t.lift_u_mm;
            known.tdc_sd_deg = DIALARC_UNKNOWN;
            t = assess(&known, &sweep, &d);
            ck_assert_double_eq_tol(t.budget.tdc_mm,
                                    t.rate_mm_per_crank_deg * (mark ? 0.1 : 0.5), 1e-15);
        }
    }
    ck_assert_int_ge(held[0], (int)(0.88 * runs));
    ck_assert_int_ge(held[1], (int)(0.88 * runs));
    ck_assert_double_lt(4.0 * u[1], u[0]);
}
END_TEST

/* Lobes are told by the wheel, wherever a window may be asked for. */
START_TEST(lobes_keep_to_tdc)
{
    static sim_sweep s;
    sim_random r;
    sim_seed(&r, 34);
    sim_job job = kit_pump(1.0);
    sim_run(&job, &r, &s);
    dialarc_setup plain = kit_setup(&job, 1), moved = plain;
    moved.window_crank_deg = -20.0;
    dialarc_sweep sweep = kit_sweep(&s);
    dialarc_lobes a, b;
    ck_assert_int_ge(dialarc_lobes_estimate(workspace, &plain, &sweep, NULL, &a), 0);
    ck_assert_int_ge(dialarc_lobes_estimate(workspace, &moved, &sweep, NULL, &b), 0);
    ck_assert_double_eq(a.run_out_phase_pump_deg, b.run_out_phase_pump_deg);
    ck_assert_double_eq(a.lobe[1].advance_crank_deg, b.lobe[1].advance_crank_deg);
}
END_TEST

/* An engine that must not be turned back gives one-way sweeps; hysteresis that they leave
 * open, or a cam known no better, can be too much for a window whatever is read. A window
 * holds a lift surely from 2.2414 standard uncertainties either side of its middle on. */
START_TEST(a_window_too_narrow)
{
    static sim_sweep s;
    sim_random r;
    sim_seed(&r, 35);
    sim_job job = kit_job(&r);
    kit_few(&job, &r);
    sim_run(&job, &r, &s);
    dialarc_setup known = kit_setup(&job, 1);
    known.dial_hysteresis_mm = 0.03;
    dialarc_sweep sweep = kit_sweep(&s);
    dialarc_decision d;
    dialarc_timing t = assess(&known, &sweep, &d);
    double hysteresis = t.budget.hysteresis_mm;
    ck_assert_double_gt(hysteresis, 0.001);
    for (int wide = 0; wide < 2; wide++) {
        double half = hysteresis * (wide ? 2.25 : 2.23);
        known.lift_low_mm = s.lift_tdc_mm - half;
        known.lift_high_mm = s.lift_tdc_mm + half;
        known.turn_back = DIALARC_TURN_BACK_FORBIDDEN;
        t = assess(&known, &sweep, &d);
        ck_assert_int_eq(
            dialarc_findings_has(&t.findings, DIALARC_FINDING_WINDOW_TOO_NARROW), !wide);
        ck_assert_double_eq(d.tdc_sd_needed_deg, 0.0); /* the readings count here */
        known.turn_back = DIALARC_TURN_BACK_ALLOWED;   /* a sweep both ways may show it */
        t = assess(&known, &sweep, &d);
        ck_assert(!dialarc_findings_has(&t.findings, DIALARC_FINDING_WINDOW_TOO_NARROW));
    }
}
END_TEST

START_TEST(a_window_too_narrow_for_the_cam)
{
    static sim_sweep s;
    sim_random r;
    sim_seed(&r, 36);
    sim_job job = kit_job(&r);
    sim_run(&job, &r, &s);
    dialarc_setup known = kit_setup(&job, 1);
    known.lift_low_mm = s.lift_tdc_mm - 0.015;
    known.lift_high_mm = s.lift_tdc_mm + 0.015;
    dialarc_sweep sweep = kit_sweep(&s);
    dialarc_timing t;
    const dialarc_cam cam = {.lobes = known.lobes,
                             .lift_mm = job.cam.lift_mm,
                             .rise_deg = known.rise_deg,
                             .top_dwell_deg = known.top_dwell_deg,
                             .base_dwell_deg = known.base_dwell_deg,
                             .law = known.cam_law};
    dialarc_camtable *table = NULL;
    ck_assert_int_eq(dialarc_camtable_from_cam(&cam, 720, &table), DIALARC_OK);
    for (int poor = 0; poor < 2; poor++) {
        ck_assert_int_ge(dialarc_reuse_estimate(workspace, &known, table,
                                                poor ? 0.01 : 0.002, &sweep, NULL, &t),
                         0);
        ck_assert_int_eq(
            dialarc_findings_has(&t.findings, DIALARC_FINDING_WINDOW_TOO_NARROW), poor);
    }
    dialarc_camtable_free(table);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("window");
    TCase *c = tcase_create("window");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, setup, teardown);
    tcase_add_test(c, another_angle_is_another_zero_of_the_wheel);
    tcase_add_test(c, lift_and_rate_are_those_there);
    tcase_add_test(c, a_wheel_off_centre_is_right_at_tdc);
    tcase_add_test(c, a_mark_is_its_own_truth);
    tcase_add_test(c, lobes_keep_to_tdc);
    tcase_add_test(c, a_window_too_narrow);
    tcase_add_test(c, a_window_too_narrow_for_the_cam);
    suite_add_tcase(s, c);
    return darc_run(s);
}
