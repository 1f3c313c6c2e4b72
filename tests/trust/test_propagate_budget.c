/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Uncertainty budgets of models: correlation, degrees of freedom, second order. */
#include <dialarc/propagate.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/propagate_kit.h"
#include "kit/refdata.h"

static dialarc_propagated budget(size_t n, const dialarc_input *input, const double *r,
                                 dialarc_model model)
{
    dialarc_propagated b;
    ck_assert_int_eq(dialarc_propagate_budget(n, input, r, model, NULL, &b), DIALARC_OK);
    return b;
}

static void check(const char *quantity, double computed)
{
    refdata *table = refdata_open("propagate.csv");
    refdata_check(table, refdata_find(table, "quantity", quantity), computed);
    refdata_close(table);
}

static double difference(const double *x, void *context)
{
    (void)context;
    return x[0] - x[1];
}

static double squares(const double *x, void *context)
{
    (void)context;
    return x[0] * x[0] + x[1] * x[1];
}

static double exponential(const double *x, void *context)
{
    (void)context;
    return exp(x[0]);
}

/* --- first order -------------------------------------------------------------------- */

START_TEST(correlation_counts)
{
    const dialarc_input in[] = {normal(5.0, 3.0), normal(2.0, 4.0)};
    const double some[] = {1.0, 0.5, 0.5, 1.0}, whole[] = {1.0, 1.0, 1.0, 1.0};
    const dialarc_input same[] = {normal(5.0, 3.0), normal(2.0, 3.0)};
    dialarc_propagated b = budget(2, in, NULL, difference);
    ck_assert_double_eq_tol(b.sd, 5.0, 1e-9);
    b = budget(2, in, some, difference); /* 9 + 16 - 2 (0.5) 12 */
    ck_assert_double_eq_tol(b.sd, sqrt(13.0), 1e-9);
    ck_assert_double_eq_tol(b.second_sd, sqrt(13.0), 1e-6);
    ck_assert(b.value == 3.0);
    ck_assert_double_eq_tol(b.mean, 3.0, 1e-9);
    b = budget(2, same, whole, difference); /* what both have in error drops out */
    ck_assert_double_eq_tol(b.sd, 0.0, 1e-5);
}
END_TEST

/* Three that cannot all be so opposed, and tables that are none. */
START_TEST(impossible_correlations_are_refused)
{
    const dialarc_input in[] = {normal(0, 1), normal(0, 1), normal(0, 1), normal(0, 1)};
    const dialarc_input box[] = {normal(0, 1), rectangular(0, 1)};
    const double opposed[] = {1, -0.9, -0.9, -0.9, 1, -0.9, -0.9, -0.9, 1};
    const double lopsided[] = {1, 0.5, 0.4, 1}, beyond[] = {1, 1.1, 1.1, 1};
    const double nan[] = {1, NAN, NAN, 1}, half[] = {1, 0.5, 0.5, 1},
                 none[] = {1, 0, 0, 1};
    const struct {
        size_t n;
        const dialarc_input *input;
        const double *r;
        dialarc_status status;
    } cases[] = {{3, in, opposed, DIALARC_ERR_PROBABILITY},
                 {2, in, lopsided, DIALARC_ERR_PROBABILITY},
                 {2, in, beyond, DIALARC_ERR_PROBABILITY},
                 {2, in, nan, DIALARC_ERR_NOT_FINITE},
                 {2, box, half, DIALARC_ERR_SHAPE},
                 {2, box, none, DIALARC_OK}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        dialarc_propagated b = {.sd = -7.0};
        ck_assert_int_eq(dialarc_propagate_budget(cases[i].n, cases[i].input, cases[i].r,
                                                  squares, NULL, &b),
                         cases[i].status);
        ck_assert((b.sd == -7.0) == (cases[i].status != DIALARC_OK));
    }
}
END_TEST

/* --- second order ------------------------------------------------------------------- */

/* JCGM 101:2008, 9.4: slopes that vanish. */
START_TEST(sum_of_squares)
{
    const double far[] = {0.0, 0.010, 0.050}, r[] = {1.0, 0.9, 0.9, 1.0}, u = 0.005;
    const char *printed[] = {"9.4.2_sd", "9.4.2_sd_0.010", "9.4.2_sd_0.050"};
    for (int i = 0; i < 3; i++) {
        const dialarc_input in[] = {normal(far[i], u), normal(0.0, u)};
        dialarc_propagated b = budget(2, in, NULL, squares);
        ck_assert_double_eq_tol(b.sd, 2.0 * far[i] * u, 1e-12);
        ck_assert_double_eq_tol(b.mean, far[i] * far[i] + 2.0 * u * u, 1e-12);
        ck_assert_double_eq_tol(b.second_sd,
                                sqrt(4.0 * u * u * (far[i] * far[i] + u * u)), 1e-12);
        check(printed[i], b.second_sd);
    }
    const dialarc_input in[] = {normal(0.0, u), normal(0.0, u)};
    dialarc_propagated b = budget(2, in, r, squares);
    ck_assert_double_eq_tol(b.second_sd, 2.0 * u * u * sqrt(1.81), 1e-12);
    check("9.4.3_sd", b.second_sd);
}
END_TEST

/* x^2 about 0 has the variance (k - 1) u^4, k the fourth moment: closed forms. */
START_TEST(shapes_have_their_fourth_moments)
{
    const struct {
        dialarc_input input;
        double fourth;
    } cases[] = {
        {normal(0.0, 0.3), 3.0},
        {student(0.0, 0.3, 9.0), 3.0},
        {rectangular(0.0, 0.3), 9.0 / 5.0},
        {{.shape = DIALARC_SHAPE_TRIANGULAR, .spread = 0.3}, 12.0 / 5.0},
        {{.shape = DIALARC_SHAPE_ARCSINE, .spread = 0.3}, 3.0 / 2.0},
        {inexact(0.3, 0.0), 9.0 / 5.0},
        {inexact(0.3, 0.3), 9.0 * (1.0 + 2.0 + 0.2) / 5.0 / (4.0 / 3.0) / (4.0 / 3.0)}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const dialarc_input in[] = {cases[i].input, normal(0.0, 0.0)};
        double u = 0.3;
        if (in[0].shape != DIALARC_SHAPE_STUDENT)
            dialarc_input_sd(in, &u);
        dialarc_propagated b = budget(2, in, NULL, squares);
        ck_assert_double_eq_tol(b.mean, u * u, 1e-10);
        ck_assert_double_eq_tol(b.second_sd, u * u * sqrt(cases[i].fourth - 1.0), 1e-10);
    }
}
END_TEST

/* exp of a normal quantity: exp(u^2) (exp(u^2) - 1) = u^2 + 3/2 u^4 + O(u^6); and the
 * product of two such, whose mixed terms of third order count. */
static double product_of_exponentials(const double *x, void *context)
{
    (void)context;
    return exp(x[0] + x[1]);
}

START_TEST(third_derivatives_count)
{
    const double u = 0.1, v = 2.0 * u * u;
    const dialarc_input in[] = {normal(0.0, u), normal(0.0, u)};
    dialarc_propagated b = budget(1, in, NULL, exponential);
    ck_assert_double_eq_tol(b.second_sd * b.second_sd, u * u + 1.5 * pow(u, 4.0), 1e-7);
    b = budget(2, in, NULL, product_of_exponentials);
    ck_assert_double_eq_tol(b.second_sd * b.second_sd, v + 1.5 * v * v, 4e-7);
    ck_assert_double_eq_tol(b.mean, 1.0 + 0.5 * v, 1e-7);
}
END_TEST

static double crest(const double *x, void *context)
{
    (void)context;
    return sin(x[0]);
}

START_TEST(a_series_that_does_not_hold_is_told)
{
    const dialarc_input in[] = {normal(0.0, 3.0)};
    dialarc_propagated b = budget(1, in, NULL, crest);
    ck_assert_double_eq_tol(b.sd, 3.0, 1e-6);
    ck_assert_double_nan(b.second_sd);
}
END_TEST

/* --- published examples ------------------------------------------------------------- */

static double mass(const double *x, void *context)
{
    (void)context;
    return (x[0] + x[1]) * (1.0 + (x[2] - 1.2) * (1.0 / x[3] - 1.0 / x[4])) - 1e5;
}

START_TEST(mass_calibration)
{
    const dialarc_input in[] = {normal(1e5, 0.05), normal(1.234, 0.02),
                                rectangular(1.2, 0.1), rectangular(8e3, 1e3),
                                rectangular(8e3, 50.0)};
    dialarc_propagated b = budget(5, in, NULL, mass);
    check("9.3_sd_first_order", b.sd);
    check("9.3_sd_second_order", b.second_sd);
    ck_assert(b.dof == 0.0);
}
END_TEST

/* JCGM 100:2008, H.1: length of a gauge block, nm, its inputs from memory. */
static double end_gauge(const double *x, void *context)
{
    (void)context;
    return x[0] + x[1] - x[0] * (x[2] * x[3] + x[4] * x[5]);
}

START_TEST(end_gauge_calibration)
{
    const dialarc_input in[] = {
        student(50000623.0, 25.0, 18.0),      student(215.0, 9.7, 25.6),
        student(0.0, 1e-6 / sqrt(3.0), 50.0), normal(-0.1, 0.41),
        rectangular(11.5e-6, 2e-6),           student(0.0, 0.05 / sqrt(3.0), 2.0)};
    dialarc_propagated b = budget(6, in, NULL, end_gauge);
    check("H.1_sd", b.sd);
    check("H.1_dof", b.dof);
    check("H.1_sd_second_order", b.second_sd);
}
END_TEST

/* --- refusals ----------------------------------------------------------------------- */

static double nowhere(const double *x, void *context)
{
    (void)context;
    return x[0] > 0.0 ? NAN : x[0];
}

START_TEST(bad_calls_are_refused)
{
    const dialarc_input in[] = {normal(0.0, 1.0)};
    static dialarc_input many[DIALARC_INPUTS_MAX + 1];
    dialarc_propagated b = {.sd = -7.0};
    ck_assert_int_eq(dialarc_propagate_budget(1, in, NULL, nowhere, NULL, &b),
                     DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(dialarc_propagate_budget(0, in, NULL, exponential, NULL, &b),
                     DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_propagate_budget(DIALARC_INPUTS_MAX + 1, many, NULL,
                                              exponential, NULL, &b),
                     DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_propagate_budget(1, NULL, NULL, exponential, NULL, &b),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_propagate_budget(1, in, NULL, NULL, NULL, &b),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_propagate_budget(1, in, NULL, exponential, NULL, NULL),
                     DIALARC_ERR_NULL);
    ck_assert(b.sd == -7.0);
}
END_TEST

START_TEST(fixed_inputs_stay_fixed)
{
    const dialarc_input in[] = {normal(2.0, 0.0), normal(3.0, 0.0)};
    dialarc_propagated b = budget(2, in, NULL, squares);
    ck_assert(b.value == 13.0 && b.mean == 13.0 && b.sd == 0.0 && b.second_sd == 0.0);
    ck_assert(b.dof == 0.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("propagate_budget");
    TCase *tc = tcase_create("budget");
    tcase_add_test(tc, correlation_counts);
    tcase_add_test(tc, impossible_correlations_are_refused);
    tcase_add_test(tc, sum_of_squares);
    tcase_add_test(tc, shapes_have_their_fourth_moments);
    tcase_add_test(tc, third_derivatives_count);
    tcase_add_test(tc, a_series_that_does_not_hold_is_told);
    tcase_add_test(tc, mass_calibration);
    tcase_add_test(tc, end_gauge_calibration);
    tcase_add_test(tc, bad_calls_are_refused);
    tcase_add_test(tc, fixed_inputs_stay_fixed);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
