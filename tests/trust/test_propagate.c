/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/montecarlo.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/propagate_kit.h"

#define TRIALS 200000
#define SEED   3

static dialarc_propagation monte_carlo(size_t n, const dialarc_input *input,
                                       dialarc_model model, double coverage)
{
    return kit_monte_carlo(n, input, model, TRIALS, SEED, coverage);
}

/* --- distributions ------------------------------------------------------------------ */

static double itself(const double *x, void *context)
{
    (void)context;
    return x[0];
}

/* Mean, sd and the interval of 90 % of each shape against its closed form. */
static void check_shape(dialarc_input input, double quantile_95)
{
    const double n = TRIALS;
    double sd = NAN;
    ck_assert_int_eq(dialarc_input_sd(&input, &sd), DIALARC_OK);
    dialarc_propagation p = monte_carlo(1, &input, itself, 0.9);
    ck_assert_double_eq_tol(p.mean, input.centre, 4.0 * sd / sqrt(n));
    ck_assert_double_eq_tol(p.sd / sd, 1.0, 0.013);
    ck_assert_double_eq_tol(p.low, input.centre - quantile_95, 0.02 * sd);
    ck_assert_double_eq_tol(p.high, input.centre + quantile_95, 0.02 * sd);
}

START_TEST(shapes_are_what_they_are_called)
{
    check_shape(normal(3.0, 0.2), 0.2 * gsl_cdf_ugaussian_Pinv(0.95));
    check_shape(student(-1.0, 2.0, 6.0), 2.0 * gsl_cdf_tdist_Pinv(0.95, 6.0));
    check_shape(rectangular(5.0, 2.0), 1.8);
    check_shape((dialarc_input){.shape = DIALARC_SHAPE_TRIANGULAR, .spread = 2.0},
                2.0 * (1.0 - sqrt(0.1)));
    check_shape((dialarc_input){.shape = DIALARC_SHAPE_ARCSINE, .spread = 2.0},
                2.0 * sin(0.45 * 3.14159265358979323846));
    check_shape(inexact(1.0, 0.0), 0.9);
    double sd; /* JCGM 101:2008, 6.4.3.3: variance (b - a)^2 / 12 + d^2 / 9 */
    const dialarc_input loose = inexact(1.0, 0.5);
    ck_assert_int_eq(dialarc_input_sd(&loose, &sd), DIALARC_OK);
    ck_assert_double_eq_tol(sd * sd, 1.0 / 3.0 + 0.25 / 9.0, 1e-15);
    dialarc_propagation p = monte_carlo(1, &loose, itself, 0.95);
    ck_assert_double_eq_tol(p.sd, sd, 0.004);
    ck_assert(p.low > -1.5 && p.high < 1.5);
}
END_TEST

START_TEST(fixed_inputs_stay_fixed)
{
    const dialarc_input in[] = {normal(2.0, 0.0)};
    dialarc_propagation p = monte_carlo(1, in, itself, 0.95);
    ck_assert(p.mean == 2.0 && p.sd == 0.0 && p.low == 2.0 && p.shortest_high == 2.0);
    double value, sd, slope;
    ck_assert_int_eq(dialarc_propagate_linear(1, in, itself, NULL, &slope, &value, &sd),
                     DIALARC_OK);
    ck_assert(value == 2.0 && sd == 0.0);
    ck_assert_double_eq_tol(slope, 1.0, 1e-10);
}
END_TEST

static double exponential(const double *x, void *context)
{
    return *(double *)context * exp(x[0]);
}

START_TEST(skewed_outputs_have_skewed_intervals)
{
    double scale = 2.0;
    const dialarc_input in[] = {normal(0.0, 0.5)};
    dialarc_propagation p;
    ck_assert_int_eq(
        dialarc_propagate_monte_carlo(1, in, exponential, &scale, TRIALS, SEED, 0.95, &p),
        DIALARC_OK);
    double z = 1.959963984540054; /* log-normal distribution */
    ck_assert_double_eq_tol(p.mean, 2.0 * exp(0.125), 0.011);
    ck_assert_double_eq_tol(p.sd, 2.0 * sqrt((exp(0.25) - 1.0) * exp(0.25)), 0.02);
    ck_assert_double_eq_tol(p.low, 2.0 * exp(-0.5 * z), 0.011);
    ck_assert_double_eq_tol(p.high, 2.0 * exp(0.5 * z), 0.07);
    ck_assert(p.shortest_low < p.low && p.shortest_high < p.high);
    double value, sd, slope;
    ck_assert_int_eq(
        dialarc_propagate_linear(1, in, exponential, &scale, &slope, &value, &sd),
        DIALARC_OK);
    ck_assert_double_eq(value, 2.0);
    ck_assert_double_eq_tol(slope, 2.0, 1e-9);
    ck_assert_double_eq_tol(sd, 1.0, 1e-9);
}
END_TEST

/* A model that keeps its values, so that they can be summed up anew. */
typedef struct diary {
    size_t n;
    double value[200];
} diary;

static double written_down(const double *x, void *context)
{
    diary *d = context;
    return d->value[d->n++] = x[0] * x[0] + 0.3 * x[0];
}

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* JCGM 101:2008, 7.6 and 7.7, for 200 trials and 90 %: 180 trials in the interval. */
START_TEST(trials_are_summed_up)
{
    const dialarc_input in[] = {normal(0.0, 1.0)};
    dialarc_propagation p;
    diary d = {0};
    ck_assert_int_eq(
        dialarc_propagate_monte_carlo(1, in, written_down, &d, 200, 5, 0.9, &p),
        DIALARC_OK);
    ck_assert_uint_eq(d.n, 200);
    double sum = 0.0, squares = 0.0, narrowest = HUGE_VAL;
    for (int i = 0; i < 200; i++)
        sum += d.value[i] / 200.0;
    for (int i = 0; i < 200; i++)
        squares += pow(d.value[i] - sum, 2);
    qsort(d.value, 200, sizeof d.value[0], ascending);
    for (int i = 0; i + 180 < 200; i++)
        narrowest = fmin(narrowest, d.value[i + 180] - d.value[i]);
    ck_assert_double_eq_tol(p.mean, sum, 1e-13);
    ck_assert_double_eq_tol(p.sd, sqrt(squares / 199.0), 1e-13);
    ck_assert_double_eq(p.low, d.value[10]);
    ck_assert_double_eq(p.high, d.value[190]);
    ck_assert_double_eq(p.shortest_high - p.shortest_low, narrowest);
}
END_TEST

START_TEST(seeds_decide_every_bit)
{
    const dialarc_input in[] = {normal(0, 1), student(0, 1, 4), rectangular(0, 1),
                                inexact(1.0, 0.5)};
    dialarc_propagation a, b, c;
    ck_assert_int_eq(
        dialarc_propagate_monte_carlo(4, in, sum_of_four, NULL, 1000, 7, 0.95, &a),
        DIALARC_OK);
    ck_assert_int_eq(
        dialarc_propagate_monte_carlo(4, in, sum_of_four, NULL, 1000, 8, 0.95, &b),
        DIALARC_OK);
    ck_assert_int_eq(
        dialarc_propagate_monte_carlo(4, in, sum_of_four, NULL, 1000, 7, 0.95, &c),
        DIALARC_OK);
    ck_assert_int_eq(memcmp(&a, &c, sizeof a), 0);
    ck_assert_double_ne(a.mean, b.mean);
}
END_TEST

/* --- refusals ----------------------------------------------------------------------- */

static double square_root(const double *x, void *context)
{
    (void)context;
    return x[0] > 0.0 ? sqrt(x[0]) : NAN;
}

static double double_it(const double *x, void *context)
{
    (void)context;
    return 2.0 * x[0];
}

/* Has a value on either side of 0, and there none. */
static double reciprocal(const double *x, void *context)
{
    (void)context;
    return 1.0 / x[0];
}

/* The square root of a normal quantity, where there is one: the share without is the
 * tail below 0, and the mean square of the rest the mean of the normal cut off there. */
START_TEST(trials_without_a_value_are_counted)
{
    const dialarc_input in[] = {normal(1.0, 1.0)};
    dialarc_propagation p;
    ck_assert_int_eq(
        dialarc_propagate_monte_carlo(1, in, square_root, NULL, 100000, 1, 0.95, &p),
        DIALARC_OK);
    double none = gsl_cdf_ugaussian_P(-1.0);
    ck_assert_double_eq_tol(p.refused, none, 4.0 * sqrt(none * (1.0 - none) / 1e5));
    double cut = 1.0 + gsl_ran_ugaussian_pdf(1.0) / (1.0 - none);
    ck_assert_double_eq_tol(p.mean * p.mean + p.sd * p.sd, cut, 4.0 / sqrt(8e4));
    ck_assert_double_ge(p.low, 0.0);
    p = kit_monte_carlo(1, in, double_it, 1000, 1, 0.95);
    ck_assert_double_eq(p.refused, 0.0);
}
END_TEST

START_TEST(models_without_a_value_are_refused)
{
    const dialarc_input in[] = {normal(-0.1, 1.0)}, at_edge[] = {normal(0.0, 1.0)};
    dialarc_propagation p = {.mean = -7.0};
    double value = -7.0, sd = -7.0;
    ck_assert_int_eq(
        dialarc_propagate_monte_carlo(1, in, square_root, NULL, 1000, 1, 0.95, &p),
        DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(
        dialarc_propagate_linear(1, at_edge, square_root, NULL, NULL, &value, &sd),
        DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(
        dialarc_propagate_linear(1, at_edge, reciprocal, NULL, NULL, &value, &sd),
        DIALARC_ERR_NO_SOLUTION);
    ck_assert(p.mean == -7.0 && value == -7.0 && sd == -7.0);
}
END_TEST

static dialarc_status try_input(dialarc_input input)
{
    dialarc_propagation p;
    double sd, value;
    dialarc_status status = dialarc_input_sd(&input, &sd);
    ck_assert_int_eq(dialarc_propagate_linear(1, &input, itself, NULL, NULL, &value, &sd),
                     status);
    ck_assert_int_eq(
        dialarc_propagate_monte_carlo(1, &input, itself, NULL, 100, 1, 0.5, &p), status);
    return status;
}

START_TEST(bad_inputs_are_refused)
{
    dialarc_input in = normal(0.0, 1.0);
    in.shape = DIALARC_SHAPE_COUNT;
    ck_assert_int_eq(try_input(in), DIALARC_ERR_SHAPE);
    in.shape = (dialarc_shape)-1;
    ck_assert_int_eq(try_input(in), DIALARC_ERR_SHAPE);
    ck_assert_int_eq(try_input(normal(0.0, -1.0)), DIALARC_ERR_SD);
    ck_assert_int_eq(try_input(normal(NAN, 1.0)), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(try_input(normal(0.0, INFINITY)), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(try_input(student(0.0, 1.0, NAN)), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(try_input(student(0.0, 1.0, 0.5)), DIALARC_ERR_DOF);
    ck_assert_int_eq(try_input(inexact(1.0, -0.1)), DIALARC_ERR_SD);
    ck_assert_int_eq(try_input(inexact(1.0, 1.1)), DIALARC_ERR_SD);
    ck_assert_int_eq(try_input(inexact(1.0, NAN)), DIALARC_ERR_NOT_FINITE);
    /* Student's with 2 degrees of freedom can be drawn, but has no standard deviation. */
    dialarc_input heavy = student(0.0, 1.0, 2.0);
    dialarc_propagation p;
    double sd;
    ck_assert_int_eq(dialarc_input_sd(&heavy, &sd), DIALARC_ERR_DOF);
    ck_assert_int_eq(
        dialarc_propagate_monte_carlo(1, &heavy, itself, NULL, 100, 1, 0.5, &p),
        DIALARC_OK);
}
END_TEST

START_TEST(bad_calls_are_refused)
{
    const dialarc_input in[] = {normal(0.0, 1.0)};
    dialarc_propagation p = {.mean = -7.0};
    double v = -7.0, sd = -7.0;
    ck_assert_int_eq(dialarc_input_sd(NULL, &sd), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_input_sd(in, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_propagate_linear(0, in, itself, NULL, NULL, &v, &sd),
                     DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_propagate_linear(1, NULL, itself, NULL, NULL, &v, &sd),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_propagate_linear(1, in, NULL, NULL, NULL, &v, &sd),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_propagate_linear(1, in, itself, NULL, NULL, NULL, &sd),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_propagate_linear(1, in, itself, NULL, NULL, &v, NULL),
                     DIALARC_ERR_NULL);
    const struct {
        size_t n, trials;
        double coverage;
        dialarc_status status;
    } cases[] = {{0, 1000, 0.95, DIALARC_ERR_SIZE},
                 {1, 99, 0.95, DIALARC_ERR_SIZE},
                 {1, DIALARC_TRIALS_MAX + 1, 0.95, DIALARC_ERR_SIZE},
                 {1, 1000, 0.0, DIALARC_ERR_PROBABILITY},
                 {1, 1000, 1.0, DIALARC_ERR_PROBABILITY},
                 {1, 1000, -0.5, DIALARC_ERR_PROBABILITY},
                 {1, 100, 0.999, DIALARC_ERR_PROBABILITY},
                 {1, 1000, NAN, DIALARC_ERR_NOT_FINITE}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        ck_assert_int_eq(dialarc_propagate_monte_carlo(cases[i].n, in, itself, NULL,
                                                       cases[i].trials, 1,
                                                       cases[i].coverage, &p),
                         cases[i].status);
    ck_assert_int_eq(
        dialarc_propagate_monte_carlo(1, in, itself, NULL, 1000, 1, 0.95, NULL),
        DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_propagate_monte_carlo(1, in, NULL, NULL, 1000, 1, 0.95, &p),
                     DIALARC_ERR_NULL);
    ck_assert(p.mean == -7.0 && v == -7.0 && sd == -7.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("propagate");
    TCase *tc = tcase_create("distributions");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, shapes_are_what_they_are_called);
    tcase_add_test(tc, fixed_inputs_stay_fixed);
    tcase_add_test(tc, skewed_outputs_have_skewed_intervals);
    tcase_add_test(tc, trials_are_summed_up);
    tcase_add_test(tc, seeds_decide_every_bit);
    suite_add_tcase(suite, tc);
    tc = tcase_create("refusals");
    tcase_add_test(tc, trials_without_a_value_are_counted);
    tcase_add_test(tc, models_without_a_value_are_refused);
    tcase_add_test(tc, bad_inputs_are_refused);
    tcase_add_test(tc, bad_calls_are_refused);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
