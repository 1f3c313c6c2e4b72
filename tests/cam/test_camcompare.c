/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/camcompare.h>
#include <math.h>

#include "kit/check_main.h"

#define UNTOUCHED 12345.0
#define POINTS    1800

/* Invented: a cam, and the same with 0.04 mm of its lift gone and 0.3 degrees late. */
static const dialarc_cam sound = {4, 2.20, 35.0, 5.0, 10.0, DIALARC_LAW_POLY4567, 0, 0.0};
static const dialarc_cam tired = {4, 2.16, 35.0, 5.0, 10.0, DIALARC_LAW_POLY4567, 0, 0.0};
static const double late_deg = 0.3;

static dialarc_camtable *reference, *worn;

static void make_tables(void)
{
    double x[POINTS], y[POINTS];
    ck_assert_int_eq(dialarc_camtable_from_cam(&sound, POINTS, &reference), DIALARC_OK);
    for (int i = 0; i < POINTS; i++)
        x[i] = 90.0 * i / POINTS - late_deg;
    dialarc_cam_lift_array(&tired, POINTS, x, y);
    for (int i = 0; i < POINTS; i++)
        x[i] += late_deg;
    ck_assert_int_eq(dialarc_camtable_new(POINTS, x, y, 90.0, &worn), DIALARC_OK);
}

static void free_tables(void)
{
    dialarc_camtable_free(reference);
    dialarc_camtable_free(worn);
}

/* The laws themselves tell what was lost, as closely as 1800 points follow them. */
START_TEST(loss_and_shift_by_angle)
{
    double x[360], lost[360], shift[360];
    for (int i = 0; i < 360; i++)
        x[i] = 0.25 * i + 0.1;
    ck_assert_int_eq(dialarc_camcompare_array(reference, worn, 0.01, 360, x, lost, shift),
                     DIALARC_OK);
    int on_flank = 0;
    for (int i = 0; i < 360; i++) {
        double a, b, rate, at;
        dialarc_cam_lift(&sound, x[i], &a);
        dialarc_cam_lift(&tired, x[i] - late_deg, &b);
        dialarc_cam_rate(&sound, x[i], &rate);
        ck_assert_double_eq_tol(lost[i], a - b, 1e-9);
        if (fabs(rate) < 0.01 || a > 2.16) {
            ck_assert(fabs(rate) > 0.0099 || isnan(shift[i]));
            continue;
        }
        dialarc_flank flank = rate > 0.0 ? DIALARC_FLANK_RISING : DIALARC_FLANK_FALLING;
        dialarc_cam_angle_at_lift(&tired, a, flank, &at);
        ck_assert_double_eq_tol(shift[i], at + late_deg - x[i], 1e-6);
        on_flank++;
    }
    ck_assert_int_gt(on_flank, 150);
}
END_TEST

/* A lift that the worn cam no longer reaches has no shift. */
START_TEST(lost_top_has_no_shift)
{
    double at, lost, shift;
    dialarc_cam_angle_at_lift(&sound, 2.18, DIALARC_FLANK_RISING, &at);
    ck_assert_int_eq(
        dialarc_camcompare_array(reference, worn, 1e-6, 1, &at, &lost, &shift),
        DIALARC_OK);
    ck_assert(isnan(shift));
    ck_assert_double_gt(lost, 0.02);
}
END_TEST

START_TEST(summary_says_what_is_gone)
{
    dialarc_camwear wear;
    ck_assert_int_eq(dialarc_camcompare_summary(reference, worn, &wear), DIALARC_OK);
    ck_assert_double_eq_tol(wear.total_lift_lost_mm, 0.04, 1e-6);
    /* most is lost on the rise, where the delay adds to it */
    ck_assert(wear.greatest_loss_pump_deg > 5.0 && wear.greatest_loss_pump_deg < 35.0);
    ck_assert_double_gt(wear.greatest_loss_mm, 0.04);
    double a, b;
    dialarc_cam_lift(&sound, wear.greatest_loss_pump_deg, &a);
    dialarc_cam_lift(&tired, wear.greatest_loss_pump_deg - late_deg, &b);
    ck_assert_double_eq_tol(wear.greatest_loss_mm, a - b, 1e-9);
    /* the lower lift makes the rise later and the fall earlier than the delay alone */
    ck_assert(wear.rising_shift_pump_deg > 0.3 && wear.rising_shift_pump_deg < 0.7);
    ck_assert(wear.falling_shift_pump_deg < 0.3 && wear.falling_shift_pump_deg > -0.2);
}
END_TEST

START_TEST(cam_equals_itself)
{
    dialarc_camwear wear;
    ck_assert_int_eq(dialarc_camcompare_summary(reference, reference, &wear), DIALARC_OK);
    ck_assert_double_eq(wear.total_lift_lost_mm, 0.0);
    ck_assert_double_eq(wear.greatest_loss_mm, 0.0);
    ck_assert_double_eq_tol(wear.rising_shift_pump_deg, 0.0, 1e-12);
    ck_assert_double_eq_tol(wear.falling_shift_pump_deg, 0.0, 1e-12);
}
END_TEST

START_TEST(flat_cam_has_no_flanks)
{
    const double x[] = {0.0, 30.0, 60.0}, y[] = {1.0, 1.0, 1.0};
    dialarc_camtable *flat = NULL;
    dialarc_camwear wear;
    ck_assert_int_eq(dialarc_camtable_new(3, x, y, 90.0, &flat), DIALARC_OK);
    ck_assert_int_eq(dialarc_camcompare_summary(reference, flat, &wear), DIALARC_OK);
    ck_assert_double_eq_tol(wear.total_lift_lost_mm, 2.2, 1e-6);
    ck_assert(isnan(wear.rising_shift_pump_deg) && isnan(wear.falling_shift_pump_deg));
    dialarc_camtable_free(flat);
}
END_TEST

START_TEST(bad_arguments_are_refused)
{
    const double nan = (double)NAN;
    double x = 1.0, lost = UNTOUCHED, shift = UNTOUCHED;
    dialarc_camwear wear = {UNTOUCHED, 0, 0, 0, 0};
    dialarc_camtable *other = NULL;
    dialarc_cam six = {6, 2.2, 25.0, 5.0, 5.0, DIALARC_LAW_POLY345, 0, 0.0};
    dialarc_camtable_from_cam(&six, 60, &other);
#define ARRAY(a, b, rate, n, in, l, s, status)                                           \
    ck_assert_int_eq(dialarc_camcompare_array(a, b, rate, n, in, l, s), status)
    ARRAY(NULL, worn, 0.01, 1, &x, &lost, &shift, DIALARC_ERR_NULL);
    ARRAY(reference, NULL, 0.01, 1, &x, &lost, &shift, DIALARC_ERR_NULL);
    ARRAY(reference, worn, 0.01, 1, NULL, &lost, &shift, DIALARC_ERR_NULL);
    ARRAY(reference, worn, 0.01, 1, &x, NULL, &shift, DIALARC_ERR_NULL);
    ARRAY(reference, worn, 0.01, 1, &x, &lost, NULL, DIALARC_ERR_NULL);
    ARRAY(reference, worn, 0.01, 0, NULL, NULL, NULL, DIALARC_OK);
    ARRAY(reference, worn, nan, 1, &x, &lost, &shift, DIALARC_ERR_NOT_FINITE);
    ARRAY(reference, worn, 0.01, 1, &nan, &lost, &shift, DIALARC_ERR_NOT_FINITE);
    ARRAY(reference, worn, 0.0, 1, &x, &lost, &shift, DIALARC_ERR_POSITIVE);
    ARRAY(reference, other, 0.01, 1, &x, &lost, &shift, DIALARC_ERR_ANGLE);
#undef ARRAY
    ck_assert_int_eq(dialarc_camcompare_summary(NULL, worn, &wear), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camcompare_summary(reference, NULL, &wear),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camcompare_summary(reference, worn, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camcompare_summary(reference, other, &wear),
                     DIALARC_ERR_ANGLE);
    ck_assert_double_eq(lost, UNTOUCHED);
    ck_assert_double_eq(shift, UNTOUCHED);
    ck_assert_double_eq(wear.total_lift_lost_mm, UNTOUCHED);
    dialarc_camtable_free(other);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("camcompare");
    TCase *tests = tcase_create("camcompare");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, make_tables, free_tables);
    tcase_add_test(tests, loss_and_shift_by_angle);
    tcase_add_test(tests, lost_top_has_no_shift);
    tcase_add_test(tests, summary_says_what_is_gone);
    tcase_add_test(tests, cam_equals_itself);
    tcase_add_test(tests, flat_cam_has_no_flanks);
    tcase_add_test(tests, bad_arguments_are_refused);
    return darc_run(suite);
}
