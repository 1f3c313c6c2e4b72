/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cholesky's factor against GSL's (gsl_linalg_cholesky_decomp1). */
#include <gsl/gsl_linalg.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/simulate.h"
#include "numeric/cholesky.h"

#define MOST 41

/* A random positive definite matrix, in the upper triangle; below it stands NaN, because
 * nobody may look there. Condition up to 10^8. */
static void random_matrix(sim_random *r, int n, double a[][MOST])
{
    double b[MOST][MOST];
    for (int i = 0; i < n; i++)
        for (int k = 0; k < n; k++)
            b[i][k] = sim_normal(r) * pow(10.0, -4.0 * k / n);
    for (int i = 0; i < n; i++)
        for (int k = 0; k < n; k++) {
            a[i][k] = k < i ? NAN : 0.0;
            for (int l = 0; k >= i && l < n; l++)
                a[i][k] += b[l][i] * b[l][k];
        }
}

static gsl_matrix *symmetric(int n, double a[][MOST], const double *diagonal)
{
    gsl_matrix *m = gsl_matrix_alloc((size_t)n, (size_t)n);
    for (int i = 0; i < n; i++)
        for (int k = i; k < n; k++) {
            double x = a[i][k] + (i == k ? diagonal[i] : 0.0);
            gsl_matrix_set(m, (size_t)i, (size_t)k, x);
            gsl_matrix_set(m, (size_t)k, (size_t)i, x);
        }
    return m;
}

static void compare_factor(sim_random *r, int n)
{
    static double a[MOST][MOST], u[MOST][MOST];
    double diagonal[MOST], v[MOST], log_det, sum = 0.0;
    random_matrix(r, n, a);
    for (int k = 0; k < n; k++)
        diagonal[k] = k % 2 ? sim_uniform(r, 0.0, 0.1) : 0.0;
    ck_assert_int_eq(darc_cholesky(n, MOST, a[0], diagonal, u[0], &log_det), 1);
    gsl_matrix *m = symmetric(n, a, diagonal);
    ck_assert_int_eq(gsl_linalg_cholesky_decomp1(m), 0);
    for (int i = 0; i < n; i++) {
        for (int k = i; k < n; k++) {
            double l = gsl_matrix_get(m, (size_t)k, (size_t)i);
            double scale = gsl_matrix_get(m, (size_t)k, (size_t)k) + fabs(l);
            ck_assert_double_eq_tol(u[i][k], l, 1e-8 * scale);
        }
        sum += 2.0 * log(gsl_matrix_get(m, (size_t)i, (size_t)i));
    }
    ck_assert_double_eq_tol(log_det, sum, 1e-7);
    gsl_vector *x = gsl_vector_alloc((size_t)n);
    for (int k = 0; k < n; k++) {
        v[k] = sim_normal(r);
        gsl_vector_set(x, (size_t)k, v[k]);
    }
    gsl_linalg_cholesky_svx(m, x);
    darc_cholesky_solve(n, MOST, u[0], v);
    double length = 0.0;
    for (int k = 0; k < n; k++)
        length = fmax(length, fabs(v[k]));
    for (int k = 0; k < n; k++)
        ck_assert_double_eq_tol(v[k], gsl_vector_get(x, (size_t)k), 1e-7 * length);
    gsl_matrix_free(m);
    gsl_vector_free(x);
}

START_TEST(factor_is_that_of_gsl)
{
    sim_random r;
    sim_seed(&r, 601);
    for (int n = 1; n <= MOST; n++)
        compare_factor(&r, n);
}
END_TEST

START_TEST(singular_is_told)
{
    static double a[MOST][MOST], u[MOST][MOST];
    const double none[] = {0.0, 0.0, 0.0}, some[] = {0.0, 1.0, 0.0}, bad[] = {0, NAN, 0};
    double log_det;
    a[0][0] = 4.0;
    a[2][2] = 9.0;
    ck_assert_int_eq(darc_cholesky(3, MOST, a[0], none, u[0], NULL), 0);
    ck_assert_int_eq(darc_cholesky(3, MOST, a[0], some, u[0], &log_det), 1);
    ck_assert_double_eq_tol(log_det, log(36.0), 1e-15);
    ck_assert_int_eq(darc_cholesky(3, MOST, a[0], bad, u[0], NULL), 0);
    a[0][1] = 3.0; /* indefinite */
    ck_assert_int_eq(darc_cholesky(3, MOST, a[0], some, u[0], NULL), 0);
    ck_assert_int_eq(darc_cholesky(0, MOST, a[0], none, u[0], &log_det), 1);
    ck_assert_double_eq(log_det, 0.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("cholesky");
    TCase *tc = tcase_create("factor");
    tcase_add_test(tc, factor_is_that_of_gsl);
    tcase_add_test(tc, singular_is_told);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
