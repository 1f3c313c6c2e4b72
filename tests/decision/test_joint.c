/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/joint.h>
#include <math.h>

#include "kit/check_main.h"

static dialarc_setup window(void)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.lift_low_mm = 0.88;
    s.lift_high_mm = 0.92;
    return s;
}

static dialarc_look look(double lift_mm, double readings_mm, double tdc_mm)
{
    return (dialarc_look){
        .lift_mm = lift_mm, .readings_mm = readings_mm, .tdc_mm = tdc_mm};
}

static dialarc_joint joint_of(size_t n, const dialarc_look *looks)
{
    const dialarc_setup s = window();
    dialarc_joint j;
    ck_assert_int_eq(dialarc_joint_assess(&s, n, looks, &j), DIALARC_OK);
    return j;
}

START_TEST(no_look)
{
    dialarc_joint j = joint_of(0, NULL);
    ck_assert_int_eq(j.verdict, DIALARC_VERDICT_UNUSABLE);
    ck_assert_double_nan(j.lift_mm);
    ck_assert_double_nan(j.budget.total_mm);
    ck_assert_int_eq(dialarc_findings_has(&j.findings, DIALARC_FINDING_TOO_FEW_READINGS),
                     1);
}
END_TEST

START_TEST(one_look_is_its_sweep)
{
    const dialarc_look one = look(0.901, 0.003, 0.004);
    dialarc_joint j = joint_of(1, &one);
    ck_assert_double_eq_tol(j.lift_mm, 0.901, 1e-15);
    /* recomputed: 1.959964 times the root of 0.003^2 + 0.004^2 */
    ck_assert_double_eq_tol(j.lift_u_mm, 1.959963984540054 * 0.005, 1e-15);
    ck_assert_double_eq_tol(j.budget.tdc_mm, 0.004, 1e-15);
    ck_assert_double_nan(j.excess_mm);
    ck_assert_double_eq_tol(j.sure, 1.0 - 0.0125, 1e-15);
    ck_assert_int_eq(j.verdict, DIALARC_VERDICT_IN);
    ck_assert_int_eq(j.together, 1);
}
END_TEST

/* What is shared stays however many looks there are; what is drawn anew averages out. */
START_TEST(shared_errors_stay)
{
    dialarc_look looks[16];
    for (int k = 0; k < 16; k++)
        looks[k] = look(0.9 + (k % 2 ? 0.001 : -0.001), 0.001, 0.006);
    dialarc_joint j = joint_of(16, looks);
    ck_assert_double_eq_tol(j.lift_mm, 0.9, 1e-12);
    ck_assert_double_eq_tol(j.budget.tdc_mm, 0.006, 1e-9);
    ck_assert_double_lt(j.budget.readings_mm, 0.0006);
    for (int k = 0; k < 16; k++)
        looks[k].mark = k; /* the mark was found anew each time */
    j = joint_of(16, looks);
    ck_assert_double_eq_tol(j.budget.tdc_mm, 0.006 / 4.0, 1e-9);
}
END_TEST

/* Best linear unbiased estimate of two looks: recomputed by hand for known excess, which
 * is small beside these readings. */
START_TEST(weights_of_least_squares)
{
    const dialarc_look looks[] = {look(0.90, 0.02, 0.03), look(0.93, 0.04, 0.03)};
    dialarc_joint j = joint_of(2, looks);
    double w = 0.0016 / (0.0004 + 0.0016); /* what is shared alike gives no weight */
    ck_assert_double_eq_tol(j.lift_mm, w * 0.90 + (1.0 - w) * 0.93, 1e-4);
    double own = sqrt(w * w * 0.0004 + (1.0 - w) * (1.0 - w) * 0.0016);
    ck_assert_double_eq_tol(j.budget.readings_mm, own, 3e-4);
    ck_assert_double_eq_tol(j.budget.tdc_mm, 0.03, 1e-12);
    ck_assert_double_ge(j.lift_u_mm, 1.95 * hypot(own, 0.03));
}
END_TEST

START_TEST(excess_widens)
{
    dialarc_look looks[] = {look(0.895, 0.001, 0.0), look(0.905, 0.001, 0.0),
                            look(0.897, 0.001, 0.0), look(0.903, 0.001, 0.0)};
    dialarc_joint apart = joint_of(4, looks);
    ck_assert_double_gt(apart.excess_mm, 0.002);
    ck_assert_double_gt(apart.lift_u_mm, 0.004);
    for (int k = 0; k < 4; k++)
        looks[k].lift_mm = 0.9 + (k % 2 ? 0.0005 : -0.0005);
    dialarc_joint near = joint_of(4, looks);
    ck_assert_double_lt(near.lift_u_mm, 0.002);
    ck_assert_double_lt(near.excess_mm, 0.001);
}
END_TEST

START_TEST(settings_that_differ_are_told)
{
    const dialarc_look looks[] = {look(0.87, 0.001, 0.02), look(0.93, 0.001, 0.02),
                                  look(0.871, 0.001, 0.02)};
    dialarc_joint j = joint_of(3, looks);
    ck_assert_int_eq(j.together, 0);
    ck_assert_int_eq(j.verdict, DIALARC_VERDICT_UNDECIDED);
    ck_assert_int_eq(j.findings.severity[DIALARC_FINDING_REPEATABILITY],
                     DIALARC_SEVERITY_CAUTION);
    ck_assert_uint_eq(j.findings.row[DIALARC_FINDING_REPEATABILITY], 1);
}
END_TEST

/* Looks that share their errors pass together, and count as little more than one; looks
 * of their own each cost a share of the risk: half of it, a sixth, a twelfth. */
START_TEST(looks_are_counted)
{
    dialarc_look looks[3];
    for (int k = 0; k < 3; k++)
        looks[k] = look(0.9, 0.0001, 0.0084); /* u: P(in) 0.983 */
    dialarc_joint one = joint_of(1, looks), two = joint_of(2, looks);
    ck_assert_double_gt(one.probability_in, 0.975);
    ck_assert_double_lt(one.probability_in, one.sure);
    ck_assert_int_eq(one.verdict, DIALARC_VERDICT_UNDECIDED);
    ck_assert_double_eq_tol(two.sure, 1.0 - 0.0125 - 0.025 / 6.0, 1e-3);
    for (int k = 0; k < 3; k++)
        looks[k] = look(0.9, 0.02, 0.0);
    ck_assert_double_gt(joint_of(2, looks).sure, one.sure);
    ck_assert_double_lt(joint_of(2, looks).sure, 1.0 - 0.025 / 6.0);
    ck_assert_double_gt(joint_of(3, looks).sure, joint_of(2, looks).sure);
}
END_TEST

START_TEST(no_window_no_verdict)
{
    const dialarc_setup s = dialarc_setup_unknown(4);
    const dialarc_look one = look(0.9, 0.001, 0.002);
    dialarc_joint j;
    ck_assert_int_eq(dialarc_joint_assess(&s, 1, &one, &j), DIALARC_OK);
    ck_assert_int_eq(j.verdict, DIALARC_VERDICT_NONE);
    ck_assert_double_nan(j.probability_in);
    ck_assert_double_nan(j.sure);
}
END_TEST

static dialarc_timing timing_of(void)
{
    dialarc_timing t = {
        .lift_mm = 0.90,
        .lift_u_mm = 1.959963984540054 * 0.005,
        .budget = {.readings_mm = 0.003, .tdc_mm = 0.004, .total_mm = 0.005},
        .rate_mm_per_crank_deg = 0.04,
        .dial_hysteresis_mm = DIALARC_UNKNOWN,
        .dial_hysteresis_u_mm = DIALARC_UNKNOWN,
        .rise_pump_deg = 38.0};
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++)
        t.rise_mm[k] = 2.2 * k / DIALARC_RISE_INTERVALS;
    return t;
}

START_TEST(from_timings_to_a_decision)
{
    const dialarc_setup s = window();
    const dialarc_timing t = timing_of();
    dialarc_look looks[2];
    dialarc_timing all;
    dialarc_decision d;
    ck_assert_int_eq(dialarc_joint_look(&t, &looks[0]), DIALARC_OK);
    looks[1] = looks[0];
    dialarc_joint j = joint_of(2, looks);
    ck_assert_int_eq(dialarc_joint_timing(&t, &j, &all), DIALARC_OK);
    ck_assert_double_eq(all.lift_mm, j.lift_mm);
    ck_assert_double_eq(all.lift_u_mm, j.lift_u_mm);
    ck_assert_double_eq(all.budget.total_mm, j.budget.total_mm);
    ck_assert_int_eq(dialarc_joint_judge(&s, &all, &j, &d), DIALARC_OK);
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_IN);
    ck_assert_double_eq(d.probability_in, j.probability_in);
    ck_assert_int_eq(d.advice, DIALARC_ADVICE_LEAVE);
    looks[1].lift_mm = 0.99;
    j = joint_of(2, looks);
    ck_assert_int_eq(dialarc_joint_timing(&t, &j, &all), DIALARC_OK);
    ck_assert_int_eq(dialarc_findings_has(&all.findings, DIALARC_FINDING_REPEATABILITY),
                     1);
    ck_assert_int_eq(dialarc_joint_judge(&s, &all, &j, &d), DIALARC_OK);
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_UNDECIDED);
    ck_assert_int_eq(d.advice, DIALARC_ADVICE_SEE_FINDINGS);
}
END_TEST

START_TEST(arguments)
{
    dialarc_setup s = window();
    dialarc_timing t = timing_of();
    dialarc_decision d;
    dialarc_look bad = look(0.9, 0.001, 0.002), many[DIALARC_LOOKS_MAX + 1] = {bad};
    dialarc_joint j = {.looks = 77};
    ck_assert_int_eq(dialarc_joint_assess(NULL, 1, &bad, &j), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_joint_assess(&s, 1, NULL, &j), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_joint_assess(&s, 1, &bad, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_joint_assess(&s, DIALARC_LOOKS_MAX + 1, many, &j),
                     DIALARC_ERR_SIZE);
    bad.wheel_mm = -1e-9;
    ck_assert_int_eq(dialarc_joint_assess(&s, 1, &bad, &j), DIALARC_ERR_SD);
    bad.wheel_mm = INFINITY;
    ck_assert_int_eq(dialarc_joint_assess(&s, 1, &bad, &j), DIALARC_ERR_NOT_FINITE);
    bad.wheel_mm = 101.0;
    ck_assert_int_eq(dialarc_joint_assess(&s, 1, &bad, &j), DIALARC_ERR_SD);
    bad.wheel_mm = 0.0;
    bad.lift_mm = NAN;
    ck_assert_int_eq(dialarc_joint_assess(&s, 1, &bad, &j), DIALARC_ERR_NOT_FINITE);
    bad.lift_mm = -101.0;
    ck_assert_int_eq(dialarc_joint_assess(&s, 1, &bad, &j), DIALARC_ERR_LIFT);
    s.lift_low_mm = 2.0;
    ck_assert_int_eq(dialarc_joint_assess(&s, 0, NULL, &j), DIALARC_ERR_WINDOW);
    ck_assert_uint_eq(j.looks, 77); /* nothing was written */
    ck_assert_int_eq(dialarc_joint_look(NULL, &bad), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_joint_look(&t, NULL), DIALARC_ERR_NULL);
    t.lift_mm = DIALARC_UNKNOWN;
    ck_assert_int_eq(dialarc_joint_look(&t, &bad), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_joint_timing(NULL, &j, &t), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_joint_timing(&t, NULL, &t), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_joint_timing(&t, &j, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_joint_judge(&s, &t, &j, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_joint_judge(&s, &t, NULL, &d), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_joint_judge(NULL, &t, &j, &d), DIALARC_ERR_NULL);
}
END_TEST

/* Looks without scatter of their own, alike to the bit, and as many as there may be. */
START_TEST(edges)
{
    dialarc_look looks[DIALARC_LOOKS_MAX];
    for (int k = 0; k < DIALARC_LOOKS_MAX; k++)
        looks[k] = look(0.9, 0.0, k % 3 ? 100.0 : 0.0);
    dialarc_joint j = joint_of(DIALARC_LOOKS_MAX, looks);
    ck_assert_double_eq_tol(j.lift_mm, 0.9, 1e-12);
    ck_assert(isfinite(j.lift_u_mm));
    ck_assert_double_gt(j.lift_u_mm, 0.0);
    looks[1].lift_mm = -100.0;
    looks[2].lift_mm = 100.0;
    j = joint_of(3, looks);
    ck_assert(isfinite(j.lift_u_mm));
    ck_assert(isfinite(j.probability_in));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("joint");
    TCase *tc = tcase_create("joint");
    tcase_add_test(tc, no_look);
    tcase_add_test(tc, one_look_is_its_sweep);
    tcase_add_test(tc, shared_errors_stay);
    tcase_add_test(tc, weights_of_least_squares);
    tcase_add_test(tc, excess_widens);
    tcase_add_test(tc, settings_that_differ_are_told);
    tcase_add_test(tc, looks_are_counted);
    tcase_add_test(tc, no_window_no_verdict);
    tcase_add_test(tc, from_timings_to_a_decision);
    tcase_add_test(tc, arguments);
    tcase_add_test(tc, edges);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
