/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/angle.h>
#include <float.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

#define UNTOUCHED 12345.0

static const double strange[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};

static double compute(const char *quantity, double a, double b)
{
    double out = UNTOUCHED;
    dialarc_status status = DIALARC_ERR_NULL;
    if (strcmp(quantity, "rim_arc") == 0)
        status = dialarc_angle_rim_arc(a, b, &out);
    else if (strcmp(quantity, "from_rim_arc") == 0)
        status = dialarc_angle_from_rim_arc(a, b, &out);
    else if (strcmp(quantity, "pump_from_crank") == 0)
        status = dialarc_angle_pump_from_crank(1, &a, b, &out);
    else if (strcmp(quantity, "crank_from_pump") == 0)
        status = dialarc_angle_crank_from_pump(1, &a, b, &out);
    else if (strcmp(quantity, "speed_from_rate") == 0)
        status = dialarc_angle_speed_from_rate(a, &out);
    else if (strcmp(quantity, "angle_in_time") == 0) {
        status = dialarc_angle_rate_from_speed(a, &out);
        out *= b;
    }
    ck_assert_msg(status == DIALARC_OK, "%s", quantity);
    return out;
}

/* Sources and tolerances stand in the table. */
START_TEST(results_agree_with_published_values)
{
    refdata *table = refdata_open("angle.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        const char *b = refdata_text(table, row, "b");
        refdata_check(table, row,
                      compute(refdata_text(table, row, "quantity"),
                              refdata_number(table, row, "a"),
                              *b ? refdata_number(table, row, "b") : 0.0));
    }
    refdata_close(table);
}
END_TEST

/* Definition of the interval: exact in binary, so no tolerance. */
START_TEST(wrap_lands_in_the_interval)
{
    const double cases[][3] = {
        {0.0, 360.0, 0.0},      {360.0, 360.0, 0.0},   {-90.0, 360.0, 270.0},
        {725.5, 360.0, 5.5},    {-360.0, 360.0, 0.0},  {719.5, 720.0, 719.5},
        {-0.25, 720.0, 719.75}, {-1e-300, 360.0, 0.0}, {91.0, 90.0, 1.0},
        {-0.0, 360.0, 0.0},     {3.6e17, 360.0, 0.0},  {1e-300, 360.0, 1e-300},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double out = UNTOUCHED;
        ck_assert_int_eq(dialarc_angle_wrap(cases[i][0], cases[i][1], &out), DIALARC_OK);
        ck_assert_double_eq(out, cases[i][2]);
        ck_assert(!signbit(out));
    }
}
END_TEST

START_TEST(signed_wrap_lands_in_the_interval)
{
    const double cases[][3] = {
        {0.0, 360.0, 0.0},      {180.0, 360.0, 180.0},     {-180.0, 360.0, 180.0},
        {181.0, 360.0, -179.0}, {540.0, 360.0, 180.0},     {-540.0, 360.0, 180.0},
        {361.5, 360.0, 1.5},    {-361.5, 360.0, -1.5},     {361.5, 720.0, -358.5},
        {-0.0, 360.0, 0.0},     {-1e-300, 360.0, -1e-300},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double out = UNTOUCHED;
        ck_assert_int_eq(dialarc_angle_wrap_signed(cases[i][0], cases[i][1], &out),
                         DIALARC_OK);
        ck_assert_double_eq(out, cases[i][2]);
    }
}
END_TEST

START_TEST(difference_is_the_shortest_way)
{
    const double cases[][4] = {
        {350.0, 10.0, 360.0, 20.0}, {10.0, 350.0, 360.0, -20.0},
        {0.0, 180.0, 360.0, 180.0}, {180.0, 0.0, 360.0, 180.0},
        {700.0, 20.0, 720.0, 40.0}, {-3600.25, 3600.25, 360.0, 0.5},
        {5.0, 5.0, 360.0, 0.0},     {-1.7e308, 1.7e308, 1.7e308, 0.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double out = UNTOUCHED;
        ck_assert_int_eq(
            dialarc_angle_difference(cases[i][0], cases[i][1], cases[i][2], &out),
            DIALARC_OK);
        ck_assert_double_eq(out, cases[i][3]);
    }
}
END_TEST

START_TEST(any_turn_wraps_to_the_same_angle)
{
    for (int turn = -1000; turn <= 1000; turn += 8)
        for (int quarter = 0; quarter < 1440; quarter += 7) {
            double angle = 0.25 * quarter, out[2];
            ck_assert_int_eq(dialarc_angle_wrap(angle + 360.0 * turn, 360.0, &out[0]), 0);
            ck_assert_double_eq(out[0], angle);
            ck_assert_int_eq(
                dialarc_angle_wrap_signed(angle + 360.0 * turn, 360.0, &out[1]), 0);
            ck_assert_double_eq(out[1], angle > 180.0 ? angle - 360.0 : angle);
        }
}
END_TEST

START_TEST(arrays_do_what_scalars_do)
{
    enum { N = 5 };
    const double in[N] = {-1e9, -180.0, 0.1, 359.9, 1e9};
    double wrapped[N], sign[N], place[N], pump[N], crank[N];
    memcpy(place, in, sizeof in);
    ck_assert_int_eq(dialarc_angle_wrap_array(N, in, 360.0, wrapped), DIALARC_OK);
    ck_assert_int_eq(dialarc_angle_wrap_signed_array(N, in, 360.0, sign), DIALARC_OK);
    ck_assert_int_eq(dialarc_angle_wrap_array(N, place, 360.0, place), DIALARC_OK);
    ck_assert_int_eq(dialarc_angle_pump_from_crank(N, in, 2.0, pump), DIALARC_OK);
    ck_assert_int_eq(dialarc_angle_crank_from_pump(N, pump, 2.0, crank), DIALARC_OK);
    for (int i = 0; i < N; i++) {
        double one;
        ck_assert_int_eq(dialarc_angle_wrap(in[i], 360.0, &one), DIALARC_OK);
        ck_assert_double_eq(wrapped[i], one);
        ck_assert_double_eq(place[i], one);
        ck_assert_int_eq(dialarc_angle_wrap_signed(in[i], 360.0, &one), DIALARC_OK);
        ck_assert_double_eq(sign[i], one);
        ck_assert_double_eq(pump[i], in[i] / 2.0);
        ck_assert_double_eq(crank[i], in[i]);
    }
}
END_TEST

START_TEST(empty_arrays_are_legal)
{
    ck_assert_int_eq(dialarc_angle_wrap_array(0, NULL, 360.0, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_angle_wrap_signed_array(0, NULL, 360.0, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_angle_pump_from_crank(0, NULL, 2.0, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_angle_crank_from_pump(0, NULL, 2.0, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_angle_wrap_array(0, NULL, 0.0, NULL), DIALARC_ERR_POSITIVE);
}
END_TEST

START_TEST(null_is_refused)
{
    const double in = 1.0;
    double out;
    ck_assert_int_eq(dialarc_angle_wrap(1.0, 360.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_angle_wrap_signed(1.0, 360.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_angle_difference(1.0, 2.0, 360.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_angle_wrap_array(1, NULL, 360.0, &out), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_angle_wrap_signed_array(1, &in, 360.0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_angle_pump_from_crank(1, NULL, 2.0, &out), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_angle_crank_from_pump(1, &in, 2.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_angle_rim_arc(1.0, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_angle_from_rim_arc(1.0, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_angle_rate_from_speed(1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_angle_speed_from_rate(1.0, NULL), DIALARC_ERR_NULL);
}
END_TEST

START_TEST(strange_numbers_are_refused_and_nothing_is_written)
{
    const double x = strange[_i];
    const double in[2] = {1.0, x};
    double out[2] = {UNTOUCHED, UNTOUCHED};
    const dialarc_status statuses[] = {
        dialarc_angle_wrap(x, 360.0, out),
        dialarc_angle_wrap(1.0, x, out),
        dialarc_angle_wrap_signed(x, 360.0, out),
        dialarc_angle_wrap_signed(1.0, x, out),
        dialarc_angle_wrap_array(2, in, 360.0, out),
        dialarc_angle_wrap_signed_array(2, in, 360.0, out),
        dialarc_angle_difference(x, 1.0, 360.0, out),
        dialarc_angle_difference(1.0, x, 360.0, out),
        dialarc_angle_difference(1.0, 1.0, x, out),
        dialarc_angle_pump_from_crank(2, in, 2.0, out),
        dialarc_angle_pump_from_crank(1, in, x, out),
        dialarc_angle_crank_from_pump(2, in, 2.0, out),
        dialarc_angle_crank_from_pump(1, in, x, out),
        dialarc_angle_rim_arc(x, 1.0, out),
        dialarc_angle_rim_arc(1.0, x, out),
        dialarc_angle_from_rim_arc(x, 1.0, out),
        dialarc_angle_from_rim_arc(1.0, x, out),
        dialarc_angle_rate_from_speed(x, out),
        dialarc_angle_speed_from_rate(x, out),
    };
    for (size_t i = 0; i < sizeof statuses / sizeof statuses[0]; i++)
        ck_assert_msg(statuses[i] == DIALARC_ERR_NOT_FINITE, "call %zu", i);
    ck_assert_double_eq(out[0], UNTOUCHED);
    ck_assert_double_eq(out[1], UNTOUCHED);
}
END_TEST

START_TEST(each_argument_has_its_range)
{
    const double in[2] = {1.0, 1e308}, bad[] = {0.0, -0.0, -1.0, -DBL_MIN};
    double out[2] = {UNTOUCHED, UNTOUCHED};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        double b = bad[i];
        ck_assert_int_eq(dialarc_angle_wrap(1.0, b, out), DIALARC_ERR_POSITIVE);
        ck_assert_int_eq(dialarc_angle_wrap_signed(1.0, b, out), DIALARC_ERR_POSITIVE);
        ck_assert_int_eq(dialarc_angle_difference(1.0, 2.0, b, out),
                         DIALARC_ERR_POSITIVE);
        ck_assert_int_eq(dialarc_angle_pump_from_crank(1, in, b, out), DIALARC_ERR_RATIO);
        ck_assert_int_eq(dialarc_angle_crank_from_pump(1, in, b, out), DIALARC_ERR_RATIO);
        ck_assert_int_eq(dialarc_angle_rim_arc(1.0, b, out), DIALARC_ERR_LENGTH);
        ck_assert_int_eq(dialarc_angle_from_rim_arc(1.0, b, out), DIALARC_ERR_LENGTH);
    }
    ck_assert_int_eq(dialarc_angle_crank_from_pump(2, in, 2.0, out), DIALARC_ERR_ANGLE);
    ck_assert_int_eq(dialarc_angle_pump_from_crank(2, in, 0.5, out), DIALARC_ERR_ANGLE);
    ck_assert_int_eq(dialarc_angle_rim_arc(1e308, 1e3, out), DIALARC_ERR_ANGLE);
    ck_assert_int_eq(dialarc_angle_from_rim_arc(1e308, 1e-3, out), DIALARC_ERR_ANGLE);
    ck_assert_int_eq(dialarc_angle_rate_from_speed(1e308, out), DIALARC_ERR_ANGLE);
    ck_assert_double_eq(out[0], UNTOUCHED);
    ck_assert_double_eq(out[1], UNTOUCHED);
}
END_TEST

START_TEST(arcs_and_rates_round_trip)
{
    for (int i = -400; i <= 400; i++) {
        double angle = 0.9 * i, arc, rate, back;
        ck_assert_int_eq(dialarc_angle_rim_arc(angle, 61.3, &arc), DIALARC_OK);
        ck_assert_int_eq(dialarc_angle_from_rim_arc(arc, 61.3, &back), DIALARC_OK);
        ck_assert_double_le(fabs(back - angle), 1e-12 * fabs(angle));
        ck_assert_int_eq(dialarc_angle_rate_from_speed(angle, &rate), DIALARC_OK);
        ck_assert_int_eq(dialarc_angle_speed_from_rate(rate, &back), DIALARC_OK);
        ck_assert_double_le(fabs(back - angle), 1e-12 * fabs(angle));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("angle");
    TCase *tc = tcase_create("values");
    tcase_add_test(tc, results_agree_with_published_values);
    tcase_add_test(tc, wrap_lands_in_the_interval);
    tcase_add_test(tc, signed_wrap_lands_in_the_interval);
    tcase_add_test(tc, difference_is_the_shortest_way);
    tcase_add_test(tc, any_turn_wraps_to_the_same_angle);
    tcase_add_test(tc, arcs_and_rates_round_trip);
    tcase_add_test(tc, arrays_do_what_scalars_do);
    suite_add_tcase(suite, tc);
    tc = tcase_create("refusals");
    tcase_add_test(tc, empty_arrays_are_legal);
    tcase_add_test(tc, null_is_refused);
    tcase_add_loop_test(tc, strange_numbers_are_refused_and_nothing_is_written, 0, 3);
    tcase_add_test(tc, each_argument_has_its_range);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
