/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an estimate answers before it knows anything, and what no pump can give. */
#include <math.h>

#include "estimate/estimate.h"
#include "kit/check_main.h"

START_TEST(nothing_is_known_at_first)
{
    darc_estimate a = {.law = DIALARC_LAW_POLY345, .converged = 1};
    darc_estimate_clear(&a);
    for (int q = 0; q < DARC_ASKED; q++) {
        ck_assert_double_nan(a.mean[q]);
        ck_assert_double_nan(a.var[q]);
    }
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++)
        ck_assert_double_nan(a.rise_mm[k]);
    ck_assert_double_nan(a.var_readings);
    ck_assert_double_nan(a.var_hysteresis);
    ck_assert_double_nan(a.var_cam);
    ck_assert_int_eq(a.law, DIALARC_LAW_UNKNOWN);
    ck_assert_int_eq(a.converged, 0);
    ck_assert_int_eq(darc_estimate_is_sensible(&a), 0);
}
END_TEST

/* A pump of 2.2 mm; the lift is known to 0.01 mm. */
static darc_estimate usual(void)
{
    darc_estimate a;
    darc_estimate_clear(&a);
    for (int q = 0; q < DARC_ASKED; q++)
        a.mean[q] = a.var[q] = 1.0;
    a.mean[DARC_ASK_LIFT] = 0.9;
    a.mean[DARC_ASK_TOTAL] = 2.2;
    a.mean[DARC_ASK_RISE] = 40.0;
    a.var[DARC_ASK_LIFT] = 1e-4;
    return a;
}

START_TEST(all_that_is_asked_must_be_known)
{
    const double no_mean[] = {NAN, INFINITY}, no_var[] = {NAN, INFINITY, -1e-9};
    darc_estimate a = usual();
    ck_assert_int_eq(darc_estimate_is_sensible(&a), 1);
    for (int q = 0; q < DARC_ASKED; q++) {
        for (int k = 0; k < 2; k++) {
            a = usual(), a.mean[q] = no_mean[k];
            ck_assert_int_eq(darc_estimate_is_sensible(&a), 0);
        }
        for (int k = 0; k < 3; k++) {
            a = usual(), a.var[q] = no_var[k];
            ck_assert_int_eq(darc_estimate_is_sensible(&a), 0);
        }
    }
}
END_TEST

/* Four sd and a twentieth of the lobe, 0.15 mm, are what a lift may lie outside of it. */
START_TEST(a_lobe_has_a_height_and_a_length)
{
    const struct {
        int asked;
        double mean;
        int sensible;
    } cases[] = {{DARC_ASK_TOTAL, 0.0, 0},   {DARC_ASK_TOTAL, -2.2, 0},
                 {DARC_ASK_RISE, 0.0, 0},    {DARC_ASK_RISE, -40.0, 0},
                 {DARC_ASK_LIFT, -0.149, 1}, {DARC_ASK_LIFT, -0.151, 0},
                 {DARC_ASK_LIFT, 2.349, 1},  {DARC_ASK_LIFT, 2.351, 0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        darc_estimate a = usual();
        a.mean[cases[i].asked] = cases[i].mean;
        ck_assert_int_eq(darc_estimate_is_sensible(&a), cases[i].sensible);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("estimate");
    TCase *tc = tcase_create("answers");
    tcase_add_test(tc, nothing_is_known_at_first);
    tcase_add_test(tc, all_that_is_asked_must_be_known);
    tcase_add_test(tc, a_lobe_has_a_height_and_a_length);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
