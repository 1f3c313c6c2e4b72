/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A dial that errs, and its calibration: what the readings are corrected to, what remains
 * in U, and at which reading to aim.
 */
#include <math.h>

#include <dialarc/assess.h>
#include <dialarc/rounds.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"

#define SWEEPS 200
#define POINTS 41 /* every 0.1 mm */
#define U_MM   0.0008

static const double pi = 3.14159265358979323846;

/* What a dial shows for a travel when it errs once a turn of its needle. */
static double shows(const sim_faults *f, double travel_mm)
{
    double turn = 2.0 * pi * travel_mm + f->turn_phase;
    return travel_mm + f->turn_error_mm * (sin(turn) - sin(f->turn_phase));
}

/* A calibration on a bench, whose travels are known within U_MM. */
static dialarc_dialcal *calibrate(const sim_faults *f, sim_random *r)
{
    double shown[POINTS], travel[POINTS];
    dialarc_dialcal *made = NULL;
    for (int k = 0; k < POINTS; k++) {
        double there = 0.1 * (k - 5);
        shown[k] = shows(f, there);
        travel[k] = there + U_MM * sim_normal(r);
    }
    ck_assert_int_eq(dialarc_dialcal_new(POINTS, shown, travel, U_MM, &made), DIALARC_OK);
    return made;
}

typedef struct outcome {
    double covered, error2, bias, u;
} outcome;

static outcome try(int known, int calibrated)
{
    static sim_sweep sweep;
    dialarc_workspace *workspace = dialarc_workspace_new();
    outcome o = {0};
    int sweeps = kit_count(known ? SWEEPS : SWEEPS / 3);
    for (int k = 0; k < sweeps; k++) {
        sim_random r;
        dialarc_timing t;
        sim_seed(&r, 4400u + (uint64_t)k);
        sim_job j = kit_job(&r);
        j.zero_mm = 0.0;
        j.dial_turn_mm = 1.0;
        j.misread_share = 0.0;
        j.faults.turn_error_mm = 0.012;
        j.faults.turn_phase = sim_uniform(&r, 0.0, 2.0 * pi);
        dialarc_setup s = kit_setup(&j, known);
        s.dial_error_mm = calibrated ? DIALARC_UNKNOWN : 0.003;
        dialarc_dialcal *c = calibrate(&j.faults, &r);
        if (calibrated)
            s.dial_calibration = c;
        sim_run(&j, &r, &sweep);
        dialarc_sweep readings = kit_sweep(&sweep);
        ck_assert_int_ge(dialarc_timing_estimate(workspace, &s, &readings, NULL, &t),
                         DIALARC_OK);
        double error = t.lift_mm - sweep.lift_tdc_mm;
        o.covered += (fabs(error) <= t.lift_u_mm) / (double)sweeps;
        o.error2 += error * error / sweeps;
        o.u += t.lift_u_mm / sweeps;
        dialarc_dialcal_free(c);
    }
    dialarc_workspace_free(workspace);
    return o;
}

START_TEST(a_calibrated_dial_is_as_good_as_its_calibration)
{
    for (int known = 0; known < 2; known++) {
        outcome without = try(known, 0), with = try(known, 1);
        ck_assert_msg(with.covered >= 0.90, "known %d: %.3f", known, with.covered);
        ck_assert_msg(with.error2 < 0.6 * without.error2, "known %d: %.5f, %.5f", known,
                      sqrt(with.error2), sqrt(without.error2));
    }
}
END_TEST

/* A dial that shows 1 % too little, exactly calibrated: the same sweep as that of a
 * perfect dial, and what is aimed at is what that dial shows. */
START_TEST(what_is_shown_and_what_is_true)
{
    static sim_sweep sweep;
    double shown[] = {-1.0, 9.0}, travel[] = {-1.01, 9.09}, dial_mm[SIM_MAX];
    dialarc_dialcal *c = NULL;
    dialarc_workspace *workspace = dialarc_workspace_new();
    dialarc_timing is, was;
    dialarc_decision d, e;
    sim_random r;
    sim_seed(&r, 12);
    sim_job j = kit_job(&r);
    j.dial_step_mm = 0.0;
    j.misread_share = 0.0;
    sim_run(&j, &r, &sweep);
    dialarc_setup s = kit_setup(&j, 1);
    s.lift_low_mm = sweep.lift_tdc_mm - 0.1;
    s.lift_high_mm = sweep.lift_tdc_mm - 0.06;
    s.tdc_sd_deg = 0.05;
    dialarc_sweep readings = kit_sweep(&sweep);
    ck_assert_int_eq(dialarc_assess(workspace, &s, &readings, NULL, &was, &e),
                     DIALARC_OK);
    ck_assert_int_eq(dialarc_dialcal_new(2, shown, travel, 0.0, &c), DIALARC_OK);
    for (size_t i = 0; i < sweep.n; i++)
        dial_mm[i] = sweep.dial_mm[i] / 1.01;
    readings.dial_mm = dial_mm;
    s.dial_calibration = c;
    ck_assert_int_eq(dialarc_assess(workspace, &s, &readings, NULL, &is, &d), DIALARC_OK);
    ck_assert_double_eq_tol(is.lift_mm, was.lift_mm, 1e-9);
    ck_assert_double_eq_tol(is.minimum_mm, was.minimum_mm / 1.01, 1e-9);
    ck_assert_double_eq_tol(d.aim_mm, e.aim_mm / 1.01, 1e-9);
    ck_assert_double_eq_tol(d.turn_pump_deg, e.turn_pump_deg, 1e-6);
    /* a round without a wheel takes the same dial */
    const dialarc_round rounds[] = {{1, 0.0, 0.9 / 1.01, 1}};
    dialarc_plan plan;
    ck_assert_int_eq(dialarc_plan_rounds(&s, 1, rounds, &plan), DIALARC_OK);
    s.dial_calibration = NULL;
    const dialarc_round straight[] = {{1, 0.0, 0.9, 1}};
    dialarc_plan plain;
    ck_assert_int_eq(dialarc_plan_rounds(&s, 1, straight, &plain), DIALARC_OK);
    ck_assert_double_eq_tol(plan.lift_mm, plain.lift_mm, 1e-12);
    ck_assert_double_eq_tol(plan.decision.aim_mm, plain.decision.aim_mm / 1.01, 1e-12);
    dialarc_dialcal_free(c);
    dialarc_workspace_free(workspace);
}
END_TEST

/* What the calibration leaves is a line of the budget, and so is a stem out of square. */
START_TEST(what_remains)
{
    static sim_sweep sweep;
    const double points[] = {-2.0, 9.0}, u[] = {0.0, 0.001, 0.004};
    double last = 0.0;
    dialarc_workspace *workspace = dialarc_workspace_new();
    sim_random r;
    sim_seed(&r, 13);
    sim_job j = kit_job(&r);
    sim_run(&j, &r, &sweep);
    dialarc_setup s = kit_setup(&j, 1);
    dialarc_sweep readings = kit_sweep(&sweep);
    for (int k = 0; k < 3; k++) {
        dialarc_timing t;
        dialarc_dialcal *c = NULL;
        ck_assert_int_eq(dialarc_dialcal_new(2, points, points, u[k], &c), DIALARC_OK);
        s.dial_calibration = c;
        s.dial_error_mm =
            0.0; /* stated: nothing remains, whatever the calibration says */
        ck_assert_int_eq(dialarc_timing_estimate(workspace, &s, &readings, NULL, &t),
                         DIALARC_OK);
        ck_assert_double_le(t.budget.dial_mm, 1e-6);
        s.dial_error_mm = DIALARC_UNKNOWN;
        ck_assert_int_eq(dialarc_timing_estimate(workspace, &s, &readings, NULL, &t),
                         DIALARC_OK);
        ck_assert_double_gt(t.budget.dial_mm, last);
        ck_assert_double_ge(t.budget.dial_mm, 0.7 * u[k]);
        last = t.budget.dial_mm;
        dialarc_dialcal_free(c);
    }
    dialarc_workspace_free(workspace);
}
END_TEST

START_TEST(a_calibration_that_covers_too_little)
{
    static sim_sweep sweep;
    const double points[] = {-0.2, 0.5};
    dialarc_dialcal *c = NULL;
    dialarc_workspace *workspace = dialarc_workspace_new();
    dialarc_timing t;
    sim_random r;
    sim_seed(&r, 14);
    sim_job j = kit_job(&r);
    sim_run(&j, &r, &sweep);
    dialarc_setup s = kit_setup(&j, 1);
    dialarc_sweep readings = kit_sweep(&sweep);
    ck_assert_int_eq(dialarc_dialcal_new(2, points, points, 0.0, &c), DIALARC_OK);
    s.dial_calibration = c;
    ck_assert_int_eq(dialarc_timing_estimate(workspace, &s, &readings, NULL, &t),
                     DIALARC_ERR_READING);
    dialarc_dialcal_free(c);
    dialarc_workspace_free(workspace);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("assess_calibrated");
    TCase *c = tcase_create("assess_calibrated");
    tcase_set_timeout(c, 300);
    tcase_add_test(c, a_calibrated_dial_is_as_good_as_its_calibration);
    tcase_add_test(c, what_is_shown_and_what_is_true);
    tcase_add_test(c, what_remains);
    tcase_add_test(c, a_calibration_that_covers_too_little);
    suite_add_tcase(s, c);
    return darc_run(s);
}
