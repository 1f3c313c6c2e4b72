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
        /* exchanged they would give BDC */
        ck_assert_int_eq(dialarc_tdc_from_stops(start + 20.0, start - 20.0, &tdc),
                         DIALARC_ERR_CONTACTS);
        ck_assert_double_eq_tol(remainder(tdc - expected, 360.0), 0.0, 1e-12);
        dialarc_tdc_stop_error(&offset, start - 20.0, start + 20.0, &error);
        ck_assert_double_eq_tol(error, at_zero, 1e-12);
    }
}
END_TEST

/* Contacts found by the crank itself: the corrected midpoint is TDC at any height. */
START_TEST(stop_error_is_that_of_the_crank)
{
    for (double drop = 0.01; drop < 30.0; drop *= 1.5) {
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

/* Simulated pairs: the mean finds TDC, its sd is honest and the scatter near 1. Pairs
 * that disagree by chance widen it a little, so it may be timid, by a tenth at most. */
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
        inside += fabs(remainder(tdc.wheel_deg - truth, 360.0)) <= tdc.u_deg;
        squares += error * error;
        scatter += tdc.scatter * tdc.scatter;
    }
    /* four sd of a share of 0.95 and of a mean square of 1 */
    ck_assert_double_ge(inside / RUNS, 0.95 - 4.0 * sqrt(0.95 * 0.05 / RUNS));
    ck_assert_double_le(inside / RUNS, 0.98);
    ck_assert_double_le(squares / RUNS, 1.0 + 4.0 * sqrt(2.0 / RUNS));
    ck_assert_double_ge(squares / RUNS, 0.8);
    ck_assert_double_eq_tol(scatter / RUNS, 1.0, 4.0 * sqrt(2.0 / (N - 1) / RUNS));
    gsl_rng_free(rng);
}
END_TEST

/* What simulated pairs of a centred crank came to: share of truths within u_deg. */
static double covered(gsl_rng *rng, int n, double stated_sd, double real_sd)
{
    enum { RUNS = 2000 };
    const dialarc_crank centred = {40.0, 120.0, 0.0};
    int inside = 0;
    for (int run = 0; run < RUNS; run++) {
        double before[10], after[10];
        for (int i = 0; i < n; i++) {
            double slip = gsl_ran_gaussian(rng, real_sd); /* of the pair, both alike */
            before[i] = -20.0 - i + slip + gsl_ran_gaussian(rng, stated_sd);
            after[i] = 20.0 + i + slip + gsl_ran_gaussian(rng, stated_sd);
        }
        dialarc_tdc tdc;
        ck_assert_int_eq(dialarc_tdc_from_pairs(&centred, (size_t)n, before, after,
                                                stated_sd, 0.0, &tdc),
                         DIALARC_OK);
        inside += fabs(tdc.wheel_deg) <= tdc.u_deg;
    }
    return (double)inside / RUNS;
}

/* Pairs that scatter by more than is stated: u_deg holds the truth all the same, in 93 of
 * 100 cases at least, less four sd of that share. A seeded simulation. */
START_TEST(pairs_that_disagree_are_no_surer_than_they_agree)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 32);
    const double real[] = {0.0, 0.1, 0.3, 3.0};
    const int number[] = {3, 4, 6, 10};
    for (int k = 0; k < 4; k++)
        for (int j = 0; j < 4; j++)
            ck_assert_double_ge(covered(rng, number[j], 0.1, real[k]),
                                0.93 - 4.0 * sqrt(0.93 * 0.07 / 2000.0));
    gsl_rng_free(rng);
}
END_TEST

/* One of six pairs 10 degrees off: the mean is 10/6 off, and says that it may be. Equal
 * variances: excess^2 = s^2 - v by hand, s^2 = 100/6, v = 0.1^2/2. */
START_TEST(one_pair_in_error_widens_the_result)
{
    const dialarc_crank centred = {40.0, 120.0, 0.0};
    const double before[] = {-20, -21, -22, -23, -24, -15};
    const double after[] = {20, 21, 22, 23, 24, 35};
    dialarc_tdc tdc;
    ck_assert_int_eq(dialarc_tdc_from_pairs(&centred, 6, before, after, 0.1, 0.0, &tdc),
                     DIALARC_OK);
    ck_assert_double_eq_tol(tdc.wheel_deg, 10.0 / 6.0, 1e-12);
    ck_assert_double_eq_tol(tdc.excess_sd_deg, sqrt(100.0 / 6.0 - 0.005), 1e-10);
    ck_assert_double_eq_tol(tdc.sd_deg, 10.0 / 6.0, 1e-10);
    ck_assert_double_eq(tdc.dof, 5.0);
    /* t of 5 degrees of freedom, JCGM 100:2008, table G.2 */
    ck_assert_double_eq_tol(tdc.u_deg, 2.57 * tdc.sd_deg, 0.005 * tdc.sd_deg);
    ck_assert_double_gt(tdc.scatter, 50.0);
}
END_TEST

/* Unequal variances: the excess makes the weighted squares n - 1, computed anew. */
START_TEST(the_excess_makes_the_pairs_agree)
{
    const dialarc_crank centred = {40.0, 120.0, 0.0};
    const double before[] = {-3, -10, -30, -60}, after[] = {3.4, 10.1, 30.9, 59.7};
    dialarc_tdc tdc;
    double weights = 0.0, sum = 0.0, squares = 0.0, w[4];
    ck_assert_int_eq(dialarc_tdc_from_pairs(&centred, 4, before, after, 0.05, 0.01, &tdc),
                     DIALARC_OK);
    for (int i = 0; i < 4; i++) {
        dialarc_crank_motion m;
        dialarc_crank_motion_at(&centred, 0.5 * (after[i] - before[i]), &m);
        double v = 0.5 * (0.05 * 0.05 + pow(0.01 / m.rate_mm_per_crank_deg, 2));
        w[i] = 1.0 / (v + tdc.excess_sd_deg * tdc.excess_sd_deg);
        weights += w[i];
        sum += w[i] * 0.5 * (before[i] + after[i]);
    }
    for (int i = 0; i < 4; i++)
        squares += w[i] * pow(0.5 * (before[i] + after[i]) - sum / weights, 2);
    ck_assert_double_gt(tdc.excess_sd_deg, 0.05);
    ck_assert_double_eq_tol(squares, 3.0, 1e-9);
    ck_assert_double_eq_tol(tdc.wheel_deg, sum / weights, 1e-12);
    ck_assert_double_eq_tol(tdc.sd_deg, 1.0 / sqrt(weights), 1e-12);
}
END_TEST

/* A stop whose height nobody knows: both contacts share it, and it cancels. */
START_TEST(the_height_of_a_stop_cancels)
{
    for (double drop = 2.0; drop < 6.0; drop += 0.7) {
        double before, after;
        dialarc_tdc tdc;
        dialarc_crank_angle_at_drop(&offset, drop, DIALARC_SIDE_BEFORE, &before);
        dialarc_crank_angle_at_drop(&offset, drop, DIALARC_SIDE_AFTER, &after);
        ck_assert_int_eq(
            dialarc_tdc_from_pairs(&offset, 1, &before, &after, 0.1, 0.0, &tdc),
            DIALARC_OK);
        ck_assert_double_eq_tol(tdc.wheel_deg, 0.0, 1e-12);
        ck_assert_double_eq_tol(tdc.sd_deg, 0.1 / sqrt(2.0), 1e-15);
        ck_assert_double_eq(tdc.dof, 0.0);
    }
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
    const dialarc_cam cam = {4, 2.2, 35.0, 5.0, 10.0, DIALARC_LAW_CYCLOIDAL,
                             0, 0.0, NULL};
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
    const dialarc_cam cam = {4, 2.2, 35.0, 5.0, 10.0, DIALARC_LAW_CYCLOIDAL,
                             0, 0.0, NULL};
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
    dialarc_tdc tdc = {.wheel_deg = UNTOUCHED};
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
    y[1] = -40.0;
    ck_assert_int_eq(dialarc_tdc_from_pairs(&offset, 2, x, y, 0.1, 0.1, &tdc),
                     DIALARC_ERR_CONTACTS);
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
    tcase_add_test(tests, pairs_that_disagree_are_no_surer_than_they_agree);
    tcase_add_test(tests, one_pair_in_error_widens_the_result);
    tcase_add_test(tests, the_excess_makes_the_pairs_agree);
    tcase_add_test(tests, the_height_of_a_stop_cancels);
    tcase_add_test(tests, an_uncertain_height_is_enough);
    tcase_add_test(tests, scatter_stands_in_for_unknown_uncertainties);
    tcase_add_test(tests, mark_error_becomes_lift_error);
    tcase_add_test(tests, bad_lift_arguments_are_refused);
    tcase_add_test(tests, bad_stops_are_refused);
    tcase_add_test(tests, bad_pairs_are_refused);
    return darc_run(suite);
}
