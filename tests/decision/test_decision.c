/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "decision/decision.h"
#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"
#include "kit/simulate.h"

#define PI       3.14159265358979323846
#define RISE_DEG 40.0
#define TOTAL_MM 2.2

/* Cycloidal rise, written anew. */
static double lift_at(double pump_deg)
{
    double u = pump_deg / RISE_DEG;
    return TOTAL_MM * (u - sin(2.0 * PI * u) / (2.0 * PI));
}

static dialarc_timing timing_at(double lift_mm, double sd_mm)
{
    dialarc_timing t;
    memset(&t, 0, sizeof t);
    t.lift_mm = lift_mm;
    t.lift_u_mm = 1.959963984540054 * sd_mm;
    t.dial_hysteresis_mm = 0.003;
    t.dial_hysteresis_u_mm = 0.001;
    t.budget.tdc_mm = 0.004;
    t.rise_pump_deg = RISE_DEG;
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++)
        t.rise_mm[k] = lift_at(RISE_DEG * k / DIALARC_RISE_INTERVALS);
    return t;
}

static dialarc_setup window(double low, double high)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.lift_low_mm = low;
    s.lift_high_mm = high;
    s.dial_sd_mm = 0.003;
    s.dial_step_mm = 0.01;
    return s;
}

static dialarc_decision judge(dialarc_setup setup, dialarc_timing timing)
{
    dialarc_decision d;
    ck_assert_int_eq(dialarc_decision_judge(&setup, &timing, &d), DIALARC_OK);
    return d;
}

START_TEST(verdicts_have_names_and_sentences)
{
    const char *names[] = {"", "in", "low", "high", "undecided", "unusable"};
    for (int v = 0; v <= DIALARC_VERDICT_UNUSABLE; v++) {
        ck_assert_str_eq(dialarc_verdict_name((dialarc_verdict)v), names[v]);
        const char *text = dialarc_verdict_text((dialarc_verdict)v);
        ck_assert_int_eq(text[strlen(text) - 1], '.');
        ck_assert_ptr_null(strstr(text, "Unknown"));
    }
    const int strangers[] = {-1, 6, 99};
    for (size_t i = 0; i < 3; i++) {
        ck_assert_str_eq(dialarc_verdict_name((dialarc_verdict)strangers[i]), "unknown");
        ck_assert_ptr_nonnull(
            strstr(dialarc_verdict_text((dialarc_verdict)strangers[i]), "Unknown"));
    }
}
END_TEST

START_TEST(verdict_follows_the_probability)
{
    const double z = 1.959963984540054, sd = 0.004;
    const dialarc_setup s = window(0.85, 0.90);
    const struct {
        double lift;
        dialarc_verdict verdict;
    } cases[] = {
        {0.875, DIALARC_VERDICT_IN},
        {0.85 + 1.01 * z * sd, DIALARC_VERDICT_IN},
        {0.85 + 0.99 * z * sd, DIALARC_VERDICT_UNDECIDED},
        {0.85, DIALARC_VERDICT_UNDECIDED},
        {0.85 - 0.99 * z * sd, DIALARC_VERDICT_UNDECIDED},
        {0.85 - 1.01 * z * sd, DIALARC_VERDICT_LOW},
        {0.0, DIALARC_VERDICT_LOW},
        {0.90 - 1.01 * z * sd, DIALARC_VERDICT_IN},
        {0.90 - 0.99 * z * sd, DIALARC_VERDICT_UNDECIDED},
        {0.90 + 0.99 * z * sd, DIALARC_VERDICT_UNDECIDED},
        {0.90 + 1.01 * z * sd, DIALARC_VERDICT_HIGH},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        dialarc_decision d = judge(s, timing_at(cases[i].lift, sd));
        ck_assert_int_eq(d.verdict, cases[i].verdict);
        ck_assert_double_eq_tol(d.probability_low,
                                gsl_cdf_gaussian_P(0.85 - cases[i].lift, sd), 1e-14);
        ck_assert_double_eq_tol(d.probability_high,
                                gsl_cdf_gaussian_Q(0.90 - cases[i].lift, sd), 1e-14);
        ck_assert_double_eq_tol(d.probability_in + d.probability_low + d.probability_high,
                                1.0, 1e-14);
    }
}
END_TEST

/* The published probability at the edge of a guard band of two standard uncertainties. */
START_TEST(guard_band_of_the_guide)
{
    refdata *table = refdata_open("conformity.csv");
    dialarc_decision d = judge(window(0.0, 0.90), timing_at(0.89, 0.005));
    refdata_check(table, refdata_find(table, "quantity", "conformity_at_guard_band_2u"),
                  d.probability_in);
    refdata_close(table);
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_IN);
}
END_TEST

START_TEST(no_uncertainty_is_allowed)
{
    dialarc_decision d = judge(window(0.85, 0.90), timing_at(0.90, 0.0));
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_IN);
    ck_assert_double_eq(d.probability_in, 1.0);
}
END_TEST

static void check_nothing_given(const dialarc_decision *d)
{
    const double fields[] = {d->probability_in,    d->probability_low,
                             d->probability_high,  d->advance_error_crank_deg,
                             d->turn_pump_deg,     d->turn_rim_mm,
                             d->turn_teeth,        d->aim_mm,
                             d->aim_probability_in};
    for (size_t i = 0; i < sizeof fields / sizeof fields[0]; i++)
        ck_assert_double_nan(fields[i]);
    ck_assert_int_eq(d->turn_rotation, DIALARC_ROTATION_UNKNOWN);
}

START_TEST(a_stopping_finding_leaves_no_verdict)
{
    dialarc_timing t = timing_at(0.875, 0.001);
    t.findings.present = 1u << DIALARC_FINDING_CAM_MISMATCH;
    t.findings.severity[DIALARC_FINDING_CAM_MISMATCH] = DIALARC_SEVERITY_CAUTION;
    ck_assert_int_eq(judge(window(0.85, 0.90), t).verdict, DIALARC_VERDICT_IN);
    t.findings.severity[DIALARC_FINDING_CAM_MISMATCH] = DIALARC_SEVERITY_STOP;
    dialarc_decision d = judge(window(0.85, 0.90), t);
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_UNUSABLE);
    check_nothing_given(&d);
    d = judge(dialarc_setup_unknown(4), t); /* nor without a window */
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_UNUSABLE);
}
END_TEST

START_TEST(an_unknown_lift_leaves_no_verdict)
{
    dialarc_timing t = timing_at(DIALARC_UNKNOWN, DIALARC_UNKNOWN);
    dialarc_decision d = judge(window(0.85, 0.90), t);
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_UNUSABLE);
    check_nothing_given(&d);
}
END_TEST

START_TEST(without_a_window_nothing_is_judged)
{
    dialarc_decision d = judge(dialarc_setup_unknown(4), timing_at(0.9, 0.004));
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_NONE);
    check_nothing_given(&d);
}
END_TEST

/* The correction leads to mid-window on the true cam, from any lift. */
START_TEST(turn_leads_to_the_middle)
{
    dialarc_setup s = window(0.85, 0.90);
    s.sprocket_teeth = 44;
    s.sprocket_radius_mm = 66.7;
    s.rotation = DIALARC_ROTATION_CCW;
    for (double angle = 1.0; angle < RISE_DEG; angle += 0.83) {
        dialarc_decision d = judge(s, timing_at(lift_at(angle), 0.004));
        ck_assert_double_eq_tol(lift_at(angle + d.turn_pump_deg), 0.875, 5e-6);
        ck_assert_double_eq_tol(d.advance_error_crank_deg, -2.0 * d.turn_pump_deg, 1e-13);
        ck_assert_double_eq_tol(d.turn_rim_mm, d.turn_pump_deg * PI / 180.0 * 66.7,
                                1e-13);
        /* one tooth of 44 is 8.1818 pump degrees */
        ck_assert_double_eq_tol(d.turn_teeth * 8.181818181818182, d.turn_pump_deg, 1e-13);
        ck_assert_int_eq(d.turn_rotation, d.turn_pump_deg > 0 ? DIALARC_ROTATION_CCW
                                                              : DIALARC_ROTATION_CW);
        ck_assert_int_eq(d.turn_pump_deg > 0, lift_at(angle) < 0.875);
    }
}
END_TEST

START_TEST(turn_in_one_to_one_drives)
{
    dialarc_setup s = window(0.85, 0.90);
    s.crank_per_pump = 1.0; /* two-stroke: crank and pump degrees are the same */
    dialarc_decision d = judge(s, timing_at(0.95, 0.004));
    ck_assert_double_eq(d.advance_error_crank_deg, -d.turn_pump_deg);
    ck_assert_double_gt(d.advance_error_crank_deg, 0.0); /* too much lift: too early */
}
END_TEST

START_TEST(turn_is_unknown_where_it_must_be)
{
    dialarc_setup s = window(0.85, 0.90);
    dialarc_decision d = judge(s, timing_at(0.95, 0.004));
    ck_assert_double_nan(d.turn_rim_mm);
    ck_assert_double_nan(d.turn_teeth);
    ck_assert_int_eq(d.turn_rotation, DIALARC_ROTATION_UNKNOWN);
    ck_assert(isfinite(d.turn_pump_deg) && isfinite(d.advance_error_crank_deg));
    const double outside[] = {-0.001, TOTAL_MM + 0.001};
    for (size_t i = 0; i < 2; i++) {
        d = judge(s, timing_at(outside[i], 0.004));
        ck_assert_double_nan(d.turn_pump_deg);
        ck_assert_double_nan(d.advance_error_crank_deg);
        ck_assert_double_eq_tol(d.probability_in, 0.0, 1e-12);
    }
    d = judge(window(2.3, 2.4), timing_at(0.95, 0.004)); /* a window beyond the cam */
    ck_assert_double_nan(d.turn_pump_deg);
    dialarc_timing t = timing_at(0.95, 0.004);
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++)
        t.rise_mm[k] = DIALARC_UNKNOWN;
    d = judge(s, t);
    ck_assert_double_nan(d.turn_pump_deg);
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_HIGH);
}
END_TEST

START_TEST(turn_at_the_ends_of_the_rise)
{
    dialarc_setup s = window(0.0, 2.0 * TOTAL_MM); /* middle: the top */
    ck_assert_double_eq_tol(judge(s, timing_at(0.0, 0.004)).turn_pump_deg, RISE_DEG,
                            1e-9);
    ck_assert_double_eq(judge(s, timing_at(TOTAL_MM, 0.004)).turn_pump_deg, 0.0);
    ck_assert_int_eq(judge(s, timing_at(TOTAL_MM, 0.004)).turn_rotation,
                     DIALARC_ROTATION_UNKNOWN);
    /* A dwell inside the rise: any angle on it will do, and none is lost. */
    dialarc_timing t = timing_at(0.5, 0.004);
    for (int k = 20; k <= 30; k++)
        t.rise_mm[k] = 0.5;
    for (int k = 0; k < 20; k++)
        t.rise_mm[k] = 0.025 * k;
    t.lift_mm = 0.5;
    dialarc_decision d = judge(window(0.85, 0.90), t);
    ck_assert(d.turn_pump_deg > 0.0 && d.turn_pump_deg < RISE_DEG);
}
END_TEST

/* What the mechanic will see is short of the lift by the hysteresis. */
START_TEST(aim_allows_for_hysteresis)
{
    dialarc_timing t = timing_at(0.80, 0.004);
    dialarc_setup s = window(0.85, 0.90);
    ck_assert_double_eq_tol(judge(s, t).aim_mm, 0.875 - 0.003, 1e-12);
    t.dial_hysteresis_mm =
        DIALARC_UNKNOWN; /* then 0 to 0.005 mm, or what the setup says */
    ck_assert_double_eq_tol(judge(s, t).aim_mm, 0.875 - 0.0025, 1e-12);
    s.dial_hysteresis_mm = 0.02;
    ck_assert_double_eq_tol(judge(s, t).aim_mm, 0.875 - 0.01, 1e-12);
    s.dial_sense = -1; /* counted with rising lift all the same */
    ck_assert_double_eq_tol(judge(s, t).aim_mm, 0.875 - 0.01, 1e-12);
}
END_TEST

/* The chance stated for the aim is the share of tightened settings that end inside, when
 * shifts are as assumed: a mean that is normal with sd 0.014 mm, or 0.015 mm either way,
 * with a scatter about it. */
START_TEST(aim_probability_is_kept)
{
    const int n = 40000;
    dialarc_timing t = timing_at(0.80, 0.004);
    t.dial_hysteresis_u_mm = 1.96 * 0.008;
    dialarc_decision d = judge(window(0.85, 0.90), t);
    sim_random r;
    int inside = 0;
    sim_seed(&r, 8);
    for (int i = 0; i < n; i++) {
        double chi = 0.0, lift = d.aim_mm + 0.003 + 0.008 * sim_normal(&r);
        for (int k = 0; k < 6; k++)
            chi += pow(sim_normal(&r), 2);
        for (int k = 0; k < 2; k++) /* dial and rounding of both readings */
            lift += 0.003 * sim_normal(&r) + sim_uniform(&r, -0.005, 0.005);
        lift += 0.004 * sim_normal(&r); /* TDC mark */
        double way = sim_uniform(&r, 0.0, 1.0);
        lift += way >= 0.42 ? 0.014 * sim_normal(&r) : way > 0.21 ? 0.015 : -0.015;
        lift += (way > 0.86 ? 0.003 : 0.005 * sqrt(6.0 / chi)) * sim_normal(&r);
        inside += lift >= 0.85 && lift <= 0.90;
    }
    double p = d.aim_probability_in;
    ck_assert_double_eq_tol((double)inside / n, p, 4.0 * sqrt(p * (1.0 - p) / n));
    ck_assert(p > 0.7 && p < 0.95);
}
END_TEST

START_TEST(bad_input_is_refused)
{
    dialarc_setup s = window(0.85, 0.90);
    dialarc_timing t = timing_at(0.875, 0.004);
    dialarc_decision d = {.aim_mm = -7.0};
    ck_assert_int_eq(dialarc_decision_judge(NULL, &t, &d), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_decision_judge(&s, NULL, &d), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_decision_judge(&s, &t, NULL), DIALARC_ERR_NULL);
    s.lobes = 0;
    ck_assert_int_eq(dialarc_decision_judge(&s, &t, &d), DIALARC_ERR_LOBES);
    s = window(0.90, 0.85);
    ck_assert_int_eq(dialarc_decision_judge(&s, &t, &d), DIALARC_ERR_WINDOW);
    s = window(0.85, 0.90);
    t.lift_u_mm = -0.01;
    ck_assert_int_eq(dialarc_decision_judge(&s, &t, &d), DIALARC_ERR_SD);
    t.lift_u_mm = DIALARC_UNKNOWN;
    ck_assert_int_eq(dialarc_decision_judge(&s, &t, &d), DIALARC_ERR_NOT_FINITE);
    t = timing_at(INFINITY, 0.004);
    ck_assert_int_eq(dialarc_decision_judge(&s, &t, &d), DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(d.aim_mm, -7.0);
}
END_TEST

/* A record with infinities where it should have numbers gives no infinite answers. */
START_TEST(details_beyond_reason_are_refused)
{
    const dialarc_setup setup = window(0.85, 0.90);
    dialarc_decision d;
    dialarc_timing t = timing_at(0.875, 0.004);
    t.budget.tdc_mm = INFINITY;
    ck_assert_int_eq(dialarc_decision_judge(&setup, &t, &d), DIALARC_ERR_NOT_FINITE);
    t = timing_at(0.875, 0.004);
    t.dial_hysteresis_mm = 1e142;
    ck_assert_int_eq(dialarc_decision_judge(&setup, &t, &d), DIALARC_ERR_RANGE);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("decision");
    TCase *tc = tcase_create("verdict");
    tcase_add_test(tc, verdicts_have_names_and_sentences);
    tcase_add_test(tc, verdict_follows_the_probability);
    tcase_add_test(tc, guard_band_of_the_guide);
    tcase_add_test(tc, no_uncertainty_is_allowed);
    tcase_add_test(tc, a_stopping_finding_leaves_no_verdict);
    tcase_add_test(tc, an_unknown_lift_leaves_no_verdict);
    tcase_add_test(tc, without_a_window_nothing_is_judged);
    tcase_add_test(tc, bad_input_is_refused);
    tcase_add_test(tc, details_beyond_reason_are_refused);
    suite_add_tcase(suite, tc);
    tc = tcase_create("correction");
    tcase_add_test(tc, turn_leads_to_the_middle);
    tcase_add_test(tc, turn_in_one_to_one_drives);
    tcase_add_test(tc, turn_is_unknown_where_it_must_be);
    tcase_add_test(tc, turn_at_the_ends_of_the_rise);
    tcase_add_test(tc, aim_allows_for_hysteresis);
    tcase_add_test(tc, aim_probability_is_kept);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
