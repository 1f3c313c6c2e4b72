/* SPDX-License-Identifier: GPL-3.0-or-later */
/* As many trials as it takes, and correlated inputs. */
#include <dialarc/montecarlo.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/propagate_kit.h"
#include "kit/refdata.h"

#define MOST 2000000
#define SEED 11

static dialarc_adaptive adaptive(size_t n, const dialarc_input *input, const double *r,
                                 dialarc_model model, int digits, uint32_t seed)
{
    dialarc_adaptive a;
    ck_assert_int_eq(dialarc_propagate_adaptive(n, input, r, model, NULL, digits, MOST,
                                                seed, 0.95, &a),
                     DIALARC_OK);
    return a;
}

static double squares(const double *x, void *context)
{
    (void)context;
    return x[0] * x[0] + x[1] * x[1];
}

static double difference(const double *x, void *context)
{
    (void)context;
    return x[0] - x[1];
}

static double itself(const double *x, void *context)
{
    (void)context;
    return x[0];
}

/* --- digits ------------------------------------------------------------------------- */

static const dialarc_input four[] = {
    {.shape = DIALARC_SHAPE_NORMAL, .centre = 0, .spread = 1},
    {.shape = DIALARC_SHAPE_NORMAL, .centre = 0, .spread = 1},
    {.shape = DIALARC_SHAPE_NORMAL, .centre = 0, .spread = 1},
    {.shape = DIALARC_SHAPE_NORMAL, .centre = 0, .spread = 1}};

/* sd 2 in two digits is 2.0: half a unit is 0.05; JCGM 101:2008, 9.2.2 and 7.9.2. */
START_TEST(digits_stand)
{
    dialarc_adaptive a = adaptive(4, four, NULL, sum_of_four, 2, SEED);
    ck_assert_int_eq(a.digits, 2);
    ck_assert_double_eq_tol(a.tolerance, 0.05, 1e-15);
    ck_assert(a.scatter > 0.0 && a.scatter <= a.tolerance);
    ck_assert(a.trials >= 20000 && a.trials % 10000 == 0 && a.trials < MOST);
    ck_assert_double_eq_tol(a.output.sd, 2.0, 0.05);
    ck_assert_double_eq_tol(a.output.high, 1.959963984540054 * 2.0, 0.05);
    ck_assert_double_eq_tol(a.output.mean, 0.0, 0.05);
    const dialarc_input in[] = {normal(0.0, 1.04)};
    dialarc_adaptive finer = adaptive(1, in, NULL, itself, 3, SEED);
    ck_assert_int_eq(finer.digits, 3);
    ck_assert_double_eq_tol(finer.tolerance, 0.005, 1e-15);
    ck_assert_int_gt(finer.trials, 5 * a.trials);
    ck_assert_double_eq_tol(finer.output.sd, 1.04, 0.005);
}
END_TEST

/* Half a unit of the last digit for sds on either side of a power of ten. */
START_TEST(tolerance_is_half_a_digit)
{
    const struct {
        double sd, tolerance;
    } cases[] = {
        {0.35, 0.005}, {0.0994, 0.0005}, {0.0998, 0.005}, {1.04, 0.05}, {820, 5}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        /* A cycling quantity: its sd comes out to a part in a thousand. */
        const dialarc_input in[] = {
            {.shape = DIALARC_SHAPE_ARCSINE, .spread = cases[i].sd * sqrt(2.0)}};
        dialarc_adaptive a = adaptive(1, in, NULL, itself, 2, SEED);
        ck_assert_double_eq_tol(a.tolerance / cases[i].tolerance, 1.0, 1e-12);
    }
}
END_TEST

/* The promise itself, over many seeds: half a digit is two standard deviations. */
START_TEST(stable_digits_are_right)
{
    int right = 0, seeds = 60;
    for (int i = 0; i < seeds; i++) {
        dialarc_adaptive a = adaptive(4, four, NULL, sum_of_four, 2, (uint32_t)(100 + i));
        right += fabs(a.output.high - 3.919927969080108) <= a.tolerance;
    }
    ck_assert_int_ge(right, 54); /* 95 % less three standard deviations, rounded */
}
END_TEST

START_TEST(what_does_not_suffice_is_told)
{
    dialarc_adaptive a;
    ck_assert_int_eq(dialarc_propagate_adaptive(4, four, NULL, sum_of_four, NULL, 4,
                                                39999, SEED, 0.95, &a),
                     DIALARC_OK);
    ck_assert_int_eq(a.trials, 30000);
    ck_assert_int_lt(a.digits, 4);
    ck_assert_double_gt(a.scatter, a.tolerance);
}
END_TEST

/* Blocks are those of one run: the same draws, so the same order statistics. */
START_TEST(blocks_are_one_run)
{
    dialarc_adaptive a;
    ck_assert_int_eq(dialarc_propagate_adaptive(4, four, NULL, sum_of_four, NULL, 4,
                                                50000, SEED, 0.9, &a),
                     DIALARC_OK);
    ck_assert_int_eq(a.trials, 50000);
    dialarc_propagation p = kit_monte_carlo(4, four, sum_of_four, 50000, SEED, 0.9);
    ck_assert(a.output.low == p.low && a.output.high == p.high);
    ck_assert(a.output.shortest_low == p.shortest_low);
    ck_assert_double_eq_tol(a.output.sd, p.sd, 1e-13);
}
END_TEST

static double upper_half(const double *x, void *context)
{
    (void)context;
    return x[0] > -0.6744897501960817 ? x[0] : NAN; /* the lower quartile */
}

START_TEST(trials_without_a_value_are_counted)
{
    dialarc_adaptive a = adaptive(1, four, NULL, upper_half, 2, SEED);
    ck_assert_double_eq_tol(a.output.refused, 0.25, 0.01);
}
END_TEST

/* --- correlation -------------------------------------------------------------------- */

START_TEST(correlated_inputs)
{
    const dialarc_input in[] = {normal(5.0, 3.0), rectangular(7.0, 1.0),
                                normal(2.0, 4.0)};
    const dialarc_input two[] = {in[0], in[2]};
    const double r[] = {1.0, 0.5, 0.5, 1.0}, whole[] = {1, -1, -1, 1};
    dialarc_adaptive a = adaptive(2, two, r, difference, 2, SEED);
    ck_assert_double_eq_tol(a.output.sd, sqrt(13.0), a.tolerance);
    a = adaptive(2, two, whole, difference, 2, SEED);
    ck_assert_double_eq_tol(a.output.sd, 7.0, a.tolerance);
    const double beside[] = {1, 0, 0.5, 0, 1, 0, 0.5, 0, 1};
    a = adaptive(3, in, beside, difference, 2, SEED); /* with the rectangular one */
    ck_assert_double_eq_tol(a.output.sd, sqrt(9.0 + 1.0 / 3.0), a.tolerance);
}
END_TEST

static void check(const char *quantity, double computed)
{
    refdata *table = refdata_open("propagate.csv");
    refdata_check(table, refdata_find(table, "quantity", quantity), computed);
    refdata_close(table);
}

/* JCGM 101:2008, 9.4: the slopes vanish, the output has a tail to one side. */
START_TEST(sum_of_squares)
{
    const double r[] = {1.0, 0.9, 0.9, 1.0}, u = 0.005;
    const dialarc_input in[] = {normal(0.0, u), normal(0.0, u)};
    dialarc_adaptive a = adaptive(2, in, NULL, squares, 2, SEED);
    ck_assert_double_eq_tol(a.output.mean, 2.0 * u * u, a.tolerance);
    check("9.4.2_sd", a.output.sd);
    /* Exponential with mean 2 u^2: the shortest interval begins at 0. */
    ck_assert_double_eq_tol(a.output.low, -2.0 * u * u * log(0.975), a.tolerance);
    ck_assert_double_eq_tol(a.output.high, -2.0 * u * u * log(0.025), a.tolerance);
    ck_assert_double_eq_tol(a.output.shortest_low, 0.0, a.tolerance);
    a = adaptive(2, in, r, squares, 2, SEED);
    ck_assert_double_eq_tol(a.output.sd, 2.0 * u * u * sqrt(1.81), a.tolerance);
}
END_TEST

/* --- refusals ----------------------------------------------------------------------- */

static double nowhere(const double *x, void *context)
{
    (void)x;
    (void)context;
    return NAN;
}

START_TEST(bad_calls_are_refused)
{
    const dialarc_input box[] = {normal(0, 1), rectangular(0, 1)};
    const double half[] = {1, 0.5, 0.5, 1}, lopsided[] = {1, 0.5, 0.4, 1},
                 whole[] = {1, -0.9, -0.9, -0.9, 1, -0.9, -0.9, -0.9, 1};
    const struct {
        size_t n;
        const dialarc_input *input;
        const double *r;
        dialarc_model model;
        int digits;
        size_t most;
        double coverage;
        dialarc_status status;
    } cases[] = {
        {0, box, NULL, itself, 2, MOST, 0.95, DIALARC_ERR_SIZE},
        {1, box, NULL, itself, 0, MOST, 0.95, DIALARC_ERR_SIZE},
        {1, box, NULL, itself, 5, MOST, 0.95, DIALARC_ERR_SIZE},
        {1, box, NULL, itself, 2, 19999, 0.95, DIALARC_ERR_SIZE},
        {1, box, NULL, itself, 2, DIALARC_TRIALS_MAX + 1, 0.95, DIALARC_ERR_SIZE},
        {1, box, NULL, itself, 2, 100000, 0.9985, DIALARC_ERR_SIZE},
        {1, box, NULL, itself, 2, MOST, 1.0 - 1e-16, DIALARC_ERR_SIZE},
        {1, box, NULL, itself, 2, MOST, 1.0, DIALARC_ERR_PROBABILITY},
        {1, box, NULL, itself, 2, MOST, 0.0, DIALARC_ERR_PROBABILITY},
        {1, box, NULL, itself, 2, MOST, NAN, DIALARC_ERR_NOT_FINITE},
        {2, box, half, squares, 2, MOST, 0.95, DIALARC_ERR_SHAPE},
        {2, box, lopsided, squares, 2, MOST, 0.95, DIALARC_ERR_PROBABILITY},
        {3, four, whole, squares, 2, MOST, 0.95, DIALARC_ERR_PROBABILITY},
        {1, box, NULL, nowhere, 2, MOST, 0.95, DIALARC_ERR_NO_SOLUTION},
        {1, NULL, NULL, itself, 2, MOST, 0.95, DIALARC_ERR_NULL},
        {1, box, NULL, NULL, 2, MOST, 0.95, DIALARC_ERR_NULL}};
    dialarc_adaptive a = {.trials = -7};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        ck_assert_int_eq(dialarc_propagate_adaptive(
                             cases[i].n, cases[i].input, cases[i].r, cases[i].model, NULL,
                             cases[i].digits, cases[i].most, 1, cases[i].coverage, &a),
                         cases[i].status);
    ck_assert_int_eq(
        dialarc_propagate_adaptive(1, box, NULL, itself, NULL, 2, MOST, 1, 0.95, NULL),
        DIALARC_ERR_NULL);
    ck_assert_int_eq(a.trials, -7);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("montecarlo");
    TCase *tc = tcase_create("digits");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, digits_stand);
    tcase_add_test(tc, tolerance_is_half_a_digit);
    tcase_add_test(tc, stable_digits_are_right);
    tcase_add_test(tc, what_does_not_suffice_is_told);
    tcase_add_test(tc, blocks_are_one_run);
    tcase_add_test(tc, trials_without_a_value_are_counted);
    tcase_add_test(tc, correlated_inputs);
    tcase_add_test(tc, sum_of_squares);
    tcase_add_test(tc, bad_calls_are_refused);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
