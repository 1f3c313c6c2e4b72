/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/leastsq.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

#define MOST_ROWS 100

/* One data set of refdata/regression_data.csv. */
typedef struct data_set {
    const char *name;
    size_t n;
    double y[MOST_ROWS], x[MOST_ROWS][6];
} data_set;

static data_set load(const char *name)
{
    data_set set = {.name = name};
    const char *columns[] = {"x1", "x2", "x3", "x4", "x5", "x6"};
    refdata *table = refdata_open("regression_data.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        if (strcmp(refdata_text(table, row, "set"), name) != 0)
            continue;
        set.y[set.n] = refdata_number(table, row, "y");
        for (size_t k = 0; k < 6; k++)
            if (*refdata_text(table, row, columns[k]))
                set.x[set.n][k] = refdata_number(table, row, columns[k]);
        set.n++;
    }
    refdata_close(table);
    ck_assert_uint_gt(set.n, 0);
    return set;
}

static void check(const char *set, const char *quantity, double computed)
{
    refdata_check_named("regression.csv", "set", set, "quantity", quantity, computed);
}

static void check_term(const data_set *set, size_t k, double value, double sd)
{
    char quantity[8];
    snprintf(quantity, sizeof quantity, "b%zu", k);
    check(set->name, quantity, value);
    snprintf(quantity, sizeof quantity, "s%zu", k);
    check(set->name, quantity, sd);
}

/* Polynomial fitted in t = (x - centre) / half, certified in powers of x. */
static void check_polynomial(const char *name, size_t p)
{
    data_set set = load(name);
    darc_lsq problem;
    darc_lsq_result r;
    double centre = 0.0, half = 0.0;
    for (size_t i = 0; i < set.n; i++)
        centre += set.x[i][0] / (double)set.n;
    for (size_t i = 0; i < set.n; i++)
        half = fmax(half, fabs(set.x[i][0] - centre));
    darc_lsq_begin(&problem, p);
    for (size_t i = 0; i < set.n; i++) {
        double power[DARC_LSQ_PARAM] = {1.0};
        for (size_t k = 1; k < p; k++)
            power[k] = power[k - 1] * ((set.x[i][0] - centre) / half);
        darc_lsq_add(&problem, power, set.y[i], 1.0);
    }
    ck_assert_int_eq(darc_lsq_solve(&problem, &r), DIALARC_OK);
    check(name, "rss", r.rss);
    for (size_t k = 0; k < p; k++) { /* binomial theorem */
        double gradient[DARC_LSQ_PARAM] = {0.0};
        long double value = 0.0L, choose = 1.0L;
        for (size_t j = k; j < p; j++) {
            long double g = choose * powl(-(long double)centre, (long double)(j - k)) /
                            powl(half, (long double)j);
            value += g * r.param[j];
            gradient[j] = (double)g;
            choose = choose * (long double)(j + 1) / (long double)(j + 1 - k);
        }
        check_term(&set, k, (double)value,
                   darc_lsq_sd(&r, p, gradient) * sqrt(r.rss / (double)(set.n - p)));
    }
}

START_TEST(norris)
{
    check_polynomial("norris", 2);
}
END_TEST

START_TEST(pontius)
{
    check_polynomial("pontius", 3);
}
END_TEST

START_TEST(filip)
{
    check_polynomial("filip", 11);
}
END_TEST

START_TEST(longley)
{
    data_set set = load("longley");
    darc_lsq problem;
    darc_lsq_result r;
    darc_lsq_begin(&problem, 7);
    for (size_t i = 0; i < set.n; i++) {
        double row[7] = {1.0};
        memcpy(row + 1, set.x[i], sizeof set.x[i]);
        darc_lsq_add(&problem, row, set.y[i], 1.0);
    }
    ck_assert_int_eq(darc_lsq_solve(&problem, &r), DIALARC_OK);
    check("longley", "rss", r.rss);
    for (size_t k = 0; k < 7; k++)
        check_term(&set, k, r.param[k], sqrt(r.covariance[k][k] * r.rss / 9.0));
}
END_TEST

/* JCGM 100:2008, H.3: the calibration line of a thermometer and its prediction at 30. */
START_TEST(thermometer_of_the_guide)
{
    data_set set = load("gum_h3");
    darc_lsq problem;
    darc_lsq_result r;
    darc_lsq_begin(&problem, 2);
    for (size_t i = 0; i < set.n; i++) {
        const double row[] = {1.0, set.x[i][0] - 20.0};
        darc_lsq_add(&problem, row, set.y[i], 1.0);
    }
    ck_assert_int_eq(darc_lsq_solve(&problem, &r), DIALARC_OK);
    double s = sqrt(r.rss / 9.0), y1 = r.param[0], y2 = r.param[1];
    double u1 = s * sqrt(r.covariance[0][0]), u2 = s * sqrt(r.covariance[1][1]);
    const double at30[] = {1.0, 10.0};
    const struct {
        const char *quantity, *printed;
        double value;
    } results[] = {
        {"y1", "y1_printed", y1},
        {"u_y1", "u_y1_printed", u1},
        {"y2", "y2_printed", y2},
        {"u_y2", "u_y2_printed", u2},
        {"r", "r_printed", s * s * r.covariance[0][1] / (u1 * u2)},
        {"s", "s_printed", s},
        {"b30", "b30_printed", y1 + 10.0 * y2},
        {"u_b30", "u_b30_printed", s * darc_lsq_sd(&r, 2, at30)},
    };
    check("gum_h3", "rss", r.rss);
    for (size_t k = 0; k < sizeof results / sizeof results[0]; k++) {
        check("gum_h3", results[k].quantity, results[k].value);
        check("gum_h3", results[k].printed, results[k].value);
    }
}
END_TEST

/* y = 2 - x exactly, far more rows than a block holds, in any order of weights. */
START_TEST(many_rows_fit_a_small_block)
{
    darc_lsq problem;
    darc_lsq_result r;
    const size_t n = 10 * DARC_LSQ_BLOCK + 7;
    double sum = 0.0, weighted = 0.0;
    darc_lsq_begin(&problem, 2);
    for (size_t i = 0; i < n; i++) {
        double x = (double)i / (double)n, w = 1.0 + (double)(i % 5);
        const double row[] = {1.0, x};
        darc_lsq_add(&problem, row, 2.0 - x, w);
        sum += w * w;
        weighted += w * w * x;
    }
    ck_assert_uint_eq(problem.n, n);
    ck_assert_int_eq(darc_lsq_solve(&problem, &r), DIALARC_OK);
    ck_assert_double_eq_tol(r.param[0], 2.0, 1e-13);
    ck_assert_double_eq_tol(r.param[1], -1.0, 1e-13);
    ck_assert_double_lt(r.rss, 1e-24);
    const double at_mean[] = {1.0, weighted / sum}; /* there the line is known best */
    ck_assert_double_eq_tol(darc_lsq_sd(&r, 2, at_mean), 1.0 / sqrt(sum), 1e-14);
}
END_TEST

START_TEST(as_many_rows_as_parameters)
{
    darc_lsq problem;
    darc_lsq_result r;
    const double a[] = {1.0, 1.0}, b[] = {1.0, 3.0}, one[] = {4.0};
    darc_lsq_begin(&problem, 2);
    darc_lsq_add(&problem, a, 5.0, 1.0);
    darc_lsq_add(&problem, b, 9.0, 1.0);
    ck_assert_int_eq(darc_lsq_solve(&problem, &r), DIALARC_OK);
    ck_assert_double_eq_tol(r.param[0], 3.0, 1e-14);
    ck_assert_double_eq_tol(r.param[1], 2.0, 1e-14);
    ck_assert_double_eq(r.rss, 0.0);
    darc_lsq_begin(&problem, 1); /* a single row needs no decomposition */
    darc_lsq_add(&problem, one, 8.0, 1.0);
    ck_assert_int_eq(darc_lsq_solve(&problem, &r), DIALARC_OK);
    ck_assert_double_eq(r.param[0], 2.0);
    ck_assert_double_eq(r.covariance[0][0], 1.0 / 16.0);
}
END_TEST

START_TEST(undetermined_problems_are_refused)
{
    darc_lsq problem;
    darc_lsq_result r;
    const double a[] = {1.0, 0.1}, b[] = {1.0, NAN};
    darc_lsq_begin(&problem, 2);
    ck_assert_int_eq(darc_lsq_solve(&problem, &r), DIALARC_ERR_NO_SOLUTION);
    for (int i = 0; i < 5; i++)
        darc_lsq_add(&problem, a, i, 1.0 + i);
    ck_assert_int_eq(darc_lsq_solve(&problem, &r), DIALARC_ERR_NO_SOLUTION);
    darc_lsq_add(&problem, b, 1.0, 1.0);
    ck_assert_int_eq(darc_lsq_solve(&problem, &r), DIALARC_ERR_NO_SOLUTION);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("leastsq");
    TCase *tc = tcase_create("certified");
    tcase_add_test(tc, norris);
    tcase_add_test(tc, pontius);
    tcase_add_test(tc, filip);
    tcase_add_test(tc, longley);
    tcase_add_test(tc, thermometer_of_the_guide);
    suite_add_tcase(suite, tc);
    tc = tcase_create("edges");
    tcase_add_test(tc, many_rows_fit_a_small_block);
    tcase_add_test(tc, as_many_rows_as_parameters);
    tcase_add_test(tc, undetermined_problems_are_refused);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
