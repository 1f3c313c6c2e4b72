/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Lengths in another unit than millimetres: tables typed in inches, centimetres or
 * hundredths give no verdict. 1 in = 25.4 mm exactly.
 */
#include <math.h>

#include <dialarc/rounds.h>

#include "kit/check_main.h"
#include "kit/review_kit.h"
#include "review/lengths.h"

#define SWEEPS 40

/* In how many sweeps with readings multiplied by `scale` the finding is made, and in how
 * many of the others there is a verdict all the same. */
static void in_another_unit(double scale, int given, int *found, int *decided)
{
    static sim_sweep s;
    sim_random r;
    sim_seed(&r, 300);
    *found = *decided = 0;
    for (int k = 0; k < kit_count(SWEEPS); k++) {
        sim_job job = kit_job(&r);
        sim_run(&job, &r, &s);
        for (size_t i = 0; i < s.n; i++)
            s.dial_mm[i] *= scale;
        dialarc_setup setup = kit_setup(&job, given);
        setup.dial_step_mm = DIALARC_UNKNOWN;
        dialarc_sweep sweep = kit_sweep(&s);
        outcome o = judged(&setup, &sweep);
        *found += has(&o, DIALARC_FINDING_UNIT_MISTAKEN);
        *decided += o.verdict == DIALARC_VERDICT_IN || o.verdict == DIALARC_VERDICT_LOW ||
                    o.verdict == DIALARC_VERDICT_HIGH;
    }
}

START_TEST(readings_in_another_unit)
{
    const double scale[] = {1.0 / 25.4, 0.1, 10.0, 100.0};
    for (int k = 0; k < 4; k++)
        for (int given = 0; given <= 1; given++) {
            int found, decided;
            in_another_unit(scale[k], given, &found, &decided);
            ck_assert_int_eq(decided, 0);
        }
}
END_TEST

START_TEST(millimetres_are_let_pass)
{
    for (int given = 0; given <= 1; given++) {
        int found, decided;
        in_another_unit(1.0, given, &found, &decided);
        ck_assert_int_eq(found, 0);
        ck_assert_int_gt(decided, 0);
    }
}
END_TEST

static darc_known window(double low, double high)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.lift_low_mm = low;
    s.lift_high_mm = high;
    return darc_known_of(&s);
}

START_TEST(windows)
{
    const struct {
        double low, high;
        bool possible;
    } cases[] = {{0.88, 0.92, true},
                 {0.2, 0.24, true},
                 {1.9, 2.1, true},
                 {88.0, 92.0, false},
                 {0.0346, 0.0362, false},
                 {0.088, 0.092, false},
                 {DIALARC_UNKNOWN, DIALARC_UNKNOWN, true}};
    for (size_t k = 0; k < sizeof cases / sizeof cases[0]; k++) {
        darc_known known = window(cases[k].low, cases[k].high);
        ck_assert(darc_window_is_possible(&known) == cases[k].possible);
    }
}
END_TEST

/* One reading of a job of rounds with a window of 0.88 to 0.92 mm. */
static dialarc_plan plan_of(double tdc)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    dialarc_plan plan;
    s.lift_low_mm = 0.88;
    s.lift_high_mm = 0.92;
    s.dial_turn_mm = 100.0;
    const dialarc_round round = {
        .round = 1, .minimum_mm = 0.0, .tdc_mm = tdc, .tight = 0};
    ck_assert_int_eq(dialarc_plan_rounds(&s, 1, &round, &plan), DIALARC_OK);
    return plan;
}

static int severity_of(double tdc)
{
    dialarc_plan p = plan_of(tdc);
    return dialarc_findings_has(&p.findings, DIALARC_FINDING_UNIT_MISTAKEN)
               ? (int)p.findings.severity[DIALARC_FINDING_UNIT_MISTAKEN]
               : -1;
}

START_TEST(rounds)
{
    ck_assert_int_eq(severity_of(0.90), -1);
    ck_assert_int_eq(severity_of(0.60), -1);
    ck_assert_int_eq(severity_of(1.30), -1);
    ck_assert_int_eq(severity_of(90.0), DIALARC_SEVERITY_STOP);
    ck_assert_int_eq(severity_of(9.0), DIALARC_SEVERITY_STOP);
    ck_assert_int_eq(severity_of(0.09), DIALARC_SEVERITY_CAUTION);
    ck_assert_int_eq(severity_of(0.90 / 25.4), DIALARC_SEVERITY_CAUTION);
    dialarc_plan stopped = plan_of(90.0);
    ck_assert_int_eq(stopped.decision.verdict, DIALARC_VERDICT_UNUSABLE);
    ck_assert_double_nan(stopped.decision.aim_mm);
}
END_TEST

/* A stated total lift that the readings contradict: lift or cam is told. */
START_TEST(another_total_lift)
{
    static sim_sweep s;
    sim_random r;
    sim_job job = ordinary_job(); /* of 2.2 mm */
    const double stated[] = {2.2, 2.5, 1.0, 5.0};
    for (int k = 0; k < 4; k++) {
        sim_seed(&r, 12);
        sim_run(&job, &r, &s);
        dialarc_setup setup = kit_setup(&job, GIVEN);
        setup.cam_lift_mm = stated[k];
        dialarc_sweep sweep = kit_sweep(&s);
        outcome o = judged(&setup, &sweep);
        bool told = has(&o, DIALARC_FINDING_UNIT_MISTAKEN) ||
                    has(&o, DIALARC_FINDING_CAM_MISMATCH) ||
                    has(&o, DIALARC_FINDING_FIT_NOT_CONVERGED);
        ck_assert_msg(told == (k >= 2), "%.1f mm stated", stated[k]);
    }
}
END_TEST

int main(void)
{
    Suite *s = suite_create("lengths");
    TCase *c = tcase_create("units");
    tcase_set_timeout(c, 240);
    tcase_add_test(c, readings_in_another_unit);
    tcase_add_test(c, millimetres_are_let_pass);
    tcase_add_test(c, windows);
    tcase_add_test(c, rounds);
    tcase_add_test(c, another_total_lift);
    suite_add_tcase(s, c);
    return darc_run(s);
}
