/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "decision/repeats.h"
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <stdio.h>

#include "kit/check_main.h"
#include "kit/simulate.h"

static double at(const void *context, size_t i)
{
    return ((const double *)context)[i];
}

static darc_repeats repeats(size_t n, const double *x, double sd)
{
    const darc_readings r = {at, x, 0, n};
    return darc_repeats_of(&r, sd * sd);
}

START_TEST(few)
{
    const double nothing[] = {NAN, NAN}, one[] = {NAN, 0.9}, two[] = {0.9, 0.91};
    darc_repeats s = repeats(2, nothing, 0.005);
    ck_assert_uint_eq(s.used, 0);
    ck_assert_double_nan(s.mean_mm);
    s = repeats(2, one, 0.005);
    ck_assert_uint_eq(s.used, 1);
    ck_assert_double_eq(s.mean_mm, 0.9);
    ck_assert_double_eq_tol(s.variance, 0.005 * 0.005, 1e-18);
    s = repeats(2, two, 0.005);
    ck_assert_double_eq_tol(s.mean_mm, 0.905, 1e-12);
    ck_assert(!s.scattered);
    ck_assert_uint_eq(repeats(0, NULL, 0.005).used, 0);
}
END_TEST

/* Perfect instruments: nothing is misread by a rounding in the last place. */
START_TEST(perfect_instruments)
{
    const double x[] = {0.87, 0.88 - 0.01, 0.87 + 1e-16, 0.87};
    darc_repeats s = repeats(4, x, 1e-8);
    ck_assert_uint_eq(s.used, 4);
    ck_assert_double_eq_tol(s.mean_mm, 0.87, 1e-15);
}
END_TEST

/* Mean of what is left when those far from the median are gone: GSL's statistics. */
START_TEST(agrees_with_gsl)
{
    sim_random r;
    sim_seed(&r, 71);
    for (int trial = 0; trial < 200; trial++) {
        double x[41], left[41];
        size_t n = (size_t)sim_integer(&r, 5, 41), misread = n / 5, k = 0;
        for (size_t i = 0; i < n; i++)
            x[i] = 0.9 + 0.002 * sim_normal(&r) + (i < misread ? 0.2 : 0.0);
        for (size_t i = misread; i < n; i++)
            left[k++] = x[i];
        darc_repeats s = repeats(n, x, 0.01);
        ck_assert_uint_eq(s.misread, misread);
        ck_assert_double_eq_tol(s.mean_mm, gsl_stats_mean(left, 1, k), 1e-12);
        ck_assert_double_eq_tol(
            s.squares, gsl_stats_variance(left, 1, k) * ((double)k - 1.0), 1e-12);
    }
}
END_TEST

/* False alarms are as rare as stated, and 5 % misread by 0.05 mm move nothing. */
START_TEST(promises)
{
    const int n = 20000;
    int alarms = 0, covered = 0, good = 0;
    sim_random r;
    sim_seed(&r, 72);
    for (int trial = 0; trial < n; trial++) {
        double x[5];
        for (int i = 0; i < 5; i++)
            x[i] = 0.9 + 0.005 * sim_normal(&r);
        darc_repeats s = repeats(5, x, 0.005);
        alarms += s.misread || s.scattered;
        good += fabs(s.mean_mm - 0.9) <= 1.96 * sqrt(s.variance);
        x[sim_integer(&r, 0, 4)] += 0.05;
        s = repeats(5, x, 0.005);
        covered += fabs(s.mean_mm - 0.9) <= 1.96 * sqrt(s.variance);
    }
    printf("alarms %.4f, cover %.4f, with a misread %.4f\n", (double)alarms / n,
           (double)good / n, (double)covered / n);
    ck_assert_double_le(alarms, 0.005 * n);
    ck_assert_double_ge(good, 0.945 * n);
    ck_assert_double_ge(covered, 0.94 * n);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("repeats");
    TCase *tc = tcase_create("repeats");
    tcase_add_test(tc, few);
    tcase_add_test(tc, perfect_instruments);
    tcase_add_test(tc, agrees_with_gsl);
    tcase_add_test(tc, promises);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
