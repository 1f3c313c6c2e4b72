/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/rounds.h>
#include <math.h>
#include <stdlib.h>

#include "kit/check_main.h"
#include "kit/rounds_kit.h"
#include "kit/simulate.h"

/* --- the lift ----------------------------------------------------------------------- */

START_TEST(lift_and_uncertainty_of_one_reading)
{
    const dialarc_round tight[] = {{1, 0.01, 0.88, 1}};
    dialarc_plan p = plan_of(shop(), 1, tight);
    ck_assert_int_eq(p.tight, 1);
    ck_assert_double_eq_tol(p.lift_mm, 0.87 + 0.0025, 1e-12);
    /* two readings of dial and graduation, TDC mark, hysteresis */
    double variance = 2.0 * (0.003 * 0.003 + 0.01 * 0.01 / 12.0) + pow(0.1 * 0.04, 2) +
                      0.005 * 0.005 / 12.0;
    ck_assert_double_eq_tol(p.lift_u_mm, 1.96 * sqrt(variance), 1e-5);
    ck_assert_uint_eq(p.findings.present, 0);
    ck_assert_uint_eq(p.shifts, 0);
}
END_TEST

START_TEST(repeats_are_averaged)
{
    const dialarc_round rows[] = {
        {1, 0.0, 0.87, 1}, {1, 0.0, 0.88, 1}, {1, 0.0, 0.87, 1}, {1, 0.0, 0.86, 1}};
    dialarc_plan p = plan_of(shop(), 4, rows);
    ck_assert_double_eq_tol(p.lift_mm, 0.87 + 0.0025, 1e-12);
    double variance = 0.5 * (0.003 * 0.003 + 0.01 * 0.01 / 12.0) + pow(0.1 * 0.04, 2) +
                      0.005 * 0.005 / 12.0;
    ck_assert_double_eq_tol(p.lift_u_mm, 1.96 * sqrt(variance), 1e-5);
    /* Other rounds are other settings. */
    const dialarc_round apart[] = {{1, 0.0, 0.80, 1}, {2, 0.0, 0.87, 1}};
    ck_assert_double_eq_tol(plan_of(shop(), 2, apart).lift_mm, 0.8725, 1e-12);
}
END_TEST

START_TEST(falling_dials_are_turned_round)
{
    dialarc_setup s = shop();
    const dialarc_round rises[] = {{1, 0.0, 0.83, 0}, {1, 0.0, 0.85, 1}};
    const dialarc_round falls[] = {{1, 0.0, -0.83, 0}, {1, 0.0, -0.85, 1}};
    dialarc_plan a = plan_of(s, 2, rises);
    s.dial_sense = -1;
    dialarc_plan b = plan_of(s, 2, falls);
    ck_assert_double_eq(a.lift_mm, b.lift_mm);
    ck_assert_double_eq(a.shift_mm, b.shift_mm);
    ck_assert_double_eq(a.decision.aim_mm, b.decision.aim_mm);
    ck_assert_uint_eq(b.findings.present, 0);
}
END_TEST

/* A dial that falls may stand anywhere at the minimum, as one that rises may above 0. */
START_TEST(falling_dials_have_no_zero)
{
    dialarc_setup s = shop();
    const dialarc_round rises[] = {{1, 5.0, 5.83, 0}, {1, 5.0, 5.85, 1}};
    const dialarc_round falls[] = {{1, 5.0, 4.17, 0}, {1, 5.0, 4.15, 1}};
    dialarc_plan a = plan_of(s, 2, rises);
    s.dial_sense = -1;
    dialarc_plan b = plan_of(s, 2, falls);
    ck_assert_uint_eq(a.findings.present, 0);
    ck_assert_uint_eq(b.findings.present, 0);
    ck_assert_double_eq_tol(a.lift_mm, b.lift_mm, 1e-12);
    ck_assert_double_eq_tol(a.shift_mm, b.shift_mm, 1e-12);
}
END_TEST

/* Read again and again, a setting is not told good by chance. */
START_TEST(looks_are_counted)
{
    dialarc_round rows[8];
    for (int k = 0; k < 8; k++) /* 1.97 sds of one reading inside */
        rows[k] = (dialarc_round){1, 0.0, 0.8655 - 0.0025, 1};
    dialarc_setup s = shop();
    s.lift_high_mm = 2.0;
    s.tdc_sd_deg = 0.1;
    dialarc_plan one = plan_of(s, 1, rows), eight = plan_of(s, 8, rows);
    ck_assert_double_ge(one.decision.probability_in, 0.975);
    ck_assert_int_eq(one.decision.verdict, DIALARC_VERDICT_UNDECIDED);
    ck_assert_int_eq(eight.decision.verdict, DIALARC_VERDICT_IN);
}
END_TEST

START_TEST(silent_setups_are_filled_in)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    const dialarc_round tight[] = {{1, 0.0, 0.87, 1}};
    dialarc_plan p = plan_of(s, 1, tight);
    double variance = 2.0 * (0.003 * 0.003 + 0.01 * 0.01 / 12.0) + pow(0.5 * 0.04, 2) +
                      0.005 * 0.005 / 12.0;
    /* a dial that is wrong by 0.005 mm over 2.4 mm, two parts in three of the variance in
     * proportion to the travel, and askew: recomputed */
    double share = hypot(sqrt(2.0 / 3.0) * 0.005 / 2.4, 0.004);
    double needle = sqrt(0.4244 / 6.0) * 0.005 * 2.0 * sin(PI * 0.87);
    variance += pow(share * 0.87, 2) + needle * needle;
    ck_assert_double_eq_tol(p.lift_mm, 0.8725, 1e-12);
    ck_assert_double_eq_tol(p.lift_u_mm, 1.96 * sqrt(variance), 1e-5);
    ck_assert_int_eq(p.decision.verdict, DIALARC_VERDICT_NONE);
    ck_assert_double_nan(p.decision.probability_in);
    ck_assert_double_nan(p.decision.aim_mm);
}
END_TEST

/* A known cam gives the rate at the lift: harmonic, ds/du = pi/2 sin(pi u). */
START_TEST(known_cams_give_rate_and_turn)
{
    dialarc_setup s = shop_with_cam();
    s.tdc_sd_deg = 1.0;
    const dialarc_round tight[] = {{1, 0.0, 0.9475, 1}};
    dialarc_plan p = plan_of(s, 1, tight);
    double u = acos(1.0 - 2.0 * 0.9475 / 2.2) / PI;
    double rate = 2.2 / 40.0 * 0.5 * PI * sin(PI * u) / 2.0;
    double variance =
        2.0 * (0.003 * 0.003 + 0.01 * 0.01 / 12.0) + rate * rate + 0.005 * 0.005 / 12.0;
    ck_assert_double_eq_tol(p.lift_u_mm, 1.96 * sqrt(variance), 1e-5);
    double from = 40.0 * acos(1.0 - 2.0 * 0.95 / 2.2) / PI;
    double to = 40.0 * acos(1.0 - 2.0 * 0.875 / 2.2) / PI;
    ck_assert_double_eq_tol(p.decision.turn_pump_deg, to - from, 1e-9);
    ck_assert_double_eq_tol(p.decision.advance_error_crank_deg, 2.0 * (from - to), 1e-9);
    ck_assert_double_nan(plan_of(shop(), 1, tight).decision.turn_pump_deg);
}
END_TEST

/* --- verdict ------------------------------------------------------------------------ */

START_TEST(verdicts_of_tight_readings)
{
    const struct {
        double tdc_mm;
        dialarc_verdict verdict;
    } cases[] = {{0.80, DIALARC_VERDICT_LOW},
                 {0.85, DIALARC_VERDICT_UNDECIDED},
                 {0.8725, DIALARC_VERDICT_IN},
                 {0.90, DIALARC_VERDICT_UNDECIDED},
                 {0.95, DIALARC_VERDICT_HIGH}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const dialarc_round row[] = {{1, 0.0, cases[i].tdc_mm, 1}};
        dialarc_plan p = plan_of(shop(), 1, row);
        ck_assert_int_eq(p.decision.verdict, cases[i].verdict);
        ck_assert_double_eq_tol(p.decision.probability_in + p.decision.probability_low +
                                    p.decision.probability_high,
                                1.0, 1e-12);
    }
}
END_TEST

START_TEST(loose_readings_are_never_in)
{
    dialarc_setup s = shop();
    s.lift_low_mm = 0.5; /* so wide that it will be inside whatever happens */
    s.lift_high_mm = 1.2;
    const dialarc_round row[] = {{1, 0.0, 0.87, 0}};
    dialarc_plan p = plan_of(s, 1, row);
    ck_assert_int_eq(p.tight, 0);
    ck_assert_double_gt(p.decision.probability_in, 0.999);
    ck_assert_int_eq(p.decision.verdict, DIALARC_VERDICT_UNDECIDED);
    const dialarc_round low[] = {{1, 0.0, 0.70, 0}}, high[] = {{1, 0.0, 1.05, 0}};
    ck_assert_int_eq(plan_of(shop(), 1, low).decision.verdict, DIALARC_VERDICT_LOW);
    ck_assert_int_eq(plan_of(shop(), 1, high).decision.verdict, DIALARC_VERDICT_HIGH);
}
END_TEST

/* A loose reading is judged, and turned, by what tightening will make of it. */
START_TEST(loose_readings_are_judged_after_the_shift)
{
    const dialarc_round rows[] = {{1, 0.0, 0.80, 0}, {1, 0.0, 0.83, 1}, {2, 0.0, 0.82, 0},
                                  {2, 0.0, 0.85, 1}, {3, 0.0, 0.84, 0}, {3, 0.0, 0.87, 1},
                                  {4, 0.0, 0.845, 0}};
    dialarc_plan p = plan_of(shop_with_cam(), 7, rows);
    ck_assert_uint_eq(p.shifts, 3);
    ck_assert(p.shift_mm > 0.02 && p.shift_mm < 0.03);
    ck_assert_double_eq_tol(p.lift_mm, 0.8475, 1e-12);
    ck_assert_double_gt(p.decision.probability_in, 0.9);
    ck_assert_int_eq(p.decision.verdict, DIALARC_VERDICT_UNDECIDED);
    double ends = p.lift_mm + p.shift_mm;
    double from = 40.0 * acos(1.0 - 2.0 * ends / 2.2) / PI;
    double to = 40.0 * acos(1.0 - 2.0 * 0.875 / 2.2) / PI;
    ck_assert_double_eq_tol(p.decision.turn_pump_deg, to - from, 1e-9);
}
END_TEST

/* --- the shift ---------------------------------------------------------------------- */

START_TEST(shift_is_learned_from_pairs_alone)
{
    const dialarc_round loose[] = {{1, 0.0, 0.80, 0}, {2, 0.0, 0.83, 0}};
    dialarc_plan none = plan_of(shop(), 2, loose);
    ck_assert_uint_eq(none.shifts, 0);
    ck_assert_double_eq_tol(none.shift_mm, 0.0, 1e-15);
    ck_assert(none.shift_sd_mm > 0.010 && none.shift_sd_mm < 0.020);
    ck_assert_double_eq_tol(none.decision.aim_mm, 0.8725, 1e-9);

    const dialarc_round rows[] = {
        {1, 0.0, 0.84, 0}, {1, 0.0, 0.86, 1}, {2, 0.0, 0.85, 0}};
    dialarc_plan one = plan_of(shop(), 3, rows);
    ck_assert_uint_eq(one.shifts, 1);
    ck_assert(one.shift_mm > 0.002 && one.shift_mm < 0.01); /* one pair tells little */
    /* The aim bets on more than the mean of all ways, on no more than was seen. */
    ck_assert(one.decision.aim_mm < 0.8725 - one.shift_mm &&
              one.decision.aim_mm > 0.8725 - 0.02);

    /* The same numbered row by row. */
    const dialarc_round numbered[] = {
        {1, 0.0, 0.84, 0}, {2, 0.0, 0.86, 1}, {3, 0.0, 0.85, 0}};
    ck_assert_double_eq(plan_of(shop(), 3, numbered).shift_mm, one.shift_mm);
    /* Turned between loose and tight: no shift. */
    const dialarc_round moved[] = {
        {1, 0.0, 0.60, 0}, {2, 0.0, 0.86, 1}, {3, 0.0, 0.85, 0}};
    dialarc_plan no = plan_of(shop(), 3, moved);
    ck_assert_uint_eq(no.shifts, 0);
    ck_assert_uint_eq(no.findings.present, 0);
    /* Tight, then loose: no shift either. */
    const dialarc_round back[] = {{1, 0.0, 0.84, 1}, {1, 0.0, 0.86, 0}};
    ck_assert_uint_eq(plan_of(shop(), 2, back).shifts, 0);
    /* Two tight settings: none. */
    const dialarc_round tight[] = {{1, 0.0, 0.84, 1}, {2, 0.0, 0.86, 1}};
    ck_assert_uint_eq(plan_of(shop(), 2, tight).shifts, 0);
}
END_TEST

START_TEST(sign_of_the_shift_follows_the_pairs)
{
    dialarc_round up[10], down[10];
    for (int k = 0; k < 10; k++) {
        up[k] = (dialarc_round){k / 2 + 1, 0.0, 0.87 + (k % 2 ? 0.015 : 0.0), k % 2};
        down[k] = (dialarc_round){k / 2 + 1, 0.0, 0.87 - (k % 2 ? 0.015 : 0.0), k % 2};
    }
    dialarc_plan a = plan_of(shop(), 10, up), b = plan_of(shop(), 10, down);
    ck_assert_double_eq_tol(a.shift_mm, -b.shift_mm, 1e-12);
    ck_assert(a.shift_mm > 0.01 && a.shift_mm < 0.0151);
    ck_assert_double_eq_tol(0.8725 - a.decision.aim_mm, b.decision.aim_mm - 0.8725, 1e-6);
}
END_TEST

/* --- edges -------------------------------------------------------------------------- */

START_TEST(bad_input_is_refused)
{
    dialarc_setup s = shop();
    const dialarc_round good[] = {{1, 0.0, 0.86, 0}, {2, 0.0, 0.87, 1}};
    dialarc_plan p = {.lift_mm = -7.0};
    ck_assert_int_eq(dialarc_plan_rounds(NULL, 2, good, &p), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_plan_rounds(&s, 2, NULL, &p), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_plan_rounds(&s, 2, good, NULL), DIALARC_ERR_NULL);
    const dialarc_round bad[][2] = {{{1, NAN, 0.86, 0}, {2, 0.0, 0.87, 1}},
                                    {{1, 0.0, 0.86, 0}, {2, 0.0, INFINITY, 1}},
                                    {{2, 0.0, 0.86, 0}, {1, 0.0, 0.87, 1}},
                                    {{0, 0.0, 0.86, 0}, {1, 0.0, 0.87, 1}}};
    const dialarc_status codes[] = {DIALARC_ERR_NOT_FINITE, DIALARC_ERR_NOT_FINITE,
                                    DIALARC_ERR_ORDER, DIALARC_ERR_ORDER};
    for (size_t i = 0; i < 4; i++)
        ck_assert_int_eq(dialarc_plan_rounds(&s, 2, bad[i], &p), codes[i]);
    s.lobes = 17;
    ck_assert_int_eq(dialarc_plan_rounds(&s, 2, good, &p), DIALARC_ERR_LOBES);
    ck_assert_double_eq(p.lift_mm, -7.0);
}
END_TEST

/* Perfect instruments are legal, and so are thousands of rows. */
START_TEST(extremes_are_survived)
{
    dialarc_setup s = shop();
    s.dial_sd_mm = s.dial_step_mm = s.dial_hysteresis_mm = s.tdc_sd_deg = 0.0;
    const dialarc_round rows[] = {{1, 0.0, 0.86, 0}, {1, 0.0, 0.87, 1}};
    dialarc_plan p = plan_of(s, 2, rows);
    ck_assert_int_eq(p.decision.verdict, DIALARC_VERDICT_IN);
    ck_assert_double_eq_tol(p.lift_mm, 0.87, 1e-12);
    ck_assert_double_lt(p.lift_u_mm, 1e-4);

    const size_t n = 20000;
    dialarc_round *many = malloc(n * sizeof *many);
    sim_random r;
    sim_seed(&r, 3);
    s = shop();
    for (size_t i = 0; i < n; i++) /* one setting, read again and again */
        many[i] = (dialarc_round){1, 0.01 * round_half(0.3 * sim_normal(&r)),
                                  0.01 * round_half(87.0 + 0.3 * sim_normal(&r)), 1};
    p = plan_of(s, n, many);
    ck_assert_int_eq(dialarc_findings_has(&p.findings, DIALARC_FINDING_REPEATABILITY), 0);
    ck_assert_double_eq_tol(p.lift_mm, 0.8725, 5e-4);
    for (size_t i = 0; i < n; i++)
        many[i] = (dialarc_round){(int)(i / 2) + 1, 0.0, i % 2 ? 0.885 : 0.87, i % 2};
    p = plan_of(s, n, many);
    ck_assert_uint_eq(p.shifts, n / 2);
    ck_assert_double_eq_tol(p.shift_mm, 0.015, 1e-4);
    free(many);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rounds");
    TCase *tc = tcase_create("plan");
    tcase_add_test(tc, lift_and_uncertainty_of_one_reading);
    tcase_add_test(tc, repeats_are_averaged);
    tcase_add_test(tc, falling_dials_are_turned_round);
    tcase_add_test(tc, falling_dials_have_no_zero);
    tcase_add_test(tc, looks_are_counted);
    tcase_add_test(tc, silent_setups_are_filled_in);
    tcase_add_test(tc, known_cams_give_rate_and_turn);
    tcase_add_test(tc, verdicts_of_tight_readings);
    tcase_add_test(tc, loose_readings_are_never_in);
    tcase_add_test(tc, loose_readings_are_judged_after_the_shift);
    tcase_add_test(tc, shift_is_learned_from_pairs_alone);
    tcase_add_test(tc, sign_of_the_shift_follows_the_pairs);
    suite_add_tcase(suite, tc);
    tc = tcase_create("edges");
    tcase_add_test(tc, bad_input_is_refused);
    tcase_add_test(tc, extremes_are_survived);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
