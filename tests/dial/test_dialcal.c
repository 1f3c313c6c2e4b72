/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/dialcal.h>
#include <gsl/gsl_interp.h>
#include <gsl/gsl_rng.h>
#include <math.h>

#include "kit/check_main.h"

#define UNTOUCHED 12345.0
#define N         6

/* An invented calibration: errors of a few micrometres. */
static const double shown[N] = {-0.1, 0.0, 0.5, 1.0, 2.0, 5.0};
static const double truth[N] = {-0.101, 0.0, 0.502, 0.999, 2.004, 5.001};
static dialarc_dialcal *table;

static void make(void)
{
    ck_assert_int_eq(dialarc_dialcal_new(N, shown, truth, 0.001, &table), DIALARC_OK);
}

static void give_up(void)
{
    dialarc_dialcal_free(table);
}

/* Against GSL's linear interpolation. */
START_TEST(correction_is_linear_between_entries)
{
    gsl_interp *linear = gsl_interp_alloc(gsl_interp_linear, N);
    gsl_interp_init(linear, shown, truth, N);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 51);
    for (int k = 0; k < 5000; k++) {
        double x = -0.1 + 5.1 * gsl_rng_uniform(rng), y = UNTOUCHED, back = UNTOUCHED;
        ck_assert_int_eq(dialarc_dialcal_true(table, 1, &x, &y), DIALARC_OK);
        ck_assert_double_eq_tol(y, gsl_interp_eval(linear, shown, truth, x, NULL), 2e-15);
        ck_assert_int_eq(dialarc_dialcal_shown(table, 1, &y, &back), DIALARC_OK);
        ck_assert_double_eq_tol(back, x, 1e-12 * fabs(x) + 2e-16);
    }
    gsl_rng_free(rng);
    gsl_interp_free(linear);
}
END_TEST

START_TEST(entries_are_met_exactly)
{
    double y[N];
    ck_assert_int_eq(dialarc_dialcal_true(table, N, shown, y), DIALARC_OK);
    for (int i = 0; i < N; i++)
        ck_assert_double_eq(y[i], truth[i]);
    ck_assert_int_eq(dialarc_dialcal_shown(table, N, y, y), DIALARC_OK);
    for (int i = 0; i < N; i++)
        ck_assert_double_eq(y[i], shown[i]);
    ck_assert_int_eq(dialarc_dialcal_true(table, 0, NULL, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_dialcal_shown(table, 0, NULL, NULL), DIALARC_OK);
}
END_TEST

START_TEST(bad_points_are_refused)
{
    const double level[] = {0.0, 1.0, 1.0}, falling[] = {0.0, 1.0, 0.5};
    const double rising[] = {0.0, 1.0, 2.0}, strange[] = {0.0, (double)NAN, 2.0};
    const double huge[] = {0.0, 1.0, 2e9}, deep[] = {-2e9, 1.0, 2.0};
    const struct {
        size_t n;
        const double *shown, *travel;
        double u;
        dialarc_status status;
    } cases[] = {
        {3, NULL, rising, 0.0, DIALARC_ERR_NULL},
        {3, rising, NULL, 0.0, DIALARC_ERR_NULL},
        {0, rising, rising, 0.0, DIALARC_ERR_SIZE},
        {1, rising, rising, 0.0, DIALARC_ERR_SIZE},
        {DIALARC_DIALCAL_MAX + 1, rising, rising, 0.0, DIALARC_ERR_SIZE},
        {3, strange, rising, 0.0, DIALARC_ERR_NOT_FINITE},
        {3, rising, strange, 0.0, DIALARC_ERR_NOT_FINITE},
        {3, rising, rising, (double)NAN, DIALARC_ERR_NOT_FINITE},
        {3, level, rising, 0.0, DIALARC_ERR_ORDER},
        {3, rising, level, 0.0, DIALARC_ERR_ORDER},
        {3, falling, rising, 0.0, DIALARC_ERR_ORDER},
        {3, rising, falling, 0.0, DIALARC_ERR_ORDER},
        {3, huge, rising, 0.0, DIALARC_ERR_READING},
        {3, rising, deep, 0.0, DIALARC_ERR_READING},
        {3, rising, rising, -1e-9, DIALARC_ERR_SD},
        {3, rising, rising, 2e9, DIALARC_ERR_SD},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        dialarc_dialcal *made = NULL;
        ck_assert_int_eq(dialarc_dialcal_new(cases[i].n, cases[i].shown, cases[i].travel,
                                             cases[i].u, &made),
                         cases[i].status);
        ck_assert_ptr_null(made);
    }
    ck_assert_int_eq(dialarc_dialcal_new(3, rising, rising, 0.0, NULL), DIALARC_ERR_NULL);
}
END_TEST

START_TEST(shares_outlive_each_other)
{
    dialarc_dialcal *first = NULL, *second = NULL;
    const double points[] = {0.0, 1.0, 2.0};
    double low = UNTOUCHED, high = UNTOUCHED, u = UNTOUCHED, x = 1.5;
    ck_assert_int_eq(dialarc_dialcal_new(3, points, points, 0.002, &first), DIALARC_OK);
    ck_assert_int_eq(dialarc_dialcal_share(first, &second), DIALARC_OK);
    dialarc_dialcal_free(first);
    ck_assert_int_eq(dialarc_dialcal_range(second, &low, &high, &u), DIALARC_OK);
    ck_assert_double_eq(low, 0.0);
    ck_assert_double_eq(high, 2.0);
    ck_assert_double_eq(u, 0.002);
    ck_assert_int_eq(dialarc_dialcal_true(second, 1, &x, &x), DIALARC_OK);
    ck_assert_double_eq(x, 1.5);
    ck_assert_uint_eq(dialarc_dialcal_count(second), 3);
    ck_assert_int_eq(dialarc_dialcal_point(second, 2, &low, &high), DIALARC_OK);
    ck_assert(low == 2.0 && high == 2.0);
    ck_assert_int_eq(dialarc_dialcal_point(second, 3, &low, &high), DIALARC_ERR_SIZE);
    dialarc_dialcal_free(second);
    dialarc_dialcal_free(NULL);
    ck_assert_int_eq(dialarc_dialcal_share(NULL, &second), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dialcal_share(table, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dialcal_range(NULL, &low, &high, &u), DIALARC_ERR_NULL);
    ck_assert_uint_eq(dialarc_dialcal_count(NULL), 0);
    ck_assert_int_eq(dialarc_dialcal_point(NULL, 0, &low, &high), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dialcal_true(NULL, 1, &x, &x), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dialcal_shown(NULL, 1, &x, &x), DIALARC_ERR_NULL);
}
END_TEST

START_TEST(bad_readings_are_refused)
{
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    double x[2] = {0.5, 0.5}, y[2] = {UNTOUCHED, UNTOUCHED};
    for (int i = 0; i < 3; i++) {
        x[1] = bad[i];
        ck_assert_int_eq(dialarc_dialcal_true(table, 2, x, y), DIALARC_ERR_NOT_FINITE);
        ck_assert_int_eq(dialarc_dialcal_shown(table, 2, x, y), DIALARC_ERR_NOT_FINITE);
    }
    const double outside[] = {-0.1011, 5.0011};
    for (int i = 0; i < 2; i++) {
        x[1] = outside[i];
        ck_assert_int_eq(dialarc_dialcal_true(table, 2, x, y), DIALARC_ERR_READING);
        ck_assert_int_eq(dialarc_dialcal_shown(table, 2, x, y), DIALARC_ERR_READING);
    }
    ck_assert_int_eq(dialarc_dialcal_true(table, 1, NULL, y), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dialcal_shown(table, 1, x, NULL), DIALARC_ERR_NULL);
    ck_assert_double_eq(y[0], UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("dialcal");
    TCase *tests = tcase_create("dialcal");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, make, give_up);
    tcase_add_test(tests, correction_is_linear_between_entries);
    tcase_add_test(tests, entries_are_met_exactly);
    tcase_add_test(tests, bad_points_are_refused);
    tcase_add_test(tests, shares_outlive_each_other);
    tcase_add_test(tests, bad_readings_are_refused);
    return darc_run(suite);
}
