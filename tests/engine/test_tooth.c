/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/tooth.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>

#include "kit/check_main.h"

#define UNTOUCHED 12345

static const dialarc_cam cam = {4, 2.2, 35.0, 5.0, 10.0, DIALARC_LAW_MODIFIED_SINE,
                                0, 0.0};

static dialarc_tooth from_advance(double error, double sd, double tooth_deg)
{
    dialarc_tooth t = {UNTOUCHED, 0.0, 0.0};
    ck_assert_int_eq(dialarc_tooth_from_advance(error, sd, tooth_deg, 1.5, 0.02, &t),
                     DIALARC_OK);
    return t;
}

static dialarc_tooth from_lift(double lift_mm)
{
    dialarc_tooth t = {UNTOUCHED, 0.0, 0.0};
    ck_assert_int_eq(
        dialarc_tooth_from_lift(&cam, 0.87, lift_mm, 0.01, 9.0, 0.75, 0.02, &t),
        DIALARC_OK);
    return t;
}

/* Bayes' rule against GSL's normal density, with two teeth to choose from. */
START_TEST(probabilities_follow_bayes)
{
    const double error = 8.0, tooth_deg = 18.0, sd = hypot(0.2, 1.5);
    double sum = 0.0, one = 0.0, none = 0.0;
    for (int k = -DIALARC_TOOTH_MAX; k <= DIALARC_TOOTH_MAX; k++) {
        double prior = k == 0 ? 0.98 : 0.02 * pow(0.5, abs(k) + 1.0);
        double part = prior * gsl_ran_gaussian_pdf(error - k * tooth_deg, sd);
        sum += part;
        one += k == 1 ? part : 0.0;
        none += k == 0 ? part : 0.0;
    }
    dialarc_tooth t = from_advance(error, 0.2, tooth_deg);
    ck_assert_int_eq(t.teeth, one > none ? 1 : 0);
    ck_assert_double_eq_tol(t.probability, fmax(one, none) / sum, 1e-12);
    ck_assert_double_eq_tol(t.probability_jumped, 1.0 - none / sum, 1e-12);
}
END_TEST

START_TEST(whole_teeth_are_told_from_adjustments)
{
    ck_assert_int_eq(from_advance(0.0, 0.2, 18.0).teeth, 0);
    ck_assert_int_eq(from_advance(3.0, 0.2, 18.0).teeth, 0);
    ck_assert_double_gt(from_advance(3.0, 0.2, 18.0).probability, 0.999);
    ck_assert_int_eq(from_advance(18.5, 0.2, 18.0).teeth, 1);
    ck_assert_int_eq(from_advance(-17.0, 0.2, 18.0).teeth, -1);
    ck_assert_double_gt(from_advance(-17.0, 0.2, 18.0).probability_jumped, 0.999);
    ck_assert_int_eq(from_advance(35.0, 0.2, 18.0).teeth, 2);
    ck_assert_double_lt(from_advance(9.0, 0.2, 18.0).probability, 0.999);
    /* fine teeth and a poor measurement: a tooth is not seen */
    ck_assert_int_eq(from_advance(4.0, 3.0, 4.0).teeth, 0);
    ck_assert_double_gt(from_advance(4.0, 3.0, 4.0).probability_jumped, 0.005);
}
END_TEST

/* Lifts that the cam has one tooth off, and lifts that it has not. */
START_TEST(lifts_are_judged_by_the_cam)
{
    double at, early, late;
    dialarc_cam_angle_at_lift(&cam, 0.87, DIALARC_FLANK_RISING, &at);
    dialarc_cam_lift(&cam, at + 9.0, &early);
    dialarc_cam_lift(&cam, at - 9.0, &late);
    ck_assert_int_eq(from_lift(0.87).teeth, 0);
    ck_assert_int_eq(from_lift(0.95).teeth, 0);
    ck_assert_int_eq(from_lift(early).teeth, 1);
    ck_assert_int_eq(from_lift(late).teeth, -1);
    ck_assert_double_gt(from_lift(late).probability, 0.9);
    ck_assert_double_gt(from_lift(0.87).probability, 0.99);
}
END_TEST

/* Simulated pumps, one in ten a tooth out: the stated probability is kept. */
START_TEST(probability_is_honest)
{
    enum { RUNS = 20000 };
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 81);
    double right = 0.0, claimed = 0.0;
    for (int run = 0; run < RUNS; run++) {
        double p = gsl_rng_uniform(rng);
        int teeth = 0;
        if (p < 0.1) {
            for (teeth = 1; gsl_rng_uniform(rng) < 0.5; teeth++)
                ;
            teeth = p < 0.05 ? -teeth : teeth;
        }
        double error = 8.0 * teeth + gsl_ran_gaussian(rng, hypot(0.5, 2.5));
        dialarc_tooth t;
        if (fabs(error) > 720.0 || abs(teeth) > DIALARC_TOOTH_MAX)
            continue;
        ck_assert_int_eq(dialarc_tooth_from_advance(error, 0.5, 8.0, 2.5, 0.1, &t),
                         DIALARC_OK);
        right += t.teeth == teeth;
        claimed += t.probability;
    }
    ck_assert_double_eq_tol(right / RUNS, claimed / RUNS, 4.0 * 0.25 / sqrt(RUNS));
    gsl_rng_free(rng);
}
END_TEST

START_TEST(bad_advance_arguments_are_refused)
{
    const double nan = (double)NAN;
    const struct {
        double error, sd, tooth, setting_sd, probability;
        dialarc_status status;
    } cases[] = {
        {nan, 0.2, 18.0, 1.5, 0.02, DIALARC_ERR_NOT_FINITE},
        {1.0, nan, 18.0, 1.5, 0.02, DIALARC_ERR_NOT_FINITE},
        {1.0, 0.2, nan, 1.5, 0.02, DIALARC_ERR_NOT_FINITE},
        {1.0, 0.2, 18.0, nan, 0.02, DIALARC_ERR_NOT_FINITE},
        {1.0, 0.2, 18.0, 1.5, nan, DIALARC_ERR_NOT_FINITE},
        {1.0, -0.2, 18.0, 1.5, 0.02, DIALARC_ERR_SD},
        {1.0, 0.2, 18.0, -1.5, 0.02, DIALARC_ERR_SD},
        {1.0, 0.0, 18.0, 0.0, 0.02, DIALARC_ERR_SD},
        {1.0, 0.2, 18.0, 1e200, 0.02, DIALARC_ERR_SD},
        {1.0, 0.2, 0.0, 1.5, 0.02, DIALARC_ERR_ANGLE},
        {1.0, 0.2, 721.0, 1.5, 0.02, DIALARC_ERR_ANGLE},
        {-721.0, 0.2, 18.0, 1.5, 0.02, DIALARC_ERR_ANGLE},
        {1.0, 0.2, 18.0, 1.5, 0.0, DIALARC_ERR_PROBABILITY},
        {1.0, 0.2, 18.0, 1.5, 1.0, DIALARC_ERR_PROBABILITY},
        {720.0, 1e-12, 1e-9, 0.0, 0.02, DIALARC_OK},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        dialarc_tooth t = {UNTOUCHED, 0.0, 0.0};
        ck_assert_int_eq(dialarc_tooth_from_advance(cases[i].error, cases[i].sd,
                                                    cases[i].tooth, cases[i].setting_sd,
                                                    cases[i].probability, &t),
                         cases[i].status);
        ck_assert_int_eq(t.teeth == UNTOUCHED, cases[i].status != DIALARC_OK);
        ck_assert(isfinite(t.probability));
    }
    ck_assert_int_eq(dialarc_tooth_from_advance(1.0, 0.2, 18.0, 1.5, 0.02, NULL),
                     DIALARC_ERR_NULL);
}
END_TEST

START_TEST(bad_lift_arguments_are_refused)
{
    const double nan = (double)NAN;
    const struct {
        double target, lift, sd, tooth;
        dialarc_status status;
    } cases[] = {
        {nan, 0.9, 0.01, 9.0, DIALARC_ERR_NOT_FINITE},
        {0.87, nan, 0.01, 9.0, DIALARC_ERR_NOT_FINITE},
        {2.3, 0.9, 0.01, 9.0, DIALARC_ERR_LIFT},
        {0.87, 2.3, 0.01, 9.0, DIALARC_ERR_LIFT},
        {0.87, -0.1, 0.01, 9.0, DIALARC_ERR_LIFT},
        {0.87, 0.9, 0.0, 9.0, DIALARC_ERR_SD},
        {0.87, 0.9, 0.01, -9.0, DIALARC_ERR_ANGLE},
        {0.87, 0.9, 1e-12, 9.0, DIALARC_OK},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        dialarc_tooth t = {UNTOUCHED, 0.0, 0.0};
        ck_assert_int_eq(dialarc_tooth_from_lift(&cam, cases[i].target, cases[i].lift,
                                                 cases[i].sd, cases[i].tooth, 0.75, 0.02,
                                                 &t),
                         cases[i].status);
        ck_assert_int_eq(t.teeth == UNTOUCHED, cases[i].status != DIALARC_OK);
        ck_assert(isfinite(t.probability));
    }
    dialarc_tooth t;
    ck_assert_int_eq(dialarc_tooth_from_lift(NULL, 0.87, 0.9, 0.01, 9.0, 0.7, 0.02, &t),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_tooth_from_lift(&cam, 0.87, 0.9, 0.01, 9.0, 0.7, 0.02, NULL),
                     DIALARC_ERR_NULL);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("tooth");
    TCase *tests = tcase_create("tooth");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, probabilities_follow_bayes);
    tcase_add_test(tests, whole_teeth_are_told_from_adjustments);
    tcase_add_test(tests, lifts_are_judged_by_the_cam);
    tcase_add_test(tests, probability_is_honest);
    tcase_add_test(tests, bad_advance_arguments_are_refused);
    tcase_add_test(tests, bad_lift_arguments_are_refused);
    return darc_run(suite);
}
