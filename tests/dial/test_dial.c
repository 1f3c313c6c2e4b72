/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/dial.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

#define UNTOUCHED 12345.0

static const dialarc_dial upright = {0.01, 1.0, 1, 0.0, DIALARC_CONTACT_FLAT};

static double travel(const dialarc_dial *dial, double reading_mm)
{
    double out = UNTOUCHED;
    ck_assert_int_eq(dialarc_dial_travel(dial, reading_mm, &out), DIALARC_OK);
    return out;
}

static double reading(const dialarc_dial *dial, double travel_mm)
{
    double out = UNTOUCHED;
    ck_assert_int_eq(dialarc_dial_reading(dial, travel_mm, &out), DIALARC_OK);
    return out;
}

/* Sources and tolerances stand in the table. */
START_TEST(cosine_errors_agree_with_published_values)
{
    refdata *table = refdata_open("dial.csv");
    size_t seen = 0;
    for (size_t row = 0; row < refdata_rows(table); row++) {
        const char *quantity = refdata_text(table, row, "quantity");
        if (strncmp(quantity, "limit", 5) == 0)
            continue;
        dialarc_dial dial = upright;
        dial.tilt_deg = refdata_number(table, row, "tilt_deg");
        if (strcmp(refdata_text(table, row, "contact"), "point") == 0)
            dial.contact = DIALARC_CONTACT_POINT;
        double input = refdata_number(table, row, "input");
        refdata_check(table, row,
                      strcmp(quantity, "travel") == 0 ? travel(&dial, input)
                                                      : reading(&dial, input));
        seen++;
    }
    ck_assert_uint_eq(seen, 18);
    refdata_close(table);
}
END_TEST

/* Definition of sense; reading and travel undo each other to 1e-12. */
START_TEST(reading_and_travel_are_inverse)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 41);
    for (int k = 0; k < 5000; k++) {
        dialarc_dial dial = upright;
        dial.sense = k % 2 == 0 ? 1 : -1;
        dial.contact = k % 3 == 0 ? DIALARC_CONTACT_FLAT : DIALARC_CONTACT_POINT;
        dial.tilt_deg = 89.99 * gsl_rng_uniform(rng);
        double x = 20.0 * gsl_rng_uniform(rng) - 10.0;
        ck_assert_double_eq_tol(travel(&dial, reading(&dial, x)), x, 1e-12 * fabs(x));
        ck_assert_double_eq_tol(reading(&dial, travel(&dial, x)), x, 1e-12 * fabs(x));
        ck_assert_int_eq(travel(&dial, x) * x > 0.0, dial.sense > 0);
    }
    ck_assert_double_eq(travel(&upright, 1.25), 1.25);
    gsl_rng_free(rng);
}
END_TEST

START_TEST(arrays_agree_with_scalars)
{
    const dialarc_dial dial = {0.01, 1.0, -1, 12.0, DIALARC_CONTACT_FLAT};
    double x[3] = {0.0, 1.3, -0.4}, y[3] = {UNTOUCHED, 0.0, 0.0};
    ck_assert_int_eq(dialarc_dial_travel_array(&dial, 3, x, y), DIALARC_OK);
    for (int i = 0; i < 3; i++)
        ck_assert_double_eq(y[i], travel(&dial, x[i]));
    ck_assert_int_eq(dialarc_dial_travel_array(&dial, 3, x, x), DIALARC_OK);
    ck_assert_double_eq(x[1], y[1]);
    ck_assert_int_eq(dialarc_dial_travel_array(&dial, 0, NULL, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_dial_travel_array(&dial, 1, NULL, y), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dial_travel_array(&dial, 1, x, NULL), DIALARC_ERR_NULL);
    x[2] = (double)NAN;
    y[0] = UNTOUCHED;
    ck_assert_int_eq(dialarc_dial_travel_array(&dial, 3, x, y), DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(y[0], UNTOUCHED);
}
END_TEST

/* Definition of the nearest graduation. */
START_TEST(readings_round_to_graduations)
{
    const double cases[][3] = {
        {0.01, 0.8749, 0.87},   {0.01, 0.8751, 0.88},  {0.01, -0.8751, -0.88},
        {0.25, 0.125, 0.25},    {0.25, -0.125, -0.25}, {0.0, 0.87491, 0.87491},
        {0.002, 0.8749, 0.874},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        dialarc_dial dial = upright;
        double out = UNTOUCHED;
        dial.step_mm = cases[i][0];
        ck_assert_int_eq(dialarc_dial_round(&dial, cases[i][1], &out), DIALARC_OK);
        ck_assert_double_eq_tol(out, cases[i][2], 1e-15);
    }
}
END_TEST

/* A needle that shows only within a turn, and one already with its turns. */
START_TEST(whole_turns_are_counted)
{
    enum { N = 400 };
    double truth[N], needle[N], out[N], one = UNTOUCHED;
    for (int i = 0; i < N; i++) {
        truth[i] = 0.3 + 2.2 * sin(i / 25.0);
        needle[i] = truth[i] - floor(truth[i]);
    }
    ck_assert_int_eq(dialarc_dial_unwrap_array(1.0, 0.1, N, needle, out), DIALARC_OK);
    for (int i = 0; i < N; i++)
        ck_assert_double_eq_tol(out[i], truth[i], 1e-14);
    ck_assert_int_eq(dialarc_dial_unwrap_array(1.0, 0.1, N, truth, truth), DIALARC_OK);
    for (int i = 0; i < N; i++)
        ck_assert_double_eq_tol(truth[i], out[i], 1e-14);
    ck_assert_int_eq(dialarc_dial_unwrap(0.5, 0.12, 1.3, &one), DIALARC_OK);
    ck_assert_double_eq_tol(one, 1.12, 1e-15);
    ck_assert_int_eq(dialarc_dial_unwrap(0.5, 0.12, -0.3, &one), DIALARC_OK);
    ck_assert_double_eq_tol(one, -0.38, 1e-15);
    ck_assert_int_eq(dialarc_dial_unwrap_array(1.0, 0.0, 0, NULL, NULL), DIALARC_OK);
}
END_TEST

static void check_refused(const dialarc_dial *dial, dialarc_status status)
{
    double x = 1.0, y = UNTOUCHED;
    ck_assert_int_eq(dialarc_dial_check(dial), status);
    ck_assert_int_eq(dialarc_dial_travel(dial, x, &y), status);
    ck_assert_int_eq(dialarc_dial_reading(dial, x, &y), status);
    ck_assert_int_eq(dialarc_dial_round(dial, x, &y), status);
    ck_assert_int_eq(dialarc_dial_travel_array(dial, 1, &x, &y), status);
    ck_assert_double_eq(y, UNTOUCHED);
}

START_TEST(bad_dials_are_refused)
{
    const double nan = (double)NAN, inf = (double)INFINITY;
    const struct {
        dialarc_dial dial;
        dialarc_status status;
    } cases[] = {
        {{nan, 1.0, 1, 0.0, 0}, DIALARC_ERR_NOT_FINITE},
        {{0.01, inf, 1, 0.0, 0}, DIALARC_ERR_NOT_FINITE},
        {{0.01, 1.0, 1, nan, 0}, DIALARC_ERR_NOT_FINITE},
        {{-0.01, 1.0, 1, 0.0, 0}, DIALARC_ERR_DIAL},
        {{0.01, 0.01, 1, 0.0, 0}, DIALARC_ERR_DIAL},
        {{0.0, 0.0, 1, 0.0, 0}, DIALARC_ERR_DIAL},
        {{0.01, 1.0, 0, 0.0, 0}, DIALARC_ERR_DIAL},
        {{0.01, 1.0, 2, 0.0, 0}, DIALARC_ERR_DIAL},
        {{0.01, 1.0, 1, 0.0, (dialarc_contact)2}, DIALARC_ERR_DIAL},
        {{0.01, 1.0, 1, -1e-9, 0}, DIALARC_ERR_ANGLE},
        {{0.01, 1.0, 1, 90.0, 0}, DIALARC_ERR_ANGLE},
    };
    check_refused(NULL, DIALARC_ERR_NULL);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        check_refused(&cases[i].dial, cases[i].status);
}
END_TEST

START_TEST(bad_arguments_are_refused)
{
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    double x[2] = {0.1, 0.2}, y = UNTOUCHED;
    for (int i = 0; i < 3; i++) {
        const dialarc_status refused = DIALARC_ERR_NOT_FINITE;
        ck_assert_int_eq(dialarc_dial_travel(&upright, bad[i], &y), refused);
        ck_assert_int_eq(dialarc_dial_reading(&upright, bad[i], &y), refused);
        ck_assert_int_eq(dialarc_dial_round(&upright, bad[i], &y), refused);
        ck_assert_int_eq(dialarc_dial_unwrap(bad[i], 0.1, 0.1, &y), refused);
        ck_assert_int_eq(dialarc_dial_unwrap(1.0, bad[i], 0.1, &y), refused);
        ck_assert_int_eq(dialarc_dial_unwrap(1.0, 0.1, bad[i], &y), refused);
        x[1] = bad[i];
        ck_assert_int_eq(dialarc_dial_unwrap_array(1.0, 0.1, 2, x, &y), refused);
    }
    ck_assert_int_eq(dialarc_dial_unwrap(0.0, 0.1, 0.1, &y), DIALARC_ERR_DIAL);
    ck_assert_int_eq(dialarc_dial_travel(&upright, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dial_reading(&upright, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dial_round(&upright, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dial_unwrap(1.0, 0.1, 0.1, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dial_unwrap_array(1.0, 0.1, 1, NULL, &y), DIALARC_ERR_NULL);
    ck_assert_double_eq(y, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("dial");
    TCase *tests = tcase_create("dial");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, cosine_errors_agree_with_published_values);
    tcase_add_test(tests, reading_and_travel_are_inverse);
    tcase_add_test(tests, arrays_agree_with_scalars);
    tcase_add_test(tests, readings_round_to_graduations);
    tcase_add_test(tests, whole_turns_are_counted);
    tcase_add_test(tests, bad_dials_are_refused);
    tcase_add_test(tests, bad_arguments_are_refused);
    return darc_run(suite);
}
