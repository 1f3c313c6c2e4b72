/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/minimiser.h"

#include <math.h>

#include "kit/check_main.h"

/* (x - place)^2, on which rounding hides the place beyond half of the digits. */
static double bowl(double x, const void *context)
{
    double away = x - *(const double *)context;
    return away * away;
}

/* Two straight lines that meet at the number in the context, seen to the last digit. */
static double notch(double x, const void *context)
{
    double away = x - *(const double *)context;
    return away < 0.0 ? -away : 2.0 * away;
}

/* x less its logarithm: by calculus lowest at 1. */
static double less_log(double x, const void *context)
{
    (void)context;
    return x - log(x);
}

START_TEST(within_the_interval)
{
    const double at = 0.3;
    ck_assert_double_eq_tol(darc_minimum(notch, &at, -1.0, 2.0, 1e-12), 0.3, 1e-12);
    ck_assert_double_eq_tol(darc_minimum(bowl, &at, 0.29, 0.9, 1e-9), 0.3, 1e-9);
    ck_assert_double_eq_tol(darc_minimum(less_log, NULL, 0.1, 10.0, 1e-9), 1.0, 1e-7);
}
END_TEST

START_TEST(at_an_end)
{
    const double below = -5.0, above = 7.0;
    ck_assert_double_eq_tol(darc_minimum(bowl, &below, -1.0, 2.0, 1e-9), -1.0, 1e-9);
    ck_assert_double_eq_tol(darc_minimum(bowl, &above, -1.0, 2.0, 1e-9), 2.0, 1e-9);
}
END_TEST

/* Golden section asks for 31 values to a millionth of the interval; a parabola has its
 * foot at once. */
static int asked;

static double counted(double x, const void *context)
{
    asked++;
    return less_log(x, context);
}

START_TEST(costs_few_values)
{
    asked = 0;
    ck_assert_double_eq_tol(darc_minimum(counted, NULL, 0.5, 1.7, 1e-6), 1.0, 1e-6);
    ck_assert_int_le(asked, 15);
}
END_TEST

/* A basin with a level floor: anywhere in it. */
static double basin(double x, const void *context)
{
    return fmax(fabs(x - *(const double *)context) - 0.2, 0.0);
}

START_TEST(level_floor)
{
    const double at = 0.3;
    double x = darc_minimum(basin, &at, -1.0, 2.0, 1e-9);
    ck_assert_double_le(fabs(x - at), 0.2);
}
END_TEST

START_TEST(nothing_to_search)
{
    const double at = 0.3;
    ck_assert_double_eq(darc_minimum(bowl, &at, 0.5, 0.5, 1e-9), 0.5);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("minimiser");
    TCase *tc = tcase_create("minimiser");
    tcase_add_test(tc, within_the_interval);
    tcase_add_test(tc, at_an_end);
    tcase_add_test(tc, costs_few_values);
    tcase_add_test(tc, level_floor);
    tcase_add_test(tc, nothing_to_search);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
