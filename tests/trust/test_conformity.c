/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/conformity.h>
#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"
#include "kit/simulate.h"

static void check(const char *quantity, double computed)
{
    refdata *table = refdata_open("conformity.csv");
    refdata_check(table, refdata_find(table, "quantity", quantity), computed);
    refdata_close(table);
}

static double inside(double mean, double sd, double low, double high)
{
    double p = NAN;
    ck_assert_int_eq(dialarc_conformity_probability(mean, sd, low, high, &p), DIALARC_OK);
    return p;
}

static dialarc_risks risks_of(dialarc_inspection inspection)
{
    dialarc_risks risks = {NAN, NAN};
    ck_assert_int_eq(dialarc_conformity_risks(&inspection, &risks), DIALARC_OK);
    return risks;
}

START_TEST(quantiles_of_the_guide)
{
    refdata *table = refdata_open("conformity.csv");
    int seen = 0;
    for (size_t row = 0; row < refdata_rows(table); row++) {
        const char *quantity = refdata_text(table, row, "quantity");
        double z;
        if (strcmp(quantity, "z") != 0 && strcmp(quantity, "iso_14253_factor") != 0)
            continue;
        double p = refdata_number(table, row, "probability");
        ck_assert_int_eq(dialarc_conformity_z(p, &z), DIALARC_OK);
        refdata_check(table, row, z);
        ck_assert_int_eq(dialarc_conformity_guard_band(p, 0.02, &z), DIALARC_OK);
        refdata_check(table, row, z / 0.02);
        seen++;
    }
    refdata_close(table);
    ck_assert_int_eq(seen, 6);
}
END_TEST

START_TEST(probability_between_limits)
{
    /* One limit, guard band of two sd: the other limit is out of sight. */
    check("conformity_at_guard_band_2u", inside(0.90 - 0.01, 0.005, 0.0, 0.90));
    ck_assert_double_eq_tol(inside(0.875, 0.0125, 0.85, 0.90), 0.954499736103642, 1e-14);
    ck_assert_double_eq_tol(inside(0.90, 0.001, 0.85, 0.90), 0.5, 1e-15);
    /* Far outside the digits stay: Phi(-9) - Phi(-10), recomputed. */
    double far = inside(-9.0, 1.0, 0.0, 1.0);
    ck_assert_double_eq_tol(far / 1.128588405953840648e-19, 1.0 - 6.7518e-5, 1e-8);
    ck_assert_double_eq_tol(inside(10.0, 1.0, 0.0, 1.0) / far, 1.0, 1e-12);
}
END_TEST

START_TEST(three_probabilities_make_one)
{
    dialarc_conformity c;
    for (double mean = -3.0; mean < 4.0; mean += 0.37)
        for (double sd = 0.01; sd < 10.0; sd *= 3.0) {
            ck_assert_int_eq(dialarc_conformity_split(mean, sd, 0.0, 1.0, &c),
                             DIALARC_OK);
            ck_assert_double_eq_tol(c.below + c.inside + c.above, 1.0, 1e-14);
            ck_assert_double_eq(c.inside, inside(mean, sd, 0.0, 1.0));
            ck_assert_double_eq_tol(c.below, gsl_cdf_gaussian_P(-mean, sd), 1e-15);
            ck_assert_double_eq_tol(c.above, gsl_cdf_gaussian_Q(1.0 - mean, sd), 1e-15);
        }
}
END_TEST

START_TEST(without_uncertainty_a_limit_is_inside)
{
    dialarc_conformity c;
    ck_assert_double_eq(inside(0.85, 0.0, 0.85, 0.90), 1.0);
    ck_assert_double_eq(inside(0.90, 0.0, 0.85, 0.90), 1.0);
    ck_assert_int_eq(dialarc_conformity_split(0.84, 0.0, 0.85, 0.90, &c), DIALARC_OK);
    ck_assert(c.below == 1.0 && c.inside == 0.0 && c.above == 0.0);
    ck_assert_int_eq(dialarc_conformity_split(0.91, 0.0, 0.85, 0.90, &c), DIALARC_OK);
    ck_assert(c.below == 0.0 && c.inside == 0.0 && c.above == 1.0);
}
END_TEST

START_TEST(bad_input_is_refused)
{
    double p = -7.0;
    dialarc_conformity c;
    ck_assert_int_eq(dialarc_conformity_probability(0, 1, 0, 1, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_conformity_split(0, 1, 0, 1, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_conformity_z(0.9, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_conformity_guard_band(0.9, 1, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_conformity_probability(0, -1, 0, 1, &p), DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_conformity_probability(0, 1, 1, 1, &p), DIALARC_ERR_WINDOW);
    ck_assert_int_eq(dialarc_conformity_split(0, 1, 1, 0, &c), DIALARC_ERR_WINDOW);
    for (int k = 0; k < 4; k++) {
        double x[4] = {0.0, 1.0, 0.0, 1.0};
        x[k] = k % 2 ? NAN : INFINITY;
        ck_assert_int_eq(dialarc_conformity_probability(x[0], x[1], x[2], x[3], &p),
                         DIALARC_ERR_NOT_FINITE);
        ck_assert_int_eq(dialarc_conformity_split(x[0], x[1], x[2], x[3], &c),
                         DIALARC_ERR_NOT_FINITE);
    }
    ck_assert_int_eq(dialarc_conformity_z(NAN, &p), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_conformity_z(1.0, &p), DIALARC_ERR_PROBABILITY);
    ck_assert_int_eq(dialarc_conformity_guard_band(0.0, 1, &p), DIALARC_ERR_PROBABILITY);
    ck_assert_int_eq(dialarc_conformity_guard_band(0.9, -1, &p), DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_conformity_guard_band(0.9, NAN, &p), DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(p, -7.0);
}
END_TEST

START_TEST(arrays)
{
    const double mean[] = {0.85, 0.87, 0.95}, sd[] = {0.01, 0.02, 0.0},
                 bad[] = {0, -1, 0};
    double p[3] = {-7, -7, -7};
    ck_assert_int_eq(dialarc_conformity_probabilities(0, NULL, NULL, 0, 1, NULL),
                     DIALARC_OK);
    ck_assert_int_eq(dialarc_conformity_probabilities(0, NULL, NULL, 1, 0, NULL),
                     DIALARC_ERR_WINDOW);
    ck_assert_int_eq(dialarc_conformity_probabilities(3, mean, NULL, 0, 1, p),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_conformity_probabilities(3, NULL, sd, 0, 1, p),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_conformity_probabilities(3, mean, sd, 0, 1, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_conformity_probabilities(3, mean, bad, 0, 1, p),
                     DIALARC_ERR_SD);
    ck_assert_double_eq(p[0], -7.0);
    ck_assert_int_eq(dialarc_conformity_probabilities(3, mean, sd, 0.85, 0.9, p),
                     DIALARC_OK);
    for (int i = 0; i < 3; i++)
        ck_assert_double_eq(p[i], inside(mean[i], sd[i], 0.85, 0.9));
}
END_TEST

START_TEST(published_risks)
{
    dialarc_risks r = risks_of((dialarc_inspection){0.0, 4.0, 1.0, -8.0, 8.0, 0.0});
    check("deaver_false_accept", r.consumer);
    check("deaver_false_reject", r.producer);
    check("deaver_false_accept_printed", r.consumer);
    check("deaver_false_reject_printed", r.producer);
}
END_TEST

START_TEST(risks_move_as_they_must)
{
    dialarc_inspection base = {0.0, 4.0, 1.0, -8.0, 8.0, 0.0}, i = base;
    dialarc_risks r0 = risks_of(base), r;
    i.guard = 1.65;
    r = risks_of(i);
    ck_assert(r.consumer < 0.1 * r0.consumer && r.producer > 2.0 * r0.producer);
    /* The same inspection in other units, and turned round. */
    r = risks_of((dialarc_inspection){-2.5, 0.04, 0.01, -2.58, -2.42, 0.0});
    ck_assert_double_eq_tol(r.consumer, r0.consumer, 1e-13);
    ck_assert_double_eq_tol(r.producer, r0.producer, 1e-13);
    r = risks_of((dialarc_inspection){3.0, 4.0, 1.0, -5.0, 9.0, 0.5});
    dialarc_risks m = risks_of((dialarc_inspection){-3.0, 4.0, 1.0, -9.0, 5.0, 0.5});
    ck_assert_double_eq_tol(r.consumer, m.consumer, 1e-15);
    ck_assert_double_eq_tol(r.producer, m.producer, 1e-15);
}
END_TEST

START_TEST(risks_in_limits_that_have_a_formula)
{
    /* A gauge without error makes no mistake but for what the guard band rejects. */
    dialarc_risks r = risks_of((dialarc_inspection){0.0, 1.0, 1e-9, -2.0, 2.0, 0.5});
    ck_assert_double_eq_tol(r.consumer, 0.0, 1e-14);
    ck_assert_double_eq_tol(
        r.producer, 2.0 * (gsl_cdf_ugaussian_P(2.0) - gsl_cdf_ugaussian_P(1.5)), 1e-14);
    /* The same a thousand sd from 0, where a double is coarser than the gauge: 1.1e-13.
     */
    r = risks_of((dialarc_inspection){1e3, 1.0, 1e-17, 998.0, 1002.0, 0.5});
    ck_assert_double_eq_tol(r.consumer, 0.0, 1e-14);
    ck_assert_double_eq_tol(
        r.producer, 2.0 * (gsl_cdf_ugaussian_P(2.0) - gsl_cdf_ugaussian_P(1.5)), 1e-13);
    /* A process without spread: one good item, read by the gauge. */
    r = risks_of((dialarc_inspection){0.0, 1e-9, 1.0, -2.0, 2.0, 0.0});
    ck_assert_double_eq_tol(r.consumer, 0.0, 1e-14);
    ck_assert_double_eq_tol(r.producer, 2.0 * gsl_cdf_ugaussian_Q(2.0), 1e-14);
    /* No limit but one, at the mean, gauge as wide as the process: quadrants of a round
     * distribution at 45 degrees, an eighth each. */
    r = risks_of((dialarc_inspection){0.0, 1.0, 1.0, 0.0, 1e3, 0.0});
    ck_assert_double_eq_tol(r.consumer, 0.125, 1e-14);
    ck_assert_double_eq_tol(r.producer, 0.125, 1e-14);
}
END_TEST

/* Consumer's and producer's risk by Simpson's rule over a grid far finer than the gauge.
 */
static dialarc_risks by_simpson(const dialarc_inspection *i)
{
    const int n = 200000; /* the limits fall on the grid */
    const double from = i->low - 8.0 * i->process_sd;
    const double h = (i->high + 8.0 * i->process_sd - from) / n;
    dialarc_risks sum = {0.0, 0.0};
    for (int k = 0; k <= n; k++) {
        double y = from + k * h, weight = k % 2 ? 4.0 : 2.0;
        double f = exp(-0.5 * pow((y - i->process_mean) / i->process_sd, 2)) /
                   (sqrt(2.0 * 3.14159265358979323846) * i->process_sd);
        double accept = gsl_cdf_gaussian_P(i->high - i->guard - y, i->gauge_sd) -
                        gsl_cdf_gaussian_P(i->low + i->guard - y, i->gauge_sd);
        double part = weight * h / 3.0 * f;
        double away = fmin(fabs(y - i->low), fabs(y - i->high));
        if (away < 0.5 * h) { /* a limit ends one integral and begins the other */
            sum.consumer += 0.5 * part * accept;
            sum.producer += 0.5 * part * (1.0 - accept);
        } else if (y < i->low || y > i->high) {
            sum.consumer += part * accept;
        } else {
            sum.producer += part * (1.0 - accept);
        }
    }
    return sum;
}

START_TEST(risks_of_a_gauge_much_finer_than_the_process)
{
    const double gauges[] = {0.02, 0.05, 0.3};
    for (size_t k = 0; k < 3; k++) {
        const dialarc_inspection i = {0.3, 1.0, gauges[k], -2.0, 2.0, gauges[k]};
        dialarc_risks r = risks_of(i), s = by_simpson(&i);
        ck_assert_double_eq_tol(r.consumer, s.consumer, 1e-11);
        ck_assert_double_eq_tol(r.producer, s.producer, 1e-11);
    }
}
END_TEST

START_TEST(risks_agree_with_counting)
{
    const dialarc_inspection i = {0.9, 0.03, 0.012, 0.85, 0.92, 0.004};
    const int n = 400000;
    sim_random random;
    int consumer = 0, producer = 0;
    sim_seed(&random, 20);
    for (int k = 0; k < n; k++) {
        double y = i.process_mean + i.process_sd * sim_normal(&random);
        double m = y + i.gauge_sd * sim_normal(&random);
        int good = y >= i.low && y <= i.high;
        int accepted = m >= i.low + i.guard && m <= i.high - i.guard;
        consumer += accepted && !good;
        producer += good && !accepted;
    }
    dialarc_risks r = risks_of(i);
    ck_assert_double_eq_tol((double)consumer / n, r.consumer,
                            4.0 * sqrt(r.consumer * (1.0 - r.consumer) / n));
    ck_assert_double_eq_tol((double)producer / n, r.producer,
                            4.0 * sqrt(r.producer * (1.0 - r.producer) / n));
}
END_TEST

START_TEST(bad_inspections_are_refused)
{
    const dialarc_inspection good = {0.0, 4.0, 1.0, -8.0, 8.0, 0.0};
    dialarc_risks r = {-7.0, -7.0};
    dialarc_inspection i = good;
    ck_assert_int_eq(dialarc_conformity_risks(NULL, &r), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_conformity_risks(&i, NULL), DIALARC_ERR_NULL);
    i.process_sd = 0.0;
    ck_assert_int_eq(dialarc_conformity_risks(&i, &r), DIALARC_ERR_SD);
    i = good, i.gauge_sd = 0.0;
    ck_assert_int_eq(dialarc_conformity_risks(&i, &r), DIALARC_ERR_SD);
    i = good, i.high = i.low;
    ck_assert_int_eq(dialarc_conformity_risks(&i, &r), DIALARC_ERR_WINDOW);
    i = good, i.guard = 8.0;
    ck_assert_int_eq(dialarc_conformity_risks(&i, &r), DIALARC_ERR_WINDOW);
    for (size_t k = 0; k < sizeof i / sizeof(double); k++) {
        i = good;
        ((double *)&i)[k] = NAN;
        ck_assert_int_eq(dialarc_conformity_risks(&i, &r), DIALARC_ERR_NOT_FINITE);
    }
    ck_assert_double_eq(r.consumer, -7.0);
}
END_TEST

/* What they promise, by dialarc_conformity_probability(), which has its own sources; far
 * limits are met one by one, as in JCGM 106:2012, 8.3.2. */
START_TEST(acceptance_limits_keep_their_promise)
{
    const double sds[] = {0.001, 0.003, 0.006, 0.0085};
    double low, high, inside, guard;
    for (int i = 0; i < 4; i++) {
        ck_assert_int_eq(
            dialarc_conformity_acceptance(0.975, sds[i], 0.86, 0.90, &low, &high), 0);
        ck_assert_int_eq(dialarc_conformity_probability(low, sds[i], 0.86, 0.90, &inside),
                         0);
        ck_assert_double_eq_tol(inside, 0.975, 1e-9);
        ck_assert_double_eq_tol(low - 0.86, 0.90 - high, 1e-12);
    }
    ck_assert_int_eq(dialarc_conformity_acceptance(0.975, 0.001, 0.86, 0.90, &low, &high),
                     0);
    ck_assert_int_eq(dialarc_conformity_guard_band(0.975, 0.001, &guard), 0);
    ck_assert_double_eq_tol(low, 0.86 + guard, 1e-12);
    ck_assert_int_eq(dialarc_conformity_acceptance(0.9, 0.0, 0.86, 0.90, &low, &high), 0);
    ck_assert(low == 0.86 && high == 0.90);
    ck_assert_int_eq(dialarc_conformity_acceptance(0.975, 0.01, 0.86, 0.90, &low, &high),
                     DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(dialarc_conformity_acceptance(0.5, 0.01, 0.86, 0.90, &low, &high),
                     DIALARC_ERR_PROBABILITY);
    ck_assert_int_eq(dialarc_conformity_acceptance(NAN, 0.01, 0.86, 0.90, &low, &high),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_conformity_acceptance(0.9, 0.01, 0.9, 0.86, &low, &high),
                     DIALARC_ERR_WINDOW);
    ck_assert_int_eq(dialarc_conformity_acceptance(0.9, 0.01, 0.86, 0.9, NULL, &high),
                     DIALARC_ERR_NULL);
}
END_TEST

/* 2.2414: the two-sided normal quantile of 97.5 % (from memory, recomputed by GSL). */
START_TEST(the_budget_of_a_window)
{
    double sd = 0.0, inside = 0.0;
    ck_assert_int_eq(dialarc_conformity_budget(0.975, 0.86, 0.90, &sd), DIALARC_OK);
    ck_assert_double_eq_tol(sd, 0.02 / 2.2414, 1e-6);
    ck_assert_int_eq(dialarc_conformity_probability(0.88, sd, 0.86, 0.90, &inside), 0);
    ck_assert_double_eq_tol(inside, 0.975, 1e-9);
    ck_assert_int_eq(dialarc_conformity_budget(1.0, 0.86, 0.90, &sd),
                     DIALARC_ERR_PROBABILITY);
    ck_assert_int_eq(dialarc_conformity_budget(0.0, 0.86, 0.90, &sd),
                     DIALARC_ERR_PROBABILITY);
    ck_assert_int_eq(dialarc_conformity_budget(0.9, 0.90, 0.86, &sd), DIALARC_ERR_WINDOW);
    ck_assert_int_eq(dialarc_conformity_budget(NAN, 0.86, 0.90, &sd),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_conformity_budget(0.9, 0.86, 0.90, NULL), DIALARC_ERR_NULL);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("conformity");
    TCase *tc = tcase_create("probability");
    tcase_add_test(tc, quantiles_of_the_guide);
    tcase_add_test(tc, probability_between_limits);
    tcase_add_test(tc, three_probabilities_make_one);
    tcase_add_test(tc, without_uncertainty_a_limit_is_inside);
    tcase_add_test(tc, bad_input_is_refused);
    tcase_add_test(tc, arrays);
    tcase_add_test(tc, acceptance_limits_keep_their_promise);
    tcase_add_test(tc, the_budget_of_a_window);
    suite_add_tcase(suite, tc);
    tc = tcase_create("risks");
    tcase_add_test(tc, published_risks);
    tcase_add_test(tc, risks_move_as_they_must);
    tcase_add_test(tc, risks_in_limits_that_have_a_formula);
    tcase_add_test(tc, risks_of_a_gauge_much_finer_than_the_process);
    tcase_add_test(tc, risks_agree_with_counting);
    tcase_add_test(tc, bad_inspections_are_refused);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
