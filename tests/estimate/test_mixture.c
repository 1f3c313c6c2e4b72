/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An estimate and its rivals: odds that are known, and the law of total variance. */
#include <math.h>

#include "estimate/mixture.h"
#include "kit/check_main.h"

/* Odds of 1 and 2 to 1 against the estimate, and one that is no rival at all. */
static const darc_rival rival[] = {
    {1.0, 4e-4, 0.0}, {0.0, 0.0, -INFINITY}, {1.1, 1e-4, 0.69314718055994531}};

START_TEST(weighed_by_the_odds)
{
    double p[3];
    ck_assert_double_eq_tol(darc_rivals_weigh(rival, 3, p), 0.25, 1e-15);
    ck_assert_double_eq_tol(p[0], 0.25, 1e-15);
    ck_assert_double_eq(p[1], 0.0);
    ck_assert_double_eq_tol(p[2], 0.5, 1e-15);
    ck_assert_double_eq(darc_rivals_weigh(NULL, 0, NULL), 1.0);
}
END_TEST

/* Odds that exp() cannot hold, either way. */
START_TEST(far_odds)
{
    double p;
    darc_rival sure = {1.0, 0.0, 2000.0}, never = {1.0, 0.0, -2000.0};
    ck_assert_double_eq(darc_rivals_weigh(&sure, 1, &p), 0.0);
    ck_assert_double_eq(p, 1.0);
    ck_assert_double_eq(darc_rivals_weigh(&never, 1, &p), 1.0);
    ck_assert_double_eq(p, 0.0);
}
END_TEST

/* Within: 1/4 1e-4 + 1/4 4e-4 + 1/2 1e-4. Between: that of 0.9, 1.0 and 1.1, with a mean
 * of 1.025. */
START_TEST(total_variance)
{
    double p[3], within = 1.75e-4;
    double between = 0.25 * 0.125 * 0.125 + 0.25 * 0.025 * 0.025 + 0.5 * 0.075 * 0.075;
    darc_estimate e = {.var_readings = 0.5e-4, .var_cam = 0.5e-4};
    e.mean[DARC_ASK_LIFT] = 0.9;
    e.var[DARC_ASK_LIFT] = 1e-4;
    darc_rivals_weigh(rival, 3, p);
    darc_estimate_mix(&e, rival, p, 3);
    ck_assert_double_eq_tol(e.mean[DARC_ASK_LIFT], 1.025, 1e-12);
    ck_assert_double_eq_tol(e.var[DARC_ASK_LIFT], within + between, 1e-12);
    ck_assert_double_eq_tol(e.var_readings + e.var_cam, within + between, 1e-12);
    ck_assert_double_eq(e.var_cam, 0.5e-4);
}
END_TEST

/* A rival that is surer than the estimate makes it no surer. */
START_TEST(never_surer)
{
    double p;
    darc_rival surer = {0.9, 1e-6, 0.0};
    darc_estimate e = {.var_readings = 1e-4};
    e.mean[DARC_ASK_LIFT] = 0.9;
    e.var[DARC_ASK_LIFT] = 1e-4;
    darc_rivals_weigh(&surer, 1, &p);
    darc_estimate_mix(&e, &surer, &p, 1);
    ck_assert_double_eq(e.var[DARC_ASK_LIFT], 1e-4);
    ck_assert_double_eq(e.var_readings, 1e-4);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("mixture");
    TCase *c = tcase_create("mixture");
    tcase_add_test(c, weighed_by_the_odds);
    tcase_add_test(c, far_odds);
    tcase_add_test(c, total_variance);
    tcase_add_test(c, never_surer);
    suite_add_tcase(s, c);
    return darc_run(s);
}
