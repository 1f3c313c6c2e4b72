/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/rounds.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/rounds_kit.h"

static void check_only(const dialarc_plan *plan, dialarc_finding finding,
                       dialarc_severity severity, size_t row)
{
    ck_assert_uint_eq(plan->findings.present, 1u << finding);
    ck_assert_int_eq(plan->findings.severity[finding], severity);
    ck_assert_uint_eq(plan->findings.row[finding], row);
}

static void check_unusable(const dialarc_plan *plan)
{
    ck_assert_int_eq(plan->decision.verdict, DIALARC_VERDICT_UNUSABLE);
    ck_assert_double_nan(plan->lift_mm);
    ck_assert_double_nan(plan->lift_u_mm);
    ck_assert_double_nan(plan->decision.probability_in);
    ck_assert_double_nan(plan->decision.aim_mm);
}

START_TEST(no_rows)
{
    dialarc_plan p = plan_of(shop(), 0, NULL);
    check_only(&p, DIALARC_FINDING_TOO_FEW_READINGS, DIALARC_SEVERITY_STOP,
               DIALARC_NO_ROW);
    check_unusable(&p);
}
END_TEST

START_TEST(zero_drift)
{
    dialarc_round rows[] = {{1, 0.0, 0.86, 0}, {1, 0.01, 0.87, 1}, {2, 0.0, 0.86, 0}};
    dialarc_plan p = plan_of(shop(), 3, rows);
    ck_assert_uint_eq(p.findings.present, 0); /* one graduation is nothing */
    rows[2].minimum_mm = 0.04;
    rows[2].tdc_mm = 0.90;
    p = plan_of(shop(), 3, rows);
    check_only(&p, DIALARC_FINDING_ZERO_DRIFT, DIALARC_SEVERITY_CAUTION, 2);
    ck_assert_double_eq_tol(p.lift_mm, 0.8625, 1e-12); /* its own minimum counts */
    /* A slow creep is seen too, though each step is small. */
    dialarc_round creep[6];
    for (int k = 0; k < 6; k++)
        creep[k] = (dialarc_round){k + 1, 0.01 * k, 0.86 + 0.01 * k, 1};
    p = plan_of(shop(), 6, creep);
    ck_assert_int_eq(dialarc_findings_has(&p.findings, DIALARC_FINDING_ZERO_DRIFT), 1);
    ck_assert_uint_ge(p.findings.row[DIALARC_FINDING_ZERO_DRIFT], 2);
}
END_TEST

START_TEST(below_zero)
{
    dialarc_round rows[] = {{1, 0.0, 0.86, 0}, {1, 0.0, 0.87, 1}};
    rows[0].minimum_mm = -0.01;
    ck_assert_uint_eq(plan_of(shop(), 2, rows).findings.present, 0);
    /* The minimum lies below the zero of the dial. */
    rows[0].minimum_mm = rows[1].minimum_mm = -0.03;
    dialarc_plan p = plan_of(shop(), 2, rows);
    check_only(&p, DIALARC_FINDING_BELOW_ZERO, DIALARC_SEVERITY_CAUTION, 0);
    ck_assert_double_eq_tol(p.lift_mm, 0.9025, 1e-12);
    /* TDC reads below the minimum: that reading is none. */
    const dialarc_round early[] = {{1, 0.0, -0.20, 0}, {1, 0.0, 0.87, 1}};
    p = plan_of(shop(), 2, early);
    check_only(&p, DIALARC_FINDING_BELOW_ZERO, DIALARC_SEVERITY_CAUTION, 0);
    ck_assert_uint_eq(p.shifts, 0);
    ck_assert_double_eq_tol(p.lift_mm, 0.8725, 1e-12);
    const dialarc_round late[] = {{1, 0.0, 0.86, 0}, {1, 0.0, -0.20, 1}};
    p = plan_of(shop(), 2, late);
    check_only(&p, DIALARC_FINDING_BELOW_ZERO, DIALARC_SEVERITY_STOP, 1);
    check_unusable(&p);
    /* A lift of nothing is still a lift. */
    const dialarc_round nothing[] = {{1, 0.0, 0.0, 1}};
    p = plan_of(shop(), 1, nothing);
    ck_assert_uint_eq(p.findings.present, 0);
    ck_assert_int_eq(p.decision.verdict, DIALARC_VERDICT_LOW);
}
END_TEST

/* Of three readings the one far off is set aside, whatever it is. */
START_TEST(misread_repeats)
{
    dialarc_round rows[] = {{1, 0.0, 0.87, 1}, {1, 0.0, 0.88, 1}, {1, 0.0, 0.87, 1}};
    dialarc_plan good = plan_of(shop(), 3, rows);
    ck_assert_uint_eq(good.findings.present, 0);
    rows[1].tdc_mm = 0.92;
    dialarc_plan bad = plan_of(shop(), 3, rows);
    check_only(&bad, DIALARC_FINDING_READING_REJECTED, DIALARC_SEVERITY_CAUTION, 1);
    ck_assert_double_eq_tol(bad.lift_mm, 0.8725, 1e-12);
    ck_assert_double_lt(bad.lift_u_mm, 1.2 * good.lift_u_mm);
    rows[1].tdc_mm = 1.87; /* by a turn of the needle */
    bad = plan_of(shop(), 3, rows);
    check_only(&bad, DIALARC_FINDING_WHOLE_TURN_MISREAD, DIALARC_SEVERITY_CAUTION, 1);
    ck_assert_double_eq_tol(bad.lift_mm, 0.8725, 1e-12);
    rows[1].tdc_mm = 0.87;
    rows[0].minimum_mm = 0.03; /* the minimum was misread */
    bad = plan_of(shop(), 3, rows);
    ck_assert_int_eq(
        dialarc_findings_has(&bad.findings, DIALARC_FINDING_READING_REJECTED), 1);
    ck_assert_double_eq_tol(bad.lift_mm, 0.8725, 1e-12);
}
END_TEST

/* Scatter widens the setting that has it, and no other. */
START_TEST(repeatability)
{
    const dialarc_round pair[] = {{1, 0.0, 0.87, 1}, {1, 0.0, 0.92, 1}};
    dialarc_plan one = plan_of(shop(), 1, pair), two = plan_of(shop(), 2, pair);
    check_only(&two, DIALARC_FINDING_REPEATABILITY, DIALARC_SEVERITY_CAUTION, 0);
    ck_assert_double_gt(two.lift_u_mm, 4.0 * one.lift_u_mm); /* which is right? */
    const dialarc_round four[] = {
        {1, 0.0, 0.86, 1}, {1, 0.0, 0.92, 1}, {1, 0.0, 0.84, 1}, {1, 0.0, 0.90, 1}};
    dialarc_plan all = plan_of(shop(), 4, four);
    ck_assert_int_eq(dialarc_findings_has(&all.findings, DIALARC_FINDING_REPEATABILITY),
                     1);
    ck_assert_double_gt(all.lift_u_mm, 0.04);
    const dialarc_round later[] = {
        {1, 0.0, 0.87, 1}, {1, 0.0, 0.92, 1}, {2, 0.0, 0.87, 1}};
    dialarc_plan next = plan_of(shop(), 3, later);
    check_only(&next, DIALARC_FINDING_REPEATABILITY, DIALARC_SEVERITY_CAUTION, 0);
    ck_assert_double_eq(next.lift_u_mm, one.lift_u_mm);
}
END_TEST

/* A dial that is worse than stated shows in all settings, though in none for itself. */
START_TEST(scatter_in_common)
{
    dialarc_round rows[24];
    for (int k = 0; k < 24; k++)
        rows[k] = (dialarc_round){k / 2 + 1, 0.0, k % 2 ? 0.86 : 0.885, 1};
    dialarc_plan p = plan_of(shop(), 24, rows), two = plan_of(shop(), 2, rows);
    ck_assert_uint_eq(two.findings.present, 0);
    check_only(&p, DIALARC_FINDING_REPEATABILITY, DIALARC_SEVERITY_CAUTION, 0);
    ck_assert_double_gt(p.lift_u_mm, 1.5 * two.lift_u_mm);
}
END_TEST

START_TEST(whole_turn)
{
    const dialarc_round last[] = {{1, 0.0, 0.86, 0}, {1, 0.0, 1.87, 1}};
    dialarc_plan p = plan_of(shop(), 2, last);
    check_only(&p, DIALARC_FINDING_WHOLE_TURN_MISREAD, DIALARC_SEVERITY_STOP, 1);
    check_unusable(&p);
    const dialarc_round before[] = {
        {1, 0.0, 0.86, 0}, {1, 0.0, 1.87, 1}, {2, 0.0, 0.87, 0}};
    p = plan_of(shop(), 3, before);
    check_only(&p, DIALARC_FINDING_WHOLE_TURN_MISREAD, DIALARC_SEVERITY_CAUTION, 1);
    ck_assert_uint_eq(p.shifts, 0);
    ck_assert_int_ne(p.decision.verdict, DIALARC_VERDICT_UNUSABLE);
    /* More than the cam can lift. */
    const dialarc_round beyond[] = {{1, 0.0, 2.87, 1}};
    p = plan_of(shop_with_cam(), 1, beyond);
    check_only(&p, DIALARC_FINDING_WHOLE_TURN_MISREAD, DIALARC_SEVERITY_STOP, 0);
    check_unusable(&p);
    ck_assert_uint_eq(plan_of(shop(), 1, beyond).findings.present, 0);
}
END_TEST

START_TEST(slip_while_tightening)
{
    const dialarc_round rows[] = {{1, 0.0, 0.86, 0}, {1, 0.0, 0.60, 1}};
    dialarc_plan p = plan_of(shop(), 2, rows);
    check_only(&p, DIALARC_FINDING_READING_REJECTED, DIALARC_SEVERITY_CAUTION, 1);
    ck_assert_uint_eq(p.shifts, 0);
    ck_assert_int_eq(p.decision.verdict, DIALARC_VERDICT_LOW);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rounds_findings");
    TCase *tc = tcase_create("findings");
    tcase_add_test(tc, no_rows);
    tcase_add_test(tc, zero_drift);
    tcase_add_test(tc, below_zero);
    tcase_add_test(tc, misread_repeats);
    tcase_add_test(tc, repeatability);
    tcase_add_test(tc, scatter_in_common);
    tcase_add_test(tc, whole_turn);
    tcase_add_test(tc, slip_while_tightening);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
