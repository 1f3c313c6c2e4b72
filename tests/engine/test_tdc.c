/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/tdc.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

#define UNTOUCHED 12345.0

static const dialarc_crank offset = {40.0, 120.0, 1.0};

/* Sources and tolerances stand in the table. */
START_TEST(results_agree_with_published_values)
{
    refdata *table = refdata_open("tdc.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        const dialarc_crank crank = {refdata_number(table, row, "radius_mm"),
                                     refdata_number(table, row, "rod_mm"),
                                     refdata_number(table, row, "offset_mm")};
        double before = refdata_number(table, row, "before_deg");
        double after = refdata_number(table, row, "after_deg"), out = UNTOUCHED;
        if (strcmp(refdata_text(table, row, "quantity"), "midpoint") == 0)
            ck_assert_int_eq(dialarc_tdc_from_stops(before, after, &out), DIALARC_OK);
        else
            ck_assert_int_eq(dialarc_tdc_stop_error(&crank, before, after, &out),
                             DIALARC_OK);
        refdata_check(table, row, out);
    }
    refdata_close(table);
}
END_TEST

/* The arc runs from before to after, wherever the wheel starts. */
START_TEST(wheel_may_start_anywhere)
{
    double at_zero = UNTOUCHED;
    dialarc_tdc_stop_error(&offset, -20.0, 20.0, &at_zero);
    for (double start = -900.0; start <= 900.0; start += 37.5) {
        double tdc = UNTOUCHED, error = UNTOUCHED, expected = remainder(start, 360.0);
        ck_assert_int_eq(dialarc_tdc_from_stops(start - 20.0, start + 20.0, &tdc),
                         DIALARC_OK);
        ck_assert_double_eq_tol(remainder(tdc - expected, 360.0), 0.0, 1e-12);
        ck_assert_int_eq(dialarc_tdc_from_stops(start + 20.0, start - 20.0, &tdc),
                         DIALARC_OK);
        ck_assert_double_eq_tol(fabs(remainder(tdc - expected, 360.0)), 180.0, 1e-12);
        dialarc_tdc_stop_error(&offset, start - 20.0, start + 20.0, &error);
        ck_assert_double_eq_tol(error, at_zero, 1e-12);
    }
}
END_TEST

/* Contacts found by the crank itself: the corrected midpoint is TDC at any height. */
START_TEST(stop_error_is_that_of_the_crank)
{
    for (double drop = 0.01; drop < 79.0; drop *= 1.5) {
        double before = UNTOUCHED, after = UNTOUCHED, mid, error;
        dialarc_crank_angle_at_drop(&offset, drop, DIALARC_SIDE_BEFORE, &before);
        dialarc_crank_angle_at_drop(&offset, drop, DIALARC_SIDE_AFTER, &after);
        dialarc_tdc_from_stops(before, after, &mid);
        dialarc_tdc_stop_error(&offset, before, after, &error);
        ck_assert_double_eq_tol(mid - error, 0.0, 1e-12);
        ck_assert_double_gt(error, 0.0);
    }
}
END_TEST

/* Simulated pairs: the mean finds TDC, its sd is honest and the scatter near 1. */
START_TEST(pairs_give_tdc_and_its_uncertainty)
{
    enum { N = 6, RUNS = 4000 };
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 31);
    double inside = 0.0, squares = 0.0, scatter = 0.0;
    const double angle_sd = 0.15, drop_sd = 0.005;
    for (int run = 0; run < RUNS; run++) {
        double before[N], after[N], truth = 179.0 + 2.0 * gsl_rng_uniform(rng);
        for (int i = 0; i < N; i++) {
            double drop = 0.3 + i, a = drop + gsl_ran_gaussian(rng, drop_sd);
            double b = drop + gsl_ran_gaussian(rng, drop_sd);
            dialarc_crank_angle_at_drop(&offset, a, DIALARC_SIDE_BEFORE, &before[i]);
            dialarc_crank_angle_at_drop(&offset, b, DIALARC_SIDE_AFTER, &after[i]);
            before[i] += truth + gsl_ran_gaussian(rng, angle_sd);
            after[i] += truth + gsl_ran_gaussian(rng, angle_sd);
        }
        dialarc_tdc tdc;
        ck_assert_int_eq(
            dialarc_tdc_from_pairs(&offset, N, before, after, angle_sd, drop_sd, &tdc),
            DIALARC_OK);
        double error = remainder(tdc.wheel_deg - truth, 360.0) / tdc.sd_deg;
        ck_assert(tdc.wheel_deg >= -180.0 && tdc.wheel_deg < 180.0);
        inside += fabs(error) < 1.959963984540054;
        squares += error * error;
        scatter += tdc.scatter * tdc.scatter;
    }
    /* four sd of a share of 0.95 and of a mean square of 1 */
    ck_assert_double_eq_tol(inside / RUNS, 0.95, 4.0 * sqrt(0.95 * 0.05 / RUNS));
    ck_assert_double_eq_tol(squares / RUNS, 1.0, 4.0 * sqrt(2.0 / RUNS));
    ck_assert_double_eq_tol(scatter / RUNS, 1.0, 4.0 * sqrt(2.0 / (N - 1) / RUNS));
    gsl_rng_free(rng);
}
END_TEST

/* One pair and the height alone uncertain: its sd over the rate there, over sqrt(2). */
START_TEST(an_uncertain_height_is_enough)
{
    const dialarc_crank centred = {40.0, 120.0, 0.0};
    double before, after;
    dialarc_crank_motion m;
    dialarc_tdc tdc;
    ck_assert_int_eq(
        dialarc_crank_angle_at_drop(&centred, 2.0, DIALARC_SIDE_BEFORE, &before),
        DIALARC_OK);
    ck_assert_int_eq(
        dialarc_crank_angle_at_drop(&centred, 2.0, DIALARC_SIDE_AFTER, &after),
        DIALARC_OK);
    ck_assert_int_eq(dialarc_crank_motion_at(&centred, after, &m), DIALARC_OK);
    ck_assert_int_eq(
        dialarc_tdc_from_pairs(&centred, 1, &before, &after, 0.0, 0.01, &tdc),
        DIALARC_OK);
    ck_assert_double_eq_tol(tdc.wheel_deg, 0.0, 1e-12);
    ck_assert_double_eq_tol(tdc.sd_deg, 0.01 / m.rate_mm_per_crank_deg / sqrt(2.0),
                            1e-12);
}
END_TEST

/* Without stated uncertainties: sd of the mean from n - 1 degrees of freedom. */
START_TEST(scatter_stands_in_for_unknown_uncertainties)
{
    const dialarc_crank centred = {40.0, 120.0, 0.0};
    const double before[] = {-20.0, -30.2, -40.1}, after[] = {20.0, 30.0, 40.5};
    dialarc_tdc tdc;
    ck_assert_int_eq(dialarc_tdc_from_pairs(&centred, 3, before, after, 0.0, 0.0, &tdc),
                     DIALARC_OK);
    /* midpoints 0, -0.1, 0.2 */
    ck_assert_double_eq_tol(tdc.wheel_deg, 0.1 / 3.0, 1e-14);
    ck_assert_double_eq_tol(tdc.sd_deg, sqrt(0.14 / 3.0 / 2.0 / 3.0), 1e-14);
    ck_assert(isnan(tdc.scatter));
    ck_assert_double_eq(tdc.offset_error_deg, 0.0);
    ck_assert_int_eq(dialarc_tdc_from_pairs(&offset, 1, before, after, 0.1, 0.0, &tdc),
                     DIALARC_OK);
    ck_assert_double_eq_tol(tdc.sd_deg, 0.1 / sqrt(2.0), 1e-15);
    ck_assert_double_eq_tol(tdc.wheel_deg, -tdc.offset_error_deg, 1e-15);
    ck_assert(isnan(tdc.scatter));
    dialarc_tdc_from_pairs(&offset, 1, before, after, 0.0, 0.0, &tdc);
    ck_assert(isnan(tdc.sd_deg));
}
END_TEST

/* Definition: slope times sd, against the difference of two lifts. */
START_TEST(mark_error_becomes_lift_error)
{
    const dialarc_cam cam = {4, 2.2, 35.0, 5.0, 10.0, DIALARC_LAW_CYCLOIDAL, 0, 0.0};
    double sd = UNTOUCHED, at, low, high;
    ck_assert_int_eq(dialarc_tdc_lift_sd(&cam, 0.9, 2.0, 0.2, &sd), DIALARC_OK);
    dialarc_cam_angle_at_lift(&cam, 0.9, DIALARC_FLANK_RISING, &at);
    dialarc_cam_lift(&cam, at - 0.001, &low);
    dialarc_cam_lift(&cam, at + 0.001, &high);
    ck_assert_double_eq_tol(sd, (high - low) / 0.002 / 2.0 * 0.2, 1e-8);
    dialarc_tdc_lift_sd(&cam, 0.0, 2.0, 0.2, &sd);
    ck_assert_double_eq(sd, 0.0);
}
END_TEST

START_TEST(bad_lift_arguments_are_refused)
{
    const dialarc_cam cam = {4, 2.2, 35.0, 5.0, 10.0, DIALARC_LAW_CYCLOIDAL, 0, 0.0};
    const double nan = (double)NAN;
    double sd = UNTOUCHED;
    ck_assert_int_eq(dialarc_tdc_lift_sd(NULL, 0.9, 2.0, 0.2, &sd), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_tdc_lift_sd(&cam, 0.9, 2.0, 0.2, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_tdc_lift_sd(&cam, nan, 2.0, 0.2, &sd),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_tdc_lift_sd(&cam, 0.9, nan, 0.2, &sd),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_tdc_lift_sd(&cam, 0.9, 2.0, nan, &sd),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_tdc_lift_sd(&cam, 2.3, 2.0, 0.2, &sd), DIALARC_ERR_LIFT);
    ck_assert_int_eq(dialarc_tdc_lift_sd(&cam, 0.9, 0.0, 0.2, &sd), DIALARC_ERR_RATIO);
    ck_assert_int_eq(dialarc_tdc_lift_sd(&cam, 0.9, 2.0, -0.1, &sd), DIALARC_ERR_SD);
    ck_assert_double_eq(sd, UNTOUCHED);
}
END_TEST

START_TEST(bad_stops_are_refused)
{
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    const dialarc_crank impossible = {40.0, 30.0, 0.0};
    double out = UNTOUCHED;
    for (int i = 0; i < 3; i++) {
        ck_assert_int_eq(dialarc_tdc_from_stops(bad[i], 1.0, &out),
                         DIALARC_ERR_NOT_FINITE);
        ck_assert_int_eq(dialarc_tdc_stop_error(&offset, 1.0, bad[i], &out),
                         DIALARC_ERR_NOT_FINITE);
    }
    ck_assert_int_eq(dialarc_tdc_from_stops(20.0, 380.0, &out), DIALARC_ERR_ANGLE);
    ck_assert_int_eq(dialarc_tdc_stop_error(&offset, 20.0, 20.0, &out),
                     DIALARC_ERR_ANGLE);
    ck_assert_int_eq(dialarc_tdc_stop_error(&impossible, -20.0, 20.0, &out),
                     DIALARC_ERR_CRANK);
    ck_assert_int_eq(dialarc_tdc_stop_error(NULL, -20.0, 20.0, &out), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_tdc_from_stops(-20.0, 20.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_tdc_stop_error(&offset, -20.0, 20.0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_double_eq(out, UNTOUCHED);
}
END_TEST

START_TEST(bad_pairs_are_refused)
{
    double x[] = {-20.0, -30.0}, y[] = {20.0, 30.0};
    const double nan = (double)NAN;
    dialarc_tdc tdc = {UNTOUCHED, 0.0, 0.0, 0.0};
    ck_assert_int_eq(dialarc_tdc_from_pairs(NULL, 2, x, y, 0.1, 0.1, &tdc),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_tdc_from_pairs(&offset, 2, NULL, y, 0.1, 0.1, &tdc),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_tdc_from_pairs(&offset, 2, x, NULL, 0.1, 0.1, &tdc),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_tdc_from_pairs(&offset, 2, x, y, 0.1, 0.1, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_tdc_from_pairs(&offset, 0, NULL, NULL, 0.1, 0.1, &tdc),
                     DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_tdc_from_pairs(&offset, 2, x, y, nan, 0.1, &tdc),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_tdc_from_pairs(&offset, 2, x, y, 0.1, nan, &tdc),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_tdc_from_pairs(&offset, 2, x, y, -0.1, 0.1, &tdc),
                     DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_tdc_from_pairs(&offset, 2, x, y, 0.1, -0.1, &tdc),
                     DIALARC_ERR_SD);
    y[1] = -30.0;
    ck_assert_int_eq(dialarc_tdc_from_pairs(&offset, 2, x, y, 0.1, 0.1, &tdc),
                     DIALARC_ERR_ANGLE);
    y[1] = nan;
    ck_assert_int_eq(dialarc_tdc_from_pairs(&offset, 2, x, y, 0.1, 0.1, &tdc),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(tdc.wheel_deg, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("tdc");
    TCase *tests = tcase_create("tdc");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, results_agree_with_published_values);
    tcase_add_test(tests, wheel_may_start_anywhere);
    tcase_add_test(tests, stop_error_is_that_of_the_crank);
    tcase_add_test(tests, pairs_give_tdc_and_its_uncertainty);
    tcase_add_test(tests, an_uncertain_height_is_enough);
    tcase_add_test(tests, scatter_stands_in_for_unknown_uncertainties);
    tcase_add_test(tests, mark_error_becomes_lift_error);
    tcase_add_test(tests, bad_lift_arguments_are_refused);
    tcase_add_test(tests, bad_stops_are_refused);
    tcase_add_test(tests, bad_pairs_are_refused);
    return darc_run(suite);
}
