/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From setup and sweep to timing and verdict in one call. */
#include <math.h>
#include <string.h>

#include <dialarc/assess.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"
#include "kit/timing_kit.h"

/* All members, numbers to the bit: what is not known is NaN in both. */
static void check_same_decision(const dialarc_decision *a, const dialarc_decision *b)
{
    const double x[] = {a->probability_in,    a->probability_low,
                        a->probability_high,  a->advance_error_crank_deg,
                        a->turn_pump_deg,     a->turn_rim_mm,
                        a->turn_teeth,        a->aim_mm,
                        a->aim_probability_in};
    const double y[] = {b->probability_in,    b->probability_low,
                        b->probability_high,  b->advance_error_crank_deg,
                        b->turn_pump_deg,     b->turn_rim_mm,
                        b->turn_teeth,        b->aim_mm,
                        b->aim_probability_in};
    ck_assert_int_eq(a->verdict, b->verdict);
    ck_assert_int_eq(a->turn_rotation, b->turn_rotation);
    ck_assert(memcmp(x, y, sizeof x) == 0);
}

static void check_same(const dialarc_setup *setup, const dialarc_sweep *taken)
{
    dialarc_workspace *ws = dialarc_workspace_new();
    dialarc_timing one, two;
    dialarc_decision first, second;
    double at_once[SIM_MAX], by_steps[SIM_MAX];
    dialarc_status status = dialarc_assess(ws, setup, taken, at_once, &one, &first);
    ck_assert_int_ge(status, 0);
    ck_assert_int_eq(dialarc_timing_estimate(ws, setup, taken, by_steps, &two), status);
    ck_assert_int_eq(dialarc_decision_judge(setup, &two, &second), DIALARC_OK);
    check_same_bits(&one, &two);
    check_same_decision(&first, &second);
    ck_assert(memcmp(at_once, by_steps, taken->n * sizeof at_once[0]) == 0);
    dialarc_workspace_free(ws);
}

START_TEST(it_is_the_two_steps)
{
    static sim_sweep s;
    sim_random r;
    sim_seed(&r, 31);
    for (int k = 0; k < kit_count(40); k++) {
        sim_job job = kit_job(&r);
        sim_run(&job, &r, &s);
        dialarc_sweep taken = kit_sweep(&s);
        dialarc_setup setup = kit_setup(&job, k % 2);
        if (k % 3 == 0) /* then found from the readings, and assumed for the verdict */
            setup.dial_step_mm = DIALARC_UNKNOWN;
        setup.lift_low_mm = s.lift_tdc_mm - 0.02 * (k % 5);
        setup.lift_high_mm = setup.lift_low_mm + 0.04;
        if (setup.lift_low_mm >= 0.0)
            check_same(&setup, &taken);
    }
}
END_TEST

/* Nothing can be fitted: no residual is left that was never written. */
START_TEST(residuals_of_hopeless_readings)
{
    const double crank[] = {-3.0, 0.0, 3.0}, dial[] = {0.7, 0.8, 0.9};
    double residual[] = {1.0, 2.0, 3.0};
    const dialarc_sweep taken = {3, crank, dial, NULL};
    const dialarc_setup setup = dialarc_setup_unknown(4);
    dialarc_workspace *ws = dialarc_workspace_new();
    dialarc_timing t;
    dialarc_decision d;
    ck_assert_int_eq(dialarc_assess(ws, &setup, &taken, residual, &t, &d), DIALARC_OK);
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_UNUSABLE);
    for (int i = 0; i < 3; i++)
        ck_assert_double_nan(residual[i]);
    dialarc_workspace_free(ws);
}
END_TEST

START_TEST(an_empty_sweep)
{
    const dialarc_sweep taken = {0, NULL, NULL, NULL};
    const dialarc_setup setup = dialarc_setup_unknown(4);
    dialarc_workspace *ws = dialarc_workspace_new();
    dialarc_timing t;
    dialarc_decision d;
    ck_assert_int_eq(dialarc_assess(ws, &setup, &taken, NULL, &t, &d), DIALARC_OK);
    ck_assert(dialarc_findings_has(&t.findings, DIALARC_FINDING_TOO_FEW_READINGS));
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_UNUSABLE);
    dialarc_workspace_free(ws);
}
END_TEST

START_TEST(refusals_write_nothing)
{
    double crank[] = {-3.0, 0.0, 3.0}, dial[] = {0.7, 0.8, 0.9};
    dialarc_sweep taken = {3, crank, dial, NULL};
    dialarc_setup setup = dialarc_setup_unknown(4);
    dialarc_workspace *ws = dialarc_workspace_new();
    dialarc_timing t = {.lift_mm = -7.0};
    dialarc_decision d = {.aim_mm = -7.0};
    const dialarc_status null = DIALARC_ERR_NULL;
    ck_assert_int_eq(dialarc_assess(NULL, &setup, &taken, NULL, &t, &d), null);
    ck_assert_int_eq(dialarc_assess(ws, NULL, &taken, NULL, &t, &d), null);
    ck_assert_int_eq(dialarc_assess(ws, &setup, NULL, NULL, &t, &d), null);
    ck_assert_int_eq(dialarc_assess(ws, &setup, &taken, NULL, NULL, &d), null);
    ck_assert_int_eq(dialarc_assess(ws, &setup, &taken, NULL, &t, NULL), null);
    dial[1] = NAN;
    ck_assert_int_eq(dialarc_assess(ws, &setup, &taken, NULL, &t, &d),
                     DIALARC_ERR_NOT_FINITE);
    dial[1] = 0.8;
    taken.n = DIALARC_SWEEP_MAX + 1;
    ck_assert_int_eq(dialarc_assess(ws, &setup, &taken, NULL, &t, &d), DIALARC_ERR_SIZE);
    taken.n = 3;
    setup.lobes = 0;
    ck_assert_int_eq(dialarc_assess(ws, &setup, &taken, NULL, &t, &d), DIALARC_ERR_LOBES);
    ck_assert_double_eq(t.lift_mm, -7.0);
    ck_assert_double_eq(d.aim_mm, -7.0);
    dialarc_workspace_free(ws);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("assess");
    TCase *c = tcase_create("assess");
    tcase_set_timeout(c, 120);
    tcase_add_test(c, it_is_the_two_steps);
    tcase_add_test(c, residuals_of_hopeless_readings);
    tcase_add_test(c, an_empty_sweep);
    tcase_add_test(c, refusals_write_nothing);
    suite_add_tcase(s, c);
    return darc_run(s);
}
