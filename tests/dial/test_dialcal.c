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
static const dialarc_dialcal table = {N, shown, truth};

/* Against GSL's linear interpolation. */
START_TEST(correction_is_linear_between_entries)
{
    gsl_interp *linear = gsl_interp_alloc(gsl_interp_linear, N);
    gsl_interp_init(linear, shown, truth, N);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 51);
    for (int k = 0; k < 5000; k++) {
        double x = -0.1 + 5.1 * gsl_rng_uniform(rng), y = UNTOUCHED, back = UNTOUCHED;
        ck_assert_int_eq(dialarc_dialcal_true(&table, 1, &x, &y), DIALARC_OK);
        ck_assert_double_eq_tol(y, gsl_interp_eval(linear, shown, truth, x, NULL), 2e-15);
        ck_assert_int_eq(dialarc_dialcal_shown(&table, 1, &y, &back), DIALARC_OK);
        ck_assert_double_eq_tol(back, x, 1e-12 * fabs(x) + 2e-16);
    }
    gsl_rng_free(rng);
    gsl_interp_free(linear);
}
END_TEST

START_TEST(entries_are_met_exactly)
{
    double y[N];
    ck_assert_int_eq(dialarc_dialcal_true(&table, N, shown, y), DIALARC_OK);
    for (int i = 0; i < N; i++)
        ck_assert_double_eq(y[i], truth[i]);
    ck_assert_int_eq(dialarc_dialcal_shown(&table, N, y, y), DIALARC_OK);
    for (int i = 0; i < N; i++)
        ck_assert_double_eq(y[i], shown[i]);
    ck_assert_int_eq(dialarc_dialcal_true(&table, 0, NULL, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_dialcal_shown(&table, 0, NULL, NULL), DIALARC_OK);
}
END_TEST

static void check_refused(const dialarc_dialcal *bad, dialarc_status status)
{
    double x = 0.5, y = UNTOUCHED;
    ck_assert_int_eq(dialarc_dialcal_check(bad), status);
    ck_assert_int_eq(dialarc_dialcal_true(bad, 1, &x, &y), status);
    ck_assert_int_eq(dialarc_dialcal_shown(bad, 1, &x, &y), status);
    ck_assert_double_eq(y, UNTOUCHED);
}

START_TEST(bad_tables_are_refused)
{
    const double level[] = {0.0, 1.0, 1.0}, falling[] = {0.0, 1.0, 0.5};
    const double rising[] = {0.0, 1.0, 2.0}, strange[] = {0.0, (double)NAN, 2.0};
    const struct {
        dialarc_dialcal table;
        dialarc_status status;
    } cases[] = {
        {{3, NULL, rising}, DIALARC_ERR_NULL},
        {{3, rising, NULL}, DIALARC_ERR_NULL},
        {{0, rising, rising}, DIALARC_ERR_SIZE},
        {{1, rising, rising}, DIALARC_ERR_SIZE},
        {{3, strange, rising}, DIALARC_ERR_NOT_FINITE},
        {{3, rising, strange}, DIALARC_ERR_NOT_FINITE},
        {{3, level, rising}, DIALARC_ERR_ORDER},
        {{3, rising, level}, DIALARC_ERR_ORDER},
        {{3, falling, rising}, DIALARC_ERR_ORDER},
        {{3, rising, falling}, DIALARC_ERR_ORDER},
    };
    check_refused(NULL, DIALARC_ERR_NULL);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        check_refused(&cases[i].table, cases[i].status);
}
END_TEST

START_TEST(bad_readings_are_refused)
{
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    double x[2] = {0.5, 0.5}, y[2] = {UNTOUCHED, UNTOUCHED};
    for (int i = 0; i < 3; i++) {
        x[1] = bad[i];
        ck_assert_int_eq(dialarc_dialcal_true(&table, 2, x, y), DIALARC_ERR_NOT_FINITE);
        ck_assert_int_eq(dialarc_dialcal_shown(&table, 2, x, y), DIALARC_ERR_NOT_FINITE);
    }
    const double outside[] = {-0.1011, 5.0011};
    for (int i = 0; i < 2; i++) {
        x[1] = outside[i];
        ck_assert_int_eq(dialarc_dialcal_true(&table, 2, x, y), DIALARC_ERR_READING);
        ck_assert_int_eq(dialarc_dialcal_shown(&table, 2, x, y), DIALARC_ERR_READING);
    }
    ck_assert_int_eq(dialarc_dialcal_true(&table, 1, NULL, y), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dialcal_shown(&table, 1, x, NULL), DIALARC_ERR_NULL);
    ck_assert_double_eq(y[0], UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("dialcal");
    TCase *tests = tcase_create("dialcal");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, correction_is_linear_between_entries);
    tcase_add_test(tests, entries_are_met_exactly);
    tcase_add_test(tests, bad_tables_are_refused);
    tcase_add_test(tests, bad_readings_are_refused);
    return darc_run(suite);
}
