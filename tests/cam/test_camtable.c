/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/camtable.h>
#include <dialarc/tabled_cam.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_spline.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/derive.h"
#include "kit/rng_kit.h"

#define UNTOUCHED 12345.0
#define MOST      64

static const dialarc_cam four = {4, 2.2, 35.0, 5.0, 10.0, DIALARC_LAW_POLY4567,
                                 0, 0.0, NULL};

/* Points of an invented cam: seeded, unevenly spaced, period 90 or 360. */
typedef struct points {
    size_t n;
    double period, x[MOST + 1], y[MOST + 1];
} points;

static points draw(gsl_rng *rng)
{
    points p = {.n = 3 + gsl_rng_uniform_int(rng, MOST - 2)};
    p.period = gsl_rng_uniform(rng) < 0.5 ? 90.0 : 360.0;
    double step = p.period / (double)p.n, start = 100.0 * gsl_rng_uniform(rng) - 50.0;
    for (size_t i = 0; i < p.n; i++) {
        p.x[i] = start + step * ((double)i + 0.8 * gsl_rng_uniform(rng));
        p.y[i] =
            1.1 + sin(p.x[i] * 4.0 * acos(-1.0) / 180.0) + 0.01 * gsl_rng_uniform(rng);
    }
    p.x[p.n] = p.x[0] + p.period;
    p.y[p.n] = p.y[0];
    return p;
}

static dialarc_camtable *make(const points *p)
{
    dialarc_camtable *table = NULL;
    ck_assert_int_eq(dialarc_camtable_new(p->n, p->x, p->y, p->period, &table),
                     DIALARC_OK);
    ck_assert_ptr_nonnull(table);
    return table;
}

static dialarc_cam_motion motion(const dialarc_camtable *table, double pump_deg)
{
    dialarc_cam_motion m = {UNTOUCHED, UNTOUCHED, UNTOUCHED};
    ck_assert_int_eq(dialarc_camtable_motion(table, pump_deg, &m), DIALARC_OK);
    return m;
}

/* GSL's periodic cubic spline through the same points. */
START_TEST(curve_is_that_of_gsl)
{
    gsl_rng *rng = kit_seeded(91);
    for (int k = 0; k < 200; k++) {
        points p = draw(rng);
        dialarc_camtable *table = make(&p);
        gsl_spline *gsl = gsl_spline_alloc(gsl_interp_cspline_periodic, p.n + 1);
        gsl_spline_init(gsl, p.x, p.y, p.n + 1);
        for (int i = 0; i < 50; i++) {
            double x = p.x[0] + p.period * gsl_rng_uniform(rng);
            dialarc_cam_motion m = motion(table, x);
            double stiff = (double)(p.n * p.n) / p.period;
            ck_assert_double_eq_tol(m.lift_mm, gsl_spline_eval(gsl, x, NULL), 1e-12);
            ck_assert_double_eq_tol(m.rate_mm_per_pump_deg,
                                    gsl_spline_eval_deriv(gsl, x, NULL), 1e-12 * stiff);
            ck_assert_double_eq_tol(m.acceleration_mm_per_pump_deg2,
                                    gsl_spline_eval_deriv2(gsl, x, NULL),
                                    1e-11 * stiff * stiff);
        }
        gsl_spline_free(gsl);
        dialarc_camtable_free(table);
    }
    gsl_rng_free(rng);
}
END_TEST

/* Continuous to the second derivative at every point, the joint of the lobes included. */
START_TEST(curve_is_smooth_across_points_and_joint)
{
    gsl_rng *rng = kit_seeded(92);
    for (int k = 0; k < 200; k++) {
        points p = draw(rng);
        dialarc_camtable *table = make(&p);
        for (size_t i = 0; i <= p.n; i++) {
            double e = 1e-10;
            dialarc_cam_motion a = motion(table, p.x[i] - e);
            dialarc_cam_motion b = motion(table, p.x[i] + e);
            double third = 1e3; /* no third derivative here is larger */
            ck_assert_double_eq_tol(motion(table, p.x[i]).lift_mm, p.y[i], 1e-13);
            ck_assert_double_eq_tol(a.lift_mm, b.lift_mm,
                                    3.0 * e * fabs(a.rate_mm_per_pump_deg) + 1e-13);
            ck_assert_double_eq_tol(a.rate_mm_per_pump_deg, b.rate_mm_per_pump_deg,
                                    3.0 * e * fabs(a.acceleration_mm_per_pump_deg2) +
                                        1e-12);
            ck_assert_double_eq_tol(a.acceleration_mm_per_pump_deg2,
                                    b.acceleration_mm_per_pump_deg2, 2.0 * e * third);
        }
        dialarc_camtable_free(table);
    }
    gsl_rng_free(rng);
}
END_TEST

static double lift_at(double x, void *data)
{
    return motion(data, x).lift_mm;
}

static double rate_at(double x, void *data)
{
    return motion(data, x).rate_mm_per_pump_deg;
}

/* Finite differences: GSL's five-point rule, seeded tables and places. */
START_TEST(rate_and_acceleration_are_derivatives)
{
    gsl_rng *rng = kit_seeded(93);
    for (int k = 0; k < 200; k++) {
        points p = draw(rng);
        dialarc_camtable *table = make(&p);
        for (size_t i = 0; i < p.n; i++) {
            double width = p.x[i + 1] - p.x[i], x = p.x[i] + 0.5 * width;
            double step = 0.2 * width;
            dialarc_cam_motion m = motion(table, x);
            check_slope(lift_at, table, x, step, m.rate_mm_per_pump_deg, 1.0, 1e-9);
            check_slope(rate_at, table, x, step, m.acceleration_mm_per_pump_deg2, 1.0,
                        1e-9);
        }
        dialarc_camtable_free(table);
    }
    gsl_rng_free(rng);
}
END_TEST

/* A law sampled finely: the spline error falls as the fourth power of the step. */
START_TEST(table_of_a_law_follows_it)
{
    const size_t sizes[] = {90, 360};
    double worst[2] = {0.0, 0.0};
    for (int k = 0; k < 2; k++) {
        dialarc_camtable *table = NULL;
        ck_assert_int_eq(dialarc_camtable_from_cam(&four, sizes[k], &table), DIALARC_OK);
        for (double x = -200.0; x < 200.0; x += 0.0713) {
            double lift = UNTOUCHED;
            dialarc_cam_lift(&four, x, &lift);
            worst[k] = fmax(worst[k], fabs(motion(table, x).lift_mm - lift));
        }
        dialarc_camtable_free(table);
    }
    ck_assert_double_lt(worst[0], 1e-5);
    ck_assert_double_lt(worst[1], worst[0] / 100.0);
}
END_TEST

/* 1e-12 relative, on either flank, nearest to where it was asked for. */
START_TEST(inverse_round_trips)
{
    gsl_rng *rng = kit_seeded(94);
    for (int k = 0; k < 2000; k++) {
        points p = draw(rng);
        dialarc_camtable *table = make(&p);
        double period, low, high, at = UNTOUCHED, again = UNTOUCHED;
        ck_assert_int_eq(dialarc_camtable_range(table, &period, &low, &high), DIALARC_OK);
        dialarc_flank flank = k % 2 ? DIALARC_FLANK_RISING : DIALARC_FLANK_FALLING;
        double near = 800.0 * gsl_rng_uniform(rng) - 400.0;
        double lift = low + (high - low) * gsl_rng_uniform(rng);
        ck_assert_double_eq(period, p.period);
        ck_assert_int_eq(dialarc_camtable_angle_at_lift(table, lift, flank, near, &at),
                         DIALARC_OK);
        dialarc_cam_motion m = motion(table, at);
        double hidden = 1e-13 * fabs(m.rate_mm_per_pump_deg); /* of an angle of 400 */
        ck_assert_double_eq_tol(m.lift_mm, lift, 1e-12 * fabs(lift) + hidden);
        ck_assert_double_le(fabs(at - near), 0.5 * period + 1e-12);
        ck_assert_double_ge(m.rate_mm_per_pump_deg * (double)(int)flank, -1e-6);
        ck_assert_int_eq(dialarc_camtable_angle_at_lift(table, lift, flank, at, &again),
                         DIALARC_OK);
        ck_assert_double_eq_tol(again, at, 1e-9);
        ck_assert_int_eq(dialarc_camtable_angle_at_lift(table, low, flank, near, &at),
                         DIALARC_OK);
        ck_assert_int_eq(dialarc_camtable_angle_at_lift(table, high, flank, near, &at),
                         DIALARC_OK);
        dialarc_camtable_free(table);
    }
    gsl_rng_free(rng);
}
END_TEST

/* The range is that of the curve, not only of the points. */
START_TEST(range_holds_the_curve)
{
    gsl_rng *rng = kit_seeded(95);
    for (int k = 0; k < 100; k++) {
        points p = draw(rng);
        dialarc_camtable *table = make(&p);
        double period, low, high, seen_low = INFINITY, seen_high = -INFINITY;
        dialarc_camtable_range(table, &period, &low, &high);
        for (double x = 0.0; x < period; x += period / 20000.0) {
            double lift = motion(table, x).lift_mm;
            ck_assert(lift >= low - 1e-13 && lift <= high + 1e-13);
            seen_low = fmin(seen_low, lift);
            seen_high = fmax(seen_high, lift);
        }
        ck_assert_double_eq_tol(seen_low, low, 1e-6);
        ck_assert_double_eq_tol(seen_high, high, 1e-6);
        dialarc_camtable_free(table);
    }
    gsl_rng_free(rng);
}
END_TEST

START_TEST(arrays_agree_with_scalars)
{
    dialarc_camtable *table = NULL;
    double x[40], y[40];
    dialarc_camtable_from_cam(&four, 50, &table);
    for (int i = 0; i < 40; i++)
        x[i] = 13.7 * i - 200.0;
    ck_assert_int_eq(dialarc_camtable_lift_array(table, 40, x, y), DIALARC_OK);
    for (int i = 0; i < 40; i++)
        ck_assert_double_eq(y[i], motion(table, x[i]).lift_mm);
    ck_assert_int_eq(dialarc_camtable_lift_array(table, 40, x, x), DIALARC_OK);
    ck_assert_double_eq(x[39], y[39]);
    ck_assert_int_eq(dialarc_camtable_lift_array(table, 0, NULL, NULL), DIALARC_OK);
    x[3] = (double)NAN;
    y[0] = UNTOUCHED;
    ck_assert_int_eq(dialarc_camtable_lift_array(table, 40, x, y),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(y[0], UNTOUCHED);
    dialarc_camtable_free(table);
}
END_TEST

START_TEST(bad_points_are_refused)
{
    const double nan = (double)NAN;
    const struct {
        size_t n;
        double x[4], y[4], period;
        dialarc_status status;
    } cases[] = {
        {2, {0, 1, 2, 3}, {0, 1, 2, 1}, 90.0, DIALARC_ERR_SIZE},
        {0, {0, 1, 2, 3}, {0, 1, 2, 1}, 90.0, DIALARC_ERR_SIZE},
        {DIALARC_CAMTABLE_MAX + 1, {0}, {0}, 90.0, DIALARC_ERR_SIZE},
        {4, {0, 1, nan, 3}, {0, 1, 2, 1}, 90.0, DIALARC_ERR_NOT_FINITE},
        {4, {0, 1, 2, 3}, {0, 1, INFINITY, 1}, 90.0, DIALARC_ERR_NOT_FINITE},
        {4, {0, 1, 2, 3}, {0, 1, 2, 1}, nan, DIALARC_ERR_NOT_FINITE},
        {4, {0, 1, 2, 3}, {0, 1e308, -1e308, 1e308}, 90.0, DIALARC_ERR_RANGE},
        {4, {0, 1, 2, 3}, {0, 1, 2, 1}, 0.0, DIALARC_ERR_ANGLE},
        {4, {0, 1, 2, 3}, {0, 1, 2, 1}, 361.0, DIALARC_ERR_ANGLE},
        {4, {0, 1, 1, 3}, {0, 1, 2, 1}, 90.0, DIALARC_ERR_ORDER},
        {4, {0, 2, 1, 3}, {0, 1, 2, 1}, 90.0, DIALARC_ERR_ORDER},
        {4, {0, 1, 2, 90}, {0, 1, 2, 1}, 90.0, DIALARC_ERR_ORDER},
    };
    dialarc_camtable *table = NULL;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        ck_assert_int_eq(dialarc_camtable_new(cases[i].n, cases[i].x, cases[i].y,
                                              cases[i].period, &table),
                         cases[i].status);
    const double *x = cases[0].x, *y = cases[0].y;
    ck_assert_int_eq(dialarc_camtable_new(4, NULL, y, 90.0, &table), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_new(4, x, NULL, 90.0, &table), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_new(4, x, y, 90.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_from_cam(NULL, 4, &table), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_from_cam(&four, 4, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_from_cam(&four, 2, &table), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_camtable_from_cam(&four, DIALARC_CAMTABLE_MAX + 1, &table),
                     DIALARC_ERR_SIZE);
    ck_assert_ptr_null(table);
    dialarc_camtable_free(NULL);
}
END_TEST

START_TEST(bad_arguments_are_refused)
{
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    const dialarc_flank rising = DIALARC_FLANK_RISING;
    const double x[] = {0, 30, 60}, level[] = {1.0, 1.0, 1.0};
    dialarc_camtable *t = NULL, *flat = NULL;
    dialarc_cam_motion m = {UNTOUCHED, 0.0, 0.0};
    double y = UNTOUCHED, low, high, period;
    dialarc_camtable_from_cam(&four, 50, &t);
    dialarc_camtable_new(3, x, level, 90.0, &flat);
    dialarc_camtable_range(t, &period, &low, &high);
    for (int i = 0; i < 3; i++) {
        const dialarc_status refused = DIALARC_ERR_NOT_FINITE;
        ck_assert_int_eq(dialarc_camtable_motion(t, bad[i], &m), refused);
        ck_assert_int_eq(dialarc_camtable_angle_at_lift(t, bad[i], rising, 0.0, &y),
                         refused);
        ck_assert_int_eq(dialarc_camtable_angle_at_lift(t, 1.0, rising, bad[i], &y),
                         refused);
    }
    ck_assert_int_eq(
        dialarc_camtable_angle_at_lift(t, nextafter(high, 9.0), rising, 0.0, &y),
        DIALARC_ERR_LIFT);
    ck_assert_int_eq(
        dialarc_camtable_angle_at_lift(t, nextafter(low, -9.0), rising, 0.0, &y),
        DIALARC_ERR_LIFT);
    ck_assert_int_eq(dialarc_camtable_angle_at_lift(t, 1.0, (dialarc_flank)0, 0.0, &y),
                     DIALARC_ERR_FLANK);
    ck_assert_int_eq(dialarc_camtable_angle_at_lift(flat, 1.0, rising, 0.0, &y),
                     DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(dialarc_camtable_motion(NULL, 1.0, &m), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_motion(t, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_lift_array(NULL, 0, NULL, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_lift_array(t, 1, NULL, &y), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_angle_at_lift(NULL, 1.0, rising, 0.0, &y),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_angle_at_lift(t, 1.0, rising, 0.0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_range(NULL, &period, &low, &high),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_range(t, &period, &low, NULL), DIALARC_ERR_NULL);
    ck_assert_double_eq(y, UNTOUCHED);
    ck_assert_double_eq(m.lift_mm, UNTOUCHED);
    dialarc_camtable_free(t);
    dialarc_camtable_free(flat);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("camtable");
    TCase *tests = tcase_create("camtable");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, curve_is_that_of_gsl);
    tcase_add_test(tests, curve_is_smooth_across_points_and_joint);
    tcase_add_test(tests, rate_and_acceleration_are_derivatives);
    tcase_add_test(tests, table_of_a_law_follows_it);
    tcase_add_test(tests, inverse_round_trips);
    tcase_add_test(tests, range_holds_the_curve);
    tcase_add_test(tests, arrays_agree_with_scalars);
    tcase_add_test(tests, bad_points_are_refused);
    tcase_add_test(tests, bad_arguments_are_refused);
    return darc_run(suite);
}
