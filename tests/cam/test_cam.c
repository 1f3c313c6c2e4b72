/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/cam.h>
#include <float.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <string.h>

#include "kit/cam_kit.h"
#include "kit/check_main.h"
#include "kit/derive.h"
#include "kit/refdata.h"

#define UNTOUCHED 12345.0

/* An invented four-lobe cam: pitch 90, rise 35, top 5, fall 40, base 10 pump degrees. */
static const dialarc_cam four = {.lobes = 4,
                                 .lift_mm = 2.2,
                                 .rise_deg = 35.0,
                                 .top_dwell_deg = 5.0,
                                 .base_dwell_deg = 10.0,
                                 .law = DIALARC_LAW_CYCLOIDAL};

static double angle(const dialarc_cam *cam, double lift_mm, dialarc_flank flank)
{
    double out = UNTOUCHED;
    ck_assert_int_eq(dialarc_cam_angle_at_lift(cam, lift_mm, flank, &out), DIALARC_OK);
    return out;
}

/* Peak rate Cv h/beta; the factors' sources and tolerances stand in the table. */
START_TEST(steepest_rate_agrees_with_published_factors)
{
    refdata *table = refdata_open("law_peaks.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        dialarc_cam cam = four;
        if (strcmp(refdata_text(table, row, "quantity"), "rate") != 0)
            continue;
        dialarc_law_from_name(refdata_text(table, row, "law"), &cam.law);
        cam.blend = refdata_number(table, row, "blend");
        refdata_check(table, row, kit_rate(&cam, 17.5) * 35.0 / 2.2);
        refdata_check(table, row, kit_rate(&cam, 60.0) * -40.0 / 2.2);
    }
    refdata_close(table);
}
END_TEST

/* Definition of the segments: lifts at their ends and in the dwells are exact. */
START_TEST(segments_follow_each_other)
{
    double fall = UNTOUCHED;
    ck_assert_int_eq(dialarc_cam_fall_deg(&four, &fall), DIALARC_OK);
    ck_assert_double_eq(fall, 40.0);
    ck_assert_double_eq(kit_lift(&four, 0.0), 0.0);
    ck_assert_double_eq_tol(kit_lift(&four, 17.5), 1.1, 1e-15);
    ck_assert_double_eq(kit_lift(&four, 35.0), 2.2);
    ck_assert_double_eq(kit_lift(&four, 38.0), 2.2);
    ck_assert_double_eq(kit_lift(&four, 40.0), 2.2);
    ck_assert_double_eq_tol(kit_lift(&four, 60.0), 1.1, 1e-15);
    ck_assert_double_eq(kit_lift(&four, 80.0), 0.0);
    ck_assert_double_eq(kit_lift(&four, 85.0), 0.0);
    ck_assert_double_eq(kit_rate(&four, 38.0), 0.0);
    ck_assert_double_eq(kit_acceleration(&four, 85.0), 0.0);
    ck_assert_double_gt(kit_acceleration(&four, 8.75), 0.0);
    ck_assert_double_lt(kit_acceleration(&four, 50.0), 0.0);
    ck_assert_double_gt(kit_acceleration(&four, 70.0), 0.0);
}
END_TEST

START_TEST(fall_law_may_differ)
{
    dialarc_cam cam = four;
    cam.fall_law = DIALARC_LAW_POLY345;
    ck_assert_double_eq(kit_lift(&cam, 10.0), kit_lift(&four, 10.0));
    /* 345 at a quarter: 0.103515625 (refdata/law_displacements.csv) */
    ck_assert_double_eq_tol(kit_lift(&cam, 70.0), 2.2 * 0.103515625, 1e-15);
}
END_TEST

/* Period 360/lobes, in both directions and far out. */
START_TEST(lobes_repeat)
{
    gsl_rng *rng = kit_seeded(11);
    for (int k = 0; k < 2000; k++) {
        dialarc_cam cam = kit_draw(rng);
        double pitch = 360.0 / cam.lobes, x = pitch * gsl_rng_uniform(rng);
        double turns = (double)gsl_rng_uniform_int(rng, 40) - 20.0;
        double steepest = 2.0 * cam.lift_mm / (0.1 * pitch);
        double blur = 4e-16 * (fabs(turns) + 1.0) * pitch * steepest + 1e-15;
        ck_assert_double_eq_tol(kit_lift(&cam, x + turns * pitch), kit_lift(&cam, x),
                                4.0 * blur);
    }
    gsl_rng_free(rng);
    ck_assert_double_eq(kit_lift(&four, 3.6e15 + 20.0), kit_lift(&four, 20.0));
    ck_assert_double_eq(kit_lift(&four, -3.6e15 + 20.0), kit_lift(&four, 20.0));
    ck_assert_double_eq(kit_lift(&four, -1e-300), 0.0);
    ck_assert_double_ge(kit_lift(&four, 1e300), 0.0);
}
END_TEST

static double lift_at(double x, void *data)
{
    return kit_lift(data, x);
}

static double rate_at(double x, void *data)
{
    return kit_rate(data, x);
}

/* Whether no formula of the cam changes within `step` pump degrees. */
static int is_smooth(const dialarc_cam *cam, double x, double step)
{
    double fall = UNTOUCHED;
    dialarc_cam_fall_deg(cam, &fall);
    double top = cam->rise_deg + cam->top_dwell_deg;
    const double parts[] = {0.0, 0.125, 0.375, 0.5, 0.625, 0.875, 1.0, 0.25, 0.75};
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++)
        if (fabs(x - parts[i] * cam->rise_deg) <= step ||
            fabs(x - top - parts[i] * fall) <= step)
            return 0;
    return x > step && x + step < 360.0 / cam->lobes;
}

/* Finite differences: GSL's five-point rule, seeded cams and places. */
START_TEST(rate_and_acceleration_are_derivatives)
{
    gsl_rng *rng = kit_seeded(12);
    for (int k = 0; k < 3000; k++) {
        dialarc_cam cam = kit_draw(rng);
        cam.blend = 0.0;
        double pitch = 360.0 / cam.lobes, step = 1e-4 * pitch;
        double x = pitch * gsl_rng_uniform(rng);
        if (!is_smooth(&cam, x, step))
            continue;
        double scale = cam.lift_mm / pitch;
        check_slope(lift_at, &cam, x, step, kit_rate(&cam, x), scale, 1e-8);
        check_slope(rate_at, &cam, x, step, kit_acceleration(&cam, x),
                    100.0 * scale / pitch, 1e-7);
    }
    gsl_rng_free(rng);
}
END_TEST

/* 1e-12 relative over the whole range. Falling angles are counted from the foot of
 * the rise, which hides the last bits of a lift of nearly 0. */
START_TEST(inverse_round_trips)
{
    gsl_rng *rng = kit_seeded(14);
    for (int k = 0; k < 20000; k++) {
        dialarc_cam cam = kit_draw(rng);
        double s = gsl_rng_uniform(rng);
        s = k % 3 == 0 ? pow(10.0, -12.0 * s) : k % 3 == 1 ? 1.0 - 1e-9 * s : s;
        double y = s * cam.lift_mm;
        double a = angle(&cam, y, DIALARC_FLANK_RISING);
        double b = angle(&cam, y, DIALARC_FLANK_FALLING);
        double hidden = DBL_EPSILON * b * fabs(kit_rate(&cam, b));
        ck_assert_double_eq_tol(kit_lift(&cam, a), y, 1e-12 * y);
        ck_assert_double_eq_tol(kit_lift(&cam, b), y, 1e-12 * y + 4.0 * hidden);
        ck_assert(a >= 0.0 && a <= cam.rise_deg);
        ck_assert(b >= cam.rise_deg + cam.top_dwell_deg);
    }
    gsl_rng_free(rng);
}
END_TEST

/* The other way round, as far as the lift tells the angle. */
START_TEST(inverse_finds_the_angle)
{
    gsl_rng *rng = kit_seeded(15);
    for (int k = 0; k < 20000; k++) {
        dialarc_cam cam = kit_draw(rng);
        double fall = UNTOUCHED, u = gsl_rng_uniform(rng);
        dialarc_cam_fall_deg(&cam, &fall);
        double x = u * cam.rise_deg;
        double z = cam.rise_deg + cam.top_dwell_deg + u * fall;
        double seen_x = DBL_EPSILON * kit_lift(&cam, x) / kit_rate(&cam, x);
        double seen_z = DBL_EPSILON * kit_lift(&cam, z) / fabs(kit_rate(&cam, z));
        ck_assert_double_eq_tol(angle(&cam, kit_lift(&cam, x), DIALARC_FLANK_RISING), x,
                                1e-12 * x + 4.0 * seen_x);
        ck_assert_double_eq_tol(angle(&cam, kit_lift(&cam, z), DIALARC_FLANK_FALLING), z,
                                1e-12 * z + 4.0 * seen_z);
    }
    gsl_rng_free(rng);
}
END_TEST

START_TEST(inverse_ends_at_the_dwells)
{
    double lifts[3] = {0.0, 1.1, 2.2};
    ck_assert_double_eq(angle(&four, 0.0, DIALARC_FLANK_RISING), 0.0);
    ck_assert_double_eq(angle(&four, 2.2, DIALARC_FLANK_RISING), 35.0);
    ck_assert_double_eq(angle(&four, 0.0, DIALARC_FLANK_FALLING), 80.0);
    ck_assert_double_eq(angle(&four, 2.2, DIALARC_FLANK_FALLING), 40.0);
    ck_assert_int_eq(
        dialarc_cam_angle_at_lift_array(&four, 3, lifts, DIALARC_FLANK_FALLING, lifts),
        DIALARC_OK);
    ck_assert_double_eq(lifts[0], 80.0);
    ck_assert_double_eq_tol(lifts[1], 60.0, 1e-13);
    ck_assert_double_eq(lifts[2], 40.0);
    /* found by fuzzing: rounding took the falling flank into the rise */
    const dialarc_cam narrow = {.lobes = 8,
                                .lift_mm = 2.2,
                                .rise_deg = 6.15,
                                .base_dwell_deg = 160.0 / 127.0,
                                .law = DIALARC_LAW_POLY4567};
    ck_assert_double_eq(angle(&narrow, 2.2, DIALARC_FLANK_FALLING), 6.15);
}
END_TEST

/* Bit for bit, also so far away that the fast way does not know the lobe. */
START_TEST(arrays_are_the_scalars)
{
    const double x[] = {12.5, -3e11, 2e12 + 11.0, 1e9 + 0.5, 47.0, 81.25, -20.0};
    double lift[7], rate[7], acceleration[7], one;
    ck_assert_int_eq(dialarc_cam_lift_array(&four, 7, x, lift), DIALARC_OK);
    ck_assert_int_eq(dialarc_cam_rate_array(&four, 7, x, rate), DIALARC_OK);
    ck_assert_int_eq(dialarc_cam_acceleration_array(&four, 7, x, acceleration),
                     DIALARC_OK);
    for (size_t i = 0; i < 7; i++) {
        ck_assert_int_eq(dialarc_cam_lift(&four, x[i], &one), DIALARC_OK);
        ck_assert_double_eq(lift[i], one);
        ck_assert_int_eq(dialarc_cam_rate(&four, x[i], &one), DIALARC_OK);
        ck_assert_double_eq(rate[i], one);
        ck_assert_int_eq(dialarc_cam_acceleration(&four, x[i], &one), DIALARC_OK);
        ck_assert_double_eq(acceleration[i], one);
    }
}
END_TEST

/* Every function must refuse the same cams. */
static void check_refused(const dialarc_cam *cam, dialarc_status status)
{
    double x = 1.0, y = UNTOUCHED;
    ck_assert_int_eq(dialarc_cam_check(cam), status);
    ck_assert_int_eq(dialarc_cam_fall_deg(cam, &y), status);
    ck_assert_int_eq(dialarc_cam_lift(cam, x, &y), status);
    ck_assert_int_eq(dialarc_cam_rate(cam, x, &y), status);
    ck_assert_int_eq(dialarc_cam_acceleration(cam, x, &y), status);
    ck_assert_int_eq(dialarc_cam_lift_array(cam, 1, &x, &y), status);
    ck_assert_int_eq(dialarc_cam_lift_array(cam, 0, NULL, NULL), status);
    ck_assert_int_eq(dialarc_cam_rate_array(cam, 1, &x, &y), status);
    ck_assert_int_eq(dialarc_cam_acceleration_array(cam, 1, &x, &y), status);
    ck_assert_int_eq(dialarc_cam_angle_at_lift(cam, x, DIALARC_FLANK_RISING, &y), status);
    ck_assert_double_eq(y, UNTOUCHED);
}

START_TEST(bad_cams_are_refused)
{
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    dialarc_cam cam = four;
    check_refused(NULL, DIALARC_ERR_NULL);
    for (size_t i = 0; i < 3; i++) {
        double *const fields[] = {&cam.lift_mm, &cam.rise_deg, &cam.top_dwell_deg,
                                  &cam.base_dwell_deg, &cam.blend};
        for (size_t k = 0; k < sizeof fields / sizeof fields[0]; k++) {
            cam = four;
            *fields[k] = bad[i];
            check_refused(&cam, DIALARC_ERR_NOT_FINITE);
        }
    }
    const struct {
        dialarc_cam cam;
        dialarc_status status;
    } cases[] = {
        {{0, 2.2, 35, 5, 10, DIALARC_LAW_POLY345, 0, 0, NULL}, DIALARC_ERR_LOBES},
        {{17, 2.2, 5, 5, 5, DIALARC_LAW_POLY345, 0, 0, NULL}, DIALARC_ERR_LOBES},
        {{4, 0.0, 35, 5, 10, DIALARC_LAW_POLY345, 0, 0, NULL}, DIALARC_ERR_LIFT},
        {{4, -1.0, 35, 5, 10, DIALARC_LAW_POLY345, 0, 0, NULL}, DIALARC_ERR_LIFT},
        {{4, 2.2, 0, 5, 10, DIALARC_LAW_POLY345, 0, 0, NULL}, DIALARC_ERR_SEGMENTS},
        {{4, 2.2, 35, -1e-9, 10, DIALARC_LAW_POLY345, 0, 0, NULL}, DIALARC_ERR_SEGMENTS},
        {{4, 2.2, 35, 5, -1e-9, DIALARC_LAW_POLY345, 0, 0, NULL}, DIALARC_ERR_SEGMENTS},
        {{4, 2.2, 75, 5, 10, DIALARC_LAW_POLY345, 0, 0, NULL}, DIALARC_ERR_SEGMENTS},
        {{8, 2.2, 35, 5, 10, DIALARC_LAW_POLY345, 0, 0, NULL}, DIALARC_ERR_SEGMENTS},
        {{4, 2.2, 35, 5, 10, DIALARC_LAW_UNKNOWN, 0, 0, NULL}, DIALARC_ERR_LAW},
        {{4, 2.2, 35, 5, 10, DIALARC_LAW_COUNT, 0, 0, NULL}, DIALARC_ERR_LAW},
        {{4, 2.2, 35, 5, 10, 1, DIALARC_LAW_COUNT, 0, NULL}, DIALARC_ERR_LAW},
        {{4, 2.2, 35, 5, 10, DIALARC_LAW_CONSTANT_RATE, 0, 0.51, NULL},
         DIALARC_ERR_BLEND},
        {{4, 2.2, 35, 5, 10, 1, DIALARC_LAW_CONSTANT_RATE, -0.1, NULL},
         DIALARC_ERR_BLEND},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        check_refused(&cases[i].cam, cases[i].status);
    cam = four;
    cam.rise_deg = 75.0 - 2e-9; /* no fall is shorter than 1e-9 degrees */
    ck_assert_int_eq(dialarc_cam_check(&cam), DIALARC_OK);
    cam.rise_deg = nextafter(75.0, 0.0);
    ck_assert_int_eq(dialarc_cam_check(&cam), DIALARC_ERR_SEGMENTS);
}
END_TEST

START_TEST(bad_angles_and_lifts_are_refused)
{
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    double x[1100] = {0.0}, y[1100] = {UNTOUCHED}, one = UNTOUCHED;
    for (size_t i = 0; i < 3; i++) {
        ck_assert_int_eq(dialarc_cam_lift(&four, bad[i], &one), DIALARC_ERR_NOT_FINITE);
        ck_assert_int_eq(dialarc_cam_rate(&four, bad[i], &one), DIALARC_ERR_NOT_FINITE);
        ck_assert_int_eq(dialarc_cam_acceleration(&four, bad[i], &one),
                         DIALARC_ERR_NOT_FINITE);
        ck_assert_int_eq(
            dialarc_cam_angle_at_lift(&four, bad[i], DIALARC_FLANK_RISING, &one),
            DIALARC_ERR_NOT_FINITE);
        for (size_t at = 0; at < 1100; at += 157) {
            x[at] = bad[i];
            ck_assert_int_eq(dialarc_cam_lift_array(&four, 1100, x, y),
                             DIALARC_ERR_NOT_FINITE);
            ck_assert_int_eq(dialarc_cam_rate_array(&four, 1100, x, y),
                             DIALARC_ERR_NOT_FINITE);
            ck_assert_int_eq(dialarc_cam_acceleration_array(&four, 1100, x, y),
                             DIALARC_ERR_NOT_FINITE);
            x[at] = 0.0;
        }
    }
    const double low = -5e-324, high = nextafter(2.2, 3.0);
    ck_assert_int_eq(dialarc_cam_angle_at_lift(&four, low, DIALARC_FLANK_RISING, &one),
                     DIALARC_ERR_LIFT);
    ck_assert_int_eq(dialarc_cam_angle_at_lift(&four, high, DIALARC_FLANK_FALLING, &one),
                     DIALARC_ERR_LIFT);
    ck_assert_int_eq(dialarc_cam_angle_at_lift(&four, 1.0, (dialarc_flank)0, &one),
                     DIALARC_ERR_FLANK);
    ck_assert_double_eq(one, UNTOUCHED);
    ck_assert_double_eq(y[0], UNTOUCHED);
}
END_TEST

START_TEST(null_is_refused_and_nothing_is_allowed)
{
    double x = 1.0;
    ck_assert_int_eq(dialarc_cam_fall_deg(&four, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cam_lift(&four, x, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cam_rate(&four, x, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cam_acceleration(&four, x, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cam_lift_array(&four, 1, NULL, &x), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cam_lift_array(&four, 1, &x, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cam_rate_array(&four, 1, NULL, &x), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cam_acceleration_array(&four, 1, NULL, &x),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cam_angle_at_lift(&four, x, DIALARC_FLANK_RISING, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cam_lift_array(&four, 0, NULL, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_cam_rate_array(&four, 0, NULL, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_cam_acceleration_array(&four, 0, NULL, NULL), DIALARC_OK);
    ck_assert_int_eq(
        dialarc_cam_angle_at_lift_array(&four, 0, NULL, DIALARC_FLANK_RISING, NULL),
        DIALARC_OK);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("cam");
    TCase *tests = tcase_create("cam");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, steepest_rate_agrees_with_published_factors);
    tcase_add_test(tests, segments_follow_each_other);
    tcase_add_test(tests, fall_law_may_differ);
    tcase_add_test(tests, lobes_repeat);
    tcase_add_test(tests, rate_and_acceleration_are_derivatives);
    tcase_add_test(tests, inverse_round_trips);
    tcase_add_test(tests, inverse_finds_the_angle);
    tcase_add_test(tests, inverse_ends_at_the_dwells);
    tcase_add_test(tests, arrays_are_the_scalars);
    tcase_add_test(tests, bad_cams_are_refused);
    tcase_add_test(tests, bad_angles_and_lifts_are_refused);
    tcase_add_test(tests, null_is_refused_and_nothing_is_allowed);
    return darc_run(suite);
}
