/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How means and variances become a timing. */
#include <math.h>
#include <string.h>

#include "estimate/timing.h"
#include "kit/check_main.h"

/* Half an interval of 95 % of a normal distribution, in sds (tables of the normal
 * distribution; recomputed by GSL to 10 digits). */
#define K95 1.959963985

/* Roots of variances of 3, 4 and 12 thousandths and, of the dial, 132: with the mark's 84
 * their sum is 157, for 3-4-5, 5-12-13, 13-84-85 and 85-132-157 are Pythagorean. */
static darc_estimate usual(void)
{
    darc_estimate e;
    darc_estimate_clear(&e);
    for (int q = 0; q < DARC_ASKED; q++)
        e.mean[q] = e.var[q] = 1.0;
    e.mean[DARC_ASK_LIFT] = 0.9;
    e.mean[DARC_ASK_ZERO] = 0.25;
    e.mean[DARC_ASK_RATE] = -0.042;
    e.var[DARC_ASK_ZERO] = 4e-6;
    e.var_readings = 9e-6;
    e.var_hysteresis = 16e-6;
    e.var_cam = 144e-6;
    e.var_dial = 17424e-6;
    e.var_wheel = 0.0;
    return e;
}

static const darc_noise noise = {.tdc_sd_deg = 2.0, .hysteresis_max_mm = 0.01};
static const darc_known rising = {.dial.sense = 1.0}, falling = {.dial.sense = -1.0};

START_TEST(the_budget_adds_in_squares)
{
    dialarc_timing t;
    darc_estimate e = usual();
    darc_timing_clear(&t);
    darc_timing_tell(&e, &rising, &noise, 1.0, &t);
    ck_assert_double_eq_tol(t.budget.readings_mm, 0.003, 1e-15);
    ck_assert_double_eq_tol(t.budget.hysteresis_mm, 0.004, 1e-15);
    ck_assert_double_eq_tol(t.budget.cam_mm, 0.012, 1e-15);
    ck_assert_double_eq_tol(t.budget.tdc_mm, 0.084, 1e-15);
    ck_assert_double_eq_tol(t.budget.dial_mm, 0.132, 1e-15);
    ck_assert_double_eq_tol(t.budget.total_mm, 0.157, 1e-15);
    ck_assert_double_eq_tol(t.lift_u_mm, K95 * 0.157, 1e-10);
    ck_assert_double_eq_tol(t.minimum_u_mm, K95 * 0.002, 1e-11);
    e.var_wheel = 24649e-6; /* as much again */
    darc_timing_tell(&e, &rising, &noise, 1.0, &t);
    ck_assert_double_eq_tol(t.budget.wheel_mm, 0.157, 1e-15);
    ck_assert_double_eq_tol(t.budget.total_mm, 0.157 * sqrt(2.0), 1e-15);
}
END_TEST

/* Scatter above what was stated: readings and cam, neither hysteresis nor mark. */
START_TEST(inflation)
{
    dialarc_timing t;
    darc_estimate e = usual();
    darc_timing_clear(&t);
    darc_timing_tell(&e, &rising, &noise, 4.0, &t);
    ck_assert_double_eq_tol(t.budget.readings_mm, 0.006, 1e-15);
    ck_assert_double_eq_tol(t.budget.cam_mm, 0.024, 1e-15);
    ck_assert_double_eq_tol(t.budget.hysteresis_mm, 0.004, 1e-15);
    ck_assert_double_eq_tol(t.budget.tdc_mm, 0.084, 1e-15);
    ck_assert_double_eq_tol(t.budget.total_mm,
                            sqrt(36e-6 + 576e-6 + 16e-6 + 7056e-6 + 17424e-6), 1e-15);
}
END_TEST

/* The minimum is told as the dial shows it; a slack that was only assumed is not told;
 * what no dial or drive has is not either. */
START_TEST(as_it_is_told)
{
    dialarc_timing t;
    darc_estimate e = usual();
    e.var[DARC_ASK_SLACK] = 4.0;
    e.mean[DARC_ASK_HYST] = 0.02;
    darc_timing_clear(&t);
    darc_timing_tell(&e, &falling, &noise, 1.0, &t);
    ck_assert_double_eq(t.minimum_mm, -0.25);
    ck_assert_double_eq(t.lift_mm, 0.9);
    ck_assert_double_nan(t.slack_crank_deg);
    ck_assert_double_nan(t.slack_u_crank_deg);
    ck_assert_double_eq(t.dial_hysteresis_mm, 0.02);
    e.var[DARC_ASK_SLACK] = 3.99;
    e.mean[DARC_ASK_SLACK] = -0.5;
    e.mean[DARC_ASK_HYST] = -0.001;
    darc_timing_tell(&e, &rising, &noise, 1.0, &t);
    ck_assert_double_eq(t.slack_crank_deg, 0.0);
    ck_assert_double_eq(t.dial_hysteresis_mm, 0.0);
}
END_TEST

/* Nothing known: no number is left that was there before. */
START_TEST(cleared)
{
    dialarc_timing t;
    memset(&t, 0x55, sizeof t);
    darc_timing_clear(&t);
    const double told[] = {t.lift_mm,
                           t.lift_u_mm,
                           t.budget.readings_mm,
                           t.budget.tdc_mm,
                           t.budget.hysteresis_mm,
                           t.budget.cam_mm,
                           t.budget.dial_mm,
                           t.budget.wheel_mm,
                           t.lift_crank_deg,
                           t.budget.total_mm,
                           t.minimum_mm,
                           t.minimum_u_mm,
                           t.minimum_crank_deg,
                           t.minimum_u_crank_deg,
                           t.slack_crank_deg,
                           t.slack_u_crank_deg,
                           t.dial_hysteresis_mm,
                           t.dial_hysteresis_u_mm,
                           t.rate_mm_per_crank_deg,
                           t.total_lift_mm,
                           t.rise_pump_deg,
                           t.law_probability,
                           t.scatter};
    for (size_t k = 0; k < sizeof told / sizeof told[0]; k++)
        ck_assert_double_nan(told[k]);
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++)
        ck_assert_double_nan(t.rise_mm[k]);
    ck_assert_int_eq(t.law, DIALARC_LAW_UNKNOWN);
    ck_assert_uint_eq(t.readings_used, 0);
    ck_assert_uint_eq(t.findings.present, 0);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("timing");
    TCase *c = tcase_create("timing");
    tcase_add_test(c, the_budget_adds_in_squares);
    tcase_add_test(c, inflation);
    tcase_add_test(c, as_it_is_told);
    tcase_add_test(c, cleared);
    suite_add_tcase(s, c);
    return darc_run(s);
}
