/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/play.h>
#include <gsl/gsl_rng.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

#define UNTOUCHED 12345.0

/* Source and tolerance stand in the table: the centred form as published, and the form of
 * a drive, which is the same shifted by half the width. */
START_TEST(published_example)
{
    refdata *table = refdata_open("play.csv");
    double reading = 0.0, driven = 0.5, in[7], out[7];
    for (size_t row = 0; row < 7; row++) {
        in[row] = refdata_number(table, row, "input");
        ck_assert_int_eq(dialarc_play_reading(1.0, in[row], reading, &reading),
                         DIALARC_OK);
        refdata_check(table, row, reading);
        ck_assert_int_eq(dialarc_play_driven(1.0, in[row], driven, &driven), DIALARC_OK);
        refdata_check(table, row, driven - 0.5);
    }
    ck_assert_uint_eq(refdata_rows(table), 7);
    ck_assert_int_eq(dialarc_play_reading_array(1.0, 0.0, 7, in, out), DIALARC_OK);
    for (size_t row = 0; row < 7; row++)
        refdata_check(table, row, out[row]);
    ck_assert_int_eq(dialarc_play_driven_array(1.0, 0.5, 7, in, in), DIALARC_OK);
    for (size_t row = 0; row < 7; row++)
        refdata_check(table, row, in[row] - 0.5);
    refdata_close(table);
}
END_TEST

/* Definition: running forward driver and driven agree; back, the driven one lags. */
START_TEST(slack_is_taken_up_in_running_direction)
{
    double driven = UNTOUCHED;
    for (double u = 0.0; u <= 20.0; u += 1.0)
        ck_assert_int_eq(dialarc_play_driven(8.0, u, u == 0.0 ? u : driven, &driven),
                         DIALARC_OK);
    ck_assert_double_eq(driven, 20.0);
    dialarc_play_driven(8.0, 15.0, driven, &driven);
    ck_assert_double_eq(driven, 20.0);
    dialarc_play_driven(8.0, 2.0, driven, &driven);
    ck_assert_double_eq(driven, 10.0);
    dialarc_play_driven(8.0, 9.0, driven, &driven);
    ck_assert_double_eq(driven, 10.0);
    dialarc_play_driven(8.0, 11.0, driven, &driven);
    ck_assert_double_eq(driven, 11.0);
}
END_TEST

/* Properties of the operator: without width it is the identity; what it has passed on it
 * passes on unchanged again; and its output never leaves the play. */
START_TEST(operator_properties)
{
    enum { N = 500 };
    double in[N], once[N], twice[N];
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 4);
    in[0] = 0.0;
    for (int i = 1; i < N; i++)
        in[i] = in[i - 1] + gsl_rng_uniform(rng) - 0.5;
    ck_assert_int_eq(dialarc_play_driven_array(0.0, 3.0, N, in, once), DIALARC_OK);
    for (int i = 0; i < N; i++)
        ck_assert_double_eq(once[i], in[i]);
    ck_assert_int_eq(dialarc_play_driven_array(0.7, 0.0, N, in, once), DIALARC_OK);
    ck_assert_int_eq(dialarc_play_driven_array(0.7, 0.0, N, in, twice), DIALARC_OK);
    for (int i = 0; i < N; i++) {
        ck_assert_double_eq(once[i], twice[i]);
        ck_assert(once[i] >= in[i] && once[i] <= in[i] + 0.7);
        if (i > 0 && in[i] > in[i - 1])
            ck_assert_double_ge(once[i], once[i - 1]);
    }
    gsl_rng_free(rng);
}
END_TEST

START_TEST(bad_arguments_are_refused)
{
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    double x[2] = {1.0, 2.0}, y[2] = {UNTOUCHED, UNTOUCHED};
    for (int i = 0; i < 3; i++) {
        const dialarc_status refused = DIALARC_ERR_NOT_FINITE;
        ck_assert_int_eq(dialarc_play_driven(bad[i], 1.0, 1.0, y), refused);
        ck_assert_int_eq(dialarc_play_driven(1.0, bad[i], 1.0, y), refused);
        ck_assert_int_eq(dialarc_play_driven(1.0, 1.0, bad[i], y), refused);
        ck_assert_int_eq(dialarc_play_reading(bad[i], 1.0, 1.0, y), refused);
        ck_assert_int_eq(dialarc_play_reading(1.0, bad[i], 1.0, y), refused);
        ck_assert_int_eq(dialarc_play_reading(1.0, 1.0, bad[i], y), refused);
        x[1] = bad[i];
        ck_assert_int_eq(dialarc_play_driven_array(1.0, 0.0, 2, x, y), refused);
        ck_assert_int_eq(dialarc_play_reading_array(1.0, 0.0, 2, x, y), refused);
        ck_assert_int_eq(dialarc_play_driven_array(1.0, bad[i], 0, NULL, NULL), refused);
        x[1] = 2.0;
    }
    ck_assert_int_eq(dialarc_play_driven(-1e-300, 1.0, 1.0, y), DIALARC_ERR_SLACK);
    ck_assert_int_eq(dialarc_play_reading(-1e-300, 1.0, 1.0, y), DIALARC_ERR_DIAL);
    ck_assert_int_eq(dialarc_play_driven(1.0, 1.0, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_play_reading(1.0, 1.0, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_play_driven_array(1.0, 0.0, 2, NULL, y), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_play_reading_array(1.0, 0.0, 2, x, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_play_driven_array(1.0, 0.0, 0, NULL, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_play_reading_array(1.0, 0.0, 0, NULL, NULL), DIALARC_OK);
    ck_assert_double_eq(y[0], UNTOUCHED);
    ck_assert_double_eq(y[1], UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("play");
    TCase *tests = tcase_create("play");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, published_example);
    tcase_add_test(tests, slack_is_taken_up_in_running_direction);
    tcase_add_test(tests, operator_properties);
    tcase_add_test(tests, bad_arguments_are_refused);
    return darc_run(suite);
}
