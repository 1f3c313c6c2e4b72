/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Source: the harmonic law written out, angle = rise / pi acos(1 - 2 lift / total).
 */
#include <dialarc/timing_shift.h>
#include <math.h>

#include "kit/check_main.h"

#define UNTOUCHED 12345.0
#define PI        3.14159265358979323846

static const dialarc_cam cam = {.lobes = 4,
                                .lift_mm = 2.2,
                                .rise_deg = 40.0,
                                .base_dwell_deg = 5.0,
                                .law = DIALARC_LAW_HARMONIC};

static double angle_at(double lift_mm)
{
    return 40.0 / PI * acos(1.0 - 2.0 * lift_mm / 2.2);
}

START_TEST(advances_are_those_of_the_closed_form)
{
    double lift[] = {0.5, 0.9, 1.4}, advance[3];
    ck_assert_int_eq(dialarc_timing_shift_advance(&cam, 2.0, 0.9, 3, lift, advance),
                     DIALARC_OK);
    for (int i = 0; i < 3; i++)
        ck_assert_double_eq_tol(advance[i], 2.0 * (angle_at(lift[i]) - angle_at(0.9)),
                                1e-10);
    ck_assert(advance[0] < 0.0 && advance[2] > 0.0);
}
END_TEST

/* A window that is to stand one crank degree later, and the way back. */
START_TEST(a_window_moves_and_comes_back)
{
    const double window[] = {0.88, 0.92};
    double later[2], again[2], advance[2];
    ck_assert_int_eq(dialarc_timing_shift_lift(&cam, 2.0, -1.0, 2, window, later),
                     DIALARC_OK);
    for (int i = 0; i < 2; i++)
        ck_assert_double_eq_tol(angle_at(later[i]), angle_at(window[i]) - 0.5, 1e-10);
    ck_assert_int_eq(
        dialarc_timing_shift_advance(&cam, 2.0, window[0], 1, later, advance), 0);
    ck_assert_double_eq_tol(advance[0], -1.0, 1e-10);
    ck_assert_int_eq(dialarc_timing_shift_lift(&cam, 2.0, 1.0, 2, later, again), 0);
    ck_assert_double_eq_tol(again[0], window[0], 1e-12);
    ck_assert_double_eq_tol(again[1], window[1], 1e-12);
    ck_assert_int_eq(dialarc_timing_shift_lift(&cam, 2.0, 1.0, 2, later, later), 0);
    ck_assert_double_eq(later[0], again[0]);
}
END_TEST

START_TEST(what_cannot_be_is_refused)
{
    const double nan = (double)NAN, high = 2.3, good = 0.9, low = 0.01;
    double out = UNTOUCHED;
    dialarc_cam none = cam;
    none.lobes = 0;
    ck_assert_int_eq(dialarc_timing_shift_lift(&cam, 2.0, 0.0, 0, NULL, NULL), 0);
    ck_assert_int_eq(dialarc_timing_shift_lift(NULL, 2.0, 0.0, 1, &good, &out),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_timing_shift_lift(&cam, 2.0, 0.0, 1, NULL, &out),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_timing_shift_lift(&none, 2.0, 0.0, 1, &good, &out),
                     DIALARC_ERR_LOBES);
    ck_assert_int_eq(dialarc_timing_shift_lift(&cam, 0.0, 0.0, 1, &good, &out),
                     DIALARC_ERR_RATIO);
    ck_assert_int_eq(dialarc_timing_shift_lift(&cam, 2.0, nan, 1, &good, &out),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_timing_shift_lift(&cam, 2.0, 0.0, 1, &nan, &out),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_timing_shift_lift(&cam, 2.0, 0.0, 1, &high, &out),
                     DIALARC_ERR_LIFT);
    ck_assert_int_eq(dialarc_timing_shift_lift(&cam, 2.0, -30.0, 1, &low, &out),
                     DIALARC_ERR_START);
    ck_assert_int_eq(dialarc_timing_shift_lift(&cam, 2.0, 90.0, 1, &good, &out),
                     DIALARC_ERR_START);
    ck_assert_int_eq(dialarc_timing_shift_advance(&cam, 2.0, high, 1, &good, &out),
                     DIALARC_ERR_LIFT);
    ck_assert_int_eq(dialarc_timing_shift_advance(&cam, 2.0, nan, 1, &good, &out),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_timing_shift_advance(&cam, -1.0, good, 1, &good, &out),
                     DIALARC_ERR_RATIO);
    ck_assert_double_eq(out, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("timing shift");
    TCase *tc = tcase_create("lift and advance");
    tcase_add_test(tc, advances_are_those_of_the_closed_form);
    tcase_add_test(tc, a_window_moves_and_comes_back);
    tcase_add_test(tc, what_cannot_be_is_refused);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
