/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/tooth.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>

#include "kit/check_main.h"

#define UNTOUCHED 12345

static const dialarc_cam cam = {4, 2.2, 35.0, 5.0, 10.0, DIALARC_LAW_MODIFIED_SINE,
                                0, 0.0, NULL};

static dialarc_tooth from_advance(double error, double sd, double tooth_deg)
{
    dialarc_tooth t = {.teeth = UNTOUCHED};
    ck_assert_int_eq(dialarc_tooth_from_advance(error, sd, tooth_deg, 1.5, 0.02, &t),
                     DIALARC_OK);
    return t;
}

static dialarc_tooth from_lift(double lift_mm, dialarc_flank flank)
{
    dialarc_tooth t = {.teeth = UNTOUCHED};
    ck_assert_int_eq(
        dialarc_tooth_from_lift(&cam, 0.87, lift_mm, 0.01, flank, 9.0, 0.75, 0.02, &t),
        DIALARC_OK);
    return t;
}

/* Nine in ten settings err by sd, one in ten by three times that: by GSL's density. */
static double mixture(double error, double sd, double setting_sd)
{
    return 0.9 * gsl_ran_gaussian_pdf(error, hypot(sd, setting_sd)) +
           0.1 * gsl_ran_gaussian_pdf(error, hypot(sd, 3.0 * setting_sd));
}

static double prior(int k)
{
    return 0.99 * (k == 0 ? 0.98 : 0.02 * pow(0.5, abs(k) + 1.0));
}

/* What the parts of a sum over all explanations come to, the last of them neither. */
static void check_bayes(const double *part, const dialarc_tooth *t)
{
    double sum = part[2 * DIALARC_TOOTH_MAX + 1], most = 0.0,
           none = part[DIALARC_TOOTH_MAX];
    for (int i = 0; i <= 2 * DIALARC_TOOTH_MAX; i++) {
        sum += part[i];
        most = fmax(most, part[i]);
    }
    double neither = part[2 * DIALARC_TOOTH_MAX + 1] / sum;
    ck_assert_double_eq_tol(t->probability, most / sum, 2e-4);
    ck_assert_double_eq_tol(t->probability_neither, neither, 2e-4);
    ck_assert_double_eq_tol(t->probability_jumped, 1.0 - none / sum - neither, 2e-4);
    ck_assert_double_eq_tol(part[t->teeth + DIALARC_TOOTH_MAX], most, 1e-3 * most);
}

/* Bayes' rule written out. */
START_TEST(probabilities_of_an_advance_follow_bayes)
{
    for (double error = -40.0; error <= 40.0; error += 2.9) {
        double part[2 * DIALARC_TOOTH_MAX + 2];
        for (int k = -DIALARC_TOOTH_MAX; k <= DIALARC_TOOTH_MAX; k++)
            part[k + DIALARC_TOOTH_MAX] = prior(k) * mixture(error - 18.0 * k, 0.2, 1.5);
        part[2 * DIALARC_TOOTH_MAX + 1] = 0.01 / (17.0 * 18.0);
        dialarc_tooth t = from_advance(error, 0.2, 18.0);
        check_bayes(part, &t);
    }
}
END_TEST

/* The same for a lift, by the trapezoidal rule over every angle of the cam. */
START_TEST(probabilities_of_a_lift_follow_bayes)
{
    const double step = 0.0025, lifts[] = {0.02, 0.2, 0.5, 0.87, 1.3, 2.1, 2.19};
    double at;
    dialarc_cam_angle_at_lift(&cam, 0.87, DIALARC_FLANK_RISING, &at);
    for (int n = 0; n < 14; n++) {
        double part[2 * DIALARC_TOOTH_MAX + 2] = {0.0}, lift = lifts[n / 2],
                                            sign = n % 2 ? -1 : 1;
        for (double deg = -90.0; deg < 180.0; deg += step) {
            double l, rate;
            dialarc_cam_lift(&cam, deg, &l);
            dialarc_cam_rate(&cam, deg, &rate);
            if (!(rate * sign > 0.0) || fabs(l - lift) > 0.05)
                continue;
            double seen = step * gsl_ran_gaussian_pdf(lift - l, 0.01);
            for (int k = -4; k <= 4; k++)
                part[k + DIALARC_TOOTH_MAX] +=
                    seen * prior(k) * mixture(deg - at - 9.0 * k, 0, 0.75);
            if (deg >= 0.0 && deg < 90.0)
                part[2 * DIALARC_TOOTH_MAX + 1] += seen * 0.01 / 90.0;
        }
        dialarc_tooth t =
            from_lift(lift, n % 2 ? DIALARC_FLANK_FALLING : DIALARC_FLANK_RISING);
        check_bayes(part, &t);
    }
}
END_TEST

START_TEST(whole_teeth_are_told_from_adjustments)
{
    ck_assert_int_eq(from_advance(0.0, 0.2, 18.0).teeth, 0);
    ck_assert_int_eq(from_advance(3.0, 0.2, 18.0).teeth, 0);
    ck_assert_double_gt(from_advance(3.0, 0.2, 18.0).probability, 0.99);
    ck_assert_int_eq(from_advance(18.5, 0.2, 18.0).teeth, 1);
    ck_assert_int_eq(from_advance(-17.0, 0.2, 18.0).teeth, -1);
    ck_assert_double_gt(from_advance(-17.0, 0.2, 18.0).probability_jumped, 0.95);
    ck_assert_int_eq(from_advance(35.0, 0.2, 18.0).teeth, 2);
    /* fine teeth and a poor measurement: a tooth is not seen */
    ck_assert_int_eq(from_advance(4.0, 3.0, 4.0).teeth, 0);
    ck_assert_double_gt(from_advance(4.0, 3.0, 4.0).probability_jumped, 0.005);
}
END_TEST

/* Six tenths of a tooth, where settings err by less: none of these. Five teeth late was
 * the answer, by a lift on the other flank, and surely. */
START_TEST(what_is_neither_is_said_to_be_neither)
{
    dialarc_tooth t;
    double at, lift;
    ck_assert_int_eq(dialarc_tooth_from_advance(10.8, 0.2, 18.0, 0.7, 0.02, &t),
                     DIALARC_OK);
    ck_assert_double_gt(t.probability_neither, 0.9);
    ck_assert_int_eq(dialarc_tooth_from_advance(0.5, 0.2, 18.0, 0.7, 0.02, &t),
                     DIALARC_OK);
    ck_assert_double_lt(t.probability_neither, 0.01);
    dialarc_cam_angle_at_lift(&cam, 0.87, DIALARC_FLANK_RISING, &at);
    for (double part = -0.8; part < 0.9; part += 0.1) {
        dialarc_cam_lift(&cam, at + 8.2 * part, &lift);
        ck_assert_int_eq(dialarc_tooth_from_lift(&cam, 0.87, lift, 0.01,
                                                 DIALARC_FLANK_RISING, 8.2, 0.3, 0.02,
                                                 &t),
                         DIALARC_OK);
        ck_assert_int_le(abs(t.teeth), 1);
        if (fabs(fabs(part) - 0.55) < 0.1)
            ck_assert_double_gt(t.probability_neither, 0.8);
    }
}
END_TEST

/* Lifts that the cam has one tooth off, and on the other flank. */
START_TEST(lifts_are_judged_by_the_cam)
{
    double at, early, late, past;
    dialarc_cam_angle_at_lift(&cam, 0.87, DIALARC_FLANK_RISING, &at);
    dialarc_cam_lift(&cam, at + 9.0, &early);
    dialarc_cam_lift(&cam, at - 9.0, &late);
    dialarc_cam_lift(&cam, at + 36.0, &past);
    ck_assert_int_eq(from_lift(0.87, DIALARC_FLANK_RISING).teeth, 0);
    ck_assert_int_eq(from_lift(0.95, DIALARC_FLANK_RISING).teeth, 0);
    ck_assert_int_eq(from_lift(early, DIALARC_FLANK_RISING).teeth, 1);
    ck_assert_int_eq(from_lift(late, DIALARC_FLANK_RISING).teeth, -1);
    ck_assert_int_eq(from_lift(past, DIALARC_FLANK_FALLING).teeth, 4);
    ck_assert_double_gt(from_lift(late, DIALARC_FLANK_RISING).probability, 0.8);
    ck_assert_double_gt(from_lift(0.87, DIALARC_FLANK_RISING).probability, 0.99);
}
END_TEST

/* An error as the doc block describes errors; the teeth, or UNTOUCHED for neither. */
static int draw_error(gsl_rng *rng, double tooth, double setting_sd, double *error)
{
    int teeth = 0;
    if (gsl_rng_uniform(rng) < 0.01) {
        *error = tooth * 17.0 * (gsl_rng_uniform(rng) - 0.5);
        return UNTOUCHED;
    }
    if (gsl_rng_uniform(rng) < 0.1) {
        do
            teeth++;
        while (gsl_rng_uniform(rng) < 0.5);
        teeth = gsl_rng_uniform(rng) < 0.5 ? -teeth : teeth;
    }
    double wide = gsl_rng_uniform(rng) < 0.1 ? 3.0 : 1.0;
    *error = tooth * teeth + gsl_ran_gaussian(rng, wide * setting_sd);
    return teeth;
}

/* Simulated pumps, one in ten a tooth out: the stated probabilities are kept. */
START_TEST(probability_is_honest)
{
    enum { RUNS = 40000 };
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 81);
    double right = 0.0, claimed = 0.0, neither = 0.0, said = 0.0;
    for (int run = 0; run < RUNS; run++) {
        double error;
        int teeth = draw_error(rng, 8.0, 2.5, &error);
        dialarc_tooth t;
        ck_assert_int_eq(dialarc_tooth_from_advance(error + gsl_ran_gaussian(rng, 0.5),
                                                    0.5, 8.0, 2.5, 0.1, &t),
                         DIALARC_OK);
        right += t.teeth == teeth;
        claimed += t.probability;
        neither += teeth == UNTOUCHED;
        said += t.probability_neither;
    }
    ck_assert_double_eq_tol(right / RUNS, claimed / RUNS, 4.0 * 0.25 / sqrt(RUNS));
    ck_assert_double_eq_tol(neither / RUNS, said / RUNS, 4.0 * 0.1 / sqrt(RUNS));
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
        dialarc_tooth t = {.teeth = UNTOUCHED};
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
        dialarc_tooth t = {.teeth = UNTOUCHED};
        ck_assert_int_eq(dialarc_tooth_from_lift(&cam, cases[i].target, cases[i].lift,
                                                 cases[i].sd, DIALARC_FLANK_RISING,
                                                 cases[i].tooth, 0.75, 0.02, &t),
                         cases[i].status);
        ck_assert_int_eq(t.teeth == UNTOUCHED, cases[i].status != DIALARC_OK);
        ck_assert(isfinite(t.probability));
    }
    dialarc_tooth t;
    ck_assert_int_eq(dialarc_tooth_from_lift(NULL, 0.87, 0.9, 0.01, DIALARC_FLANK_RISING,
                                             9.0, 0.7, 0.02, &t),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_tooth_from_lift(&cam, 0.87, 0.9, 0.01, DIALARC_FLANK_RISING,
                                             9.0, 0.7, 0.02, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_tooth_from_lift(&cam, 0.87, 0.9, 0.01, (dialarc_flank)0, 9.0,
                                             0.7, 0.02, &t),
                     DIALARC_ERR_FLANK);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("tooth");
    TCase *tests = tcase_create("tooth");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, probabilities_of_an_advance_follow_bayes);
    tcase_add_test(tests, probabilities_of_a_lift_follow_bayes);
    tcase_add_test(tests, what_is_neither_is_said_to_be_neither);
    tcase_add_test(tests, whole_teeth_are_told_from_adjustments);
    tcase_add_test(tests, lifts_are_judged_by_the_cam);
    tcase_add_test(tests, probability_is_honest);
    tcase_add_test(tests, bad_advance_arguments_are_refused);
    tcase_add_test(tests, bad_lift_arguments_are_refused);
    return darc_run(suite);
}
