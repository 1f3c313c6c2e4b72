/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The solver of the estimator: its factorisation against GSL's, its normal equations on
 * certified nonlinear problems.
 */
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "assess/workspace.h"
#include "estimate/fit.h"
#include "kit/check_main.h"
#include "kit/refdata.h"
#include "kit/timing_kit.h"

#define MOST_ROWS 300

/* --- factorisation ----------------------------------------------------------- */

/* A random positive definite matrix, in the upper triangle; below it stands NaN, because
 * nobody may look there. Condition up to 10^8. */
static void random_matrix(sim_random *r, int n, double a[][DARC_MAX_PARAM])
{
    double b[DARC_MAX_PARAM][DARC_MAX_PARAM];
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

static gsl_matrix *symmetric(int n, double a[][DARC_MAX_PARAM], const double *diagonal)
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
    static double a[DARC_MAX_PARAM][DARC_MAX_PARAM], u[DARC_MAX_PARAM][DARC_MAX_PARAM];
    double diagonal[DARC_MAX_PARAM], v[DARC_MAX_PARAM], log_det, sum = 0.0;
    random_matrix(r, n, a);
    for (int k = 0; k < n; k++)
        diagonal[k] = k % 2 ? sim_uniform(r, 0.0, 0.1) : 0.0;
    ck_assert_int_eq(darc_cholesky(n, a, diagonal, u, &log_det), 1);
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
    darc_cholesky_solve(n, u, v);
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
    for (int n = 1; n <= DARC_MAX_PARAM; n++)
        compare_factor(&r, n);
}
END_TEST

START_TEST(singular_is_told)
{
    static double a[DARC_MAX_PARAM][DARC_MAX_PARAM], u[DARC_MAX_PARAM][DARC_MAX_PARAM];
    const double none[] = {0.0, 0.0, 0.0}, some[] = {0.0, 1.0, 0.0}, bad[] = {0, NAN, 0};
    double log_det;
    a[0][0] = 4.0;
    a[2][2] = 9.0;
    ck_assert_int_eq(darc_cholesky(3, a, none, u, NULL), 0);
    ck_assert_int_eq(darc_cholesky(3, a, some, u, &log_det), 1);
    ck_assert_double_eq_tol(log_det, log(36.0), 1e-15);
    ck_assert_int_eq(darc_cholesky(3, a, bad, u, NULL), 0);
    a[0][1] = 3.0; /* indefinite */
    ck_assert_int_eq(darc_cholesky(3, a, some, u, NULL), 0);
    ck_assert_int_eq(darc_cholesky(0, a, none, u, &log_det), 1);
    ck_assert_double_eq(log_det, 0.0);
}
END_TEST

/* --- certified nonlinear problems -------------------------------------------- */

typedef double curve(const double *b, double x, double *by);

static double thurber(const double *b, double x, double *by)
{
    const double power[] = {1.0, x, x * x, x * x * x};
    double top = 0.0, bottom = 1.0;
    for (int k = 0; k < 4; k++)
        top += b[k] * power[k];
    for (int k = 1; k < 4; k++)
        bottom += b[3 + k] * power[k];
    for (int k = 0; k < 4; k++)
        by[k] = power[k] / bottom;
    for (int k = 1; k < 4; k++)
        by[3 + k] = -top / (bottom * bottom) * power[k];
    return top / bottom;
}

static double gauss1(const double *b, double x, double *by)
{
    double y = b[0] * exp(-b[1] * x);
    by[0] = exp(-b[1] * x);
    by[1] = -x * y;
    for (int k = 2; k < 8; k += 3) {
        double z = (x - b[k + 1]) / b[k + 2], e = exp(-z * z);
        by[k] = e;
        by[k + 1] = b[k] * e * 2.0 * z / b[k + 2];
        by[k + 2] = b[k] * e * 2.0 * z * z / b[k + 2];
        y += b[k] * e;
    }
    return y;
}

typedef struct problem {
    const char *name;
    curve *f;
    int m;
    size_t n;
    double x[MOST_ROWS], y[MOST_ROWS];
} problem;

static void load(problem *p)
{
    refdata *table = refdata_open("nonlinear_data.csv");
    p->n = 0;
    for (size_t row = 0; row < refdata_rows(table); row++)
        if (strcmp(refdata_text(table, row, "set"), p->name) == 0) {
            p->x[p->n] = refdata_number(table, row, "x");
            p->y[p->n++] = refdata_number(table, row, "y");
        }
    refdata_close(table);
    ck_assert_uint_gt(p->n, 0);
}

static size_t row_of(const refdata *table, const char *set, const char *quantity)
{
    for (size_t row = 0; row < refdata_rows(table); row++)
        if (strcmp(refdata_text(table, row, "set"), set) == 0 &&
            strcmp(refdata_text(table, row, "quantity"), quantity) == 0)
            return row;
    ck_abort_msg("no %s %s in nonlinear.csv", set, quantity);
    return 0;
}

/* Normal equations at `b`, by the estimator's own pieces; returns the residual sum of
 * squares. */
static double linearise(const problem *p, const double *b, darc_fit *fit)
{
    double rss = 0.0;
    fit->model.n_param = p->m;
    darc_normal_clear(fit);
    for (size_t i = 0; i < p->n; i++) {
        double by[DARC_MAX_PARAM], r = p->y[i] - p->f(b, p->x[i], by);
        darc_normal_add(fit, by, r, 1.0);
        rss += r * r;
    }
    return rss;
}

/* Levenberg steps, damped as long as they fail; plain Gauss-Newton in the end. */
static double solve(const problem *p, double *b, darc_fit *fit)
{
    double damping = 1e-3, rss = linearise(p, b, fit);
    for (int it = 0; it < 300 && damping < 1e12; it++) {
        double diagonal[DARC_MAX_PARAM], d[DARC_MAX_PARAM], next[DARC_MAX_PARAM];
        for (int k = 0; k < p->m; k++) {
            diagonal[k] = damping < 1e-9 ? 0.0 : damping * fit->normal[k][k];
            d[k] = fit->pull[k];
        }
        ck_assert_int_eq(darc_cholesky(p->m, fit->normal, diagonal, fit->factor, NULL),
                         1);
        darc_cholesky_solve(p->m, fit->factor, d);
        for (int k = 0; k < p->m; k++)
            next[k] = b[k] + d[k];
        double now = linearise(p, next, fit);
        if (now < rss * (1.0 + 1e-12)) {
            memcpy(b, next, sizeof next);
            rss = now;
            damping *= 0.2;
        } else {
            linearise(p, b, fit);
            damping *= 10.0;
        }
    }
    return rss;
}

static void check_problem(problem *p, const char *start)
{
    static darc_fit fit;
    double b[DARC_MAX_PARAM], zero[DARC_MAX_PARAM] = {0.0};
    char quantity[4];
    refdata *table = refdata_open("nonlinear.csv");
    load(p);
    for (int k = 0; k < p->m; k++) {
        snprintf(quantity, sizeof quantity, "b%d", (k + 1) % 10);
        b[k] = refdata_number(table, row_of(table, p->name, quantity), start);
    }
    double rss = solve(p, b, &fit);
    refdata_check(table, row_of(table, p->name, "rss"), rss);
    double s = sqrt(rss / ((double)p->n - p->m));
    ck_assert_int_eq(darc_cholesky(p->m, fit.normal, zero, fit.factor, NULL), 1);
    for (int k = 0; k < p->m; k++) {
        double unit[DARC_MAX_PARAM] = {0.0};
        unit[k] = 1.0;
        darc_fit_backsolve(&fit, unit);
        snprintf(quantity, sizeof quantity, "b%d", (k + 1) % 10);
        refdata_check(table, row_of(table, p->name, quantity), b[k]);
        quantity[0] = 's';
        refdata_check(table, row_of(table, p->name, quantity), s * sqrt(unit[k]));
    }
    refdata_close(table);
}

START_TEST(certified_thurber)
{
    problem p = {.name = "thurber", .f = thurber, .m = 7};
    check_problem(&p, "start2");
    check_problem(&p, "start1");
}
END_TEST

START_TEST(certified_gauss1)
{
    problem p = {.name = "gauss1", .f = gauss1, .m = 8};
    check_problem(&p, "start2");
    check_problem(&p, "start1");
}
END_TEST

/* A fit that is asked for a lift beyond all measure stays where it began, and says so. */
START_TEST(a_step_without_an_end_is_not_taken)
{
    sim_job job = good_job();
    dialarc_sweep readings = good_sweep(&job);
    dialarc_setup setup = kit_setup(&job, 1);
    dialarc_workspace *workspace = dialarc_workspace_new();
    darc_scratch *s = &workspace->scratch;
    darc_noise noise = darc_noise_of(&setup, &readings);
    darc_answer answer;
    ck_assert_int_eq(darc_scratch_reserve(s, readings.n), DIALARC_OK);
    ck_assert_int_eq(darc_record_fill(&readings, &setup, noise.angle_sd_deg, &s->record),
                     DIALARC_OK);
    darc_fit_known(s, &setup, &noise, &answer);
    ck_assert_int_eq(s->fit.converged, 1);
    double lift = s->fit.param[DARC_LIFT];
    s->fit.prior.mean[DARC_LIFT] = 1e200;
    s->fit.prior.weight[DARC_LIFT] = 1.0;
    darc_fit_iterate(&s->fit, &s->record, s->rows, s->pulls);
    ck_assert_int_eq(s->fit.converged, 0);
    ck_assert_double_eq(s->fit.param[DARC_LIFT], lift);
    dialarc_workspace_free(workspace);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fit_solve");
    TCase *tc = tcase_create("solver");
    tcase_add_test(tc, factor_is_that_of_gsl);
    tcase_add_test(tc, singular_is_told);
    tcase_add_test(tc, certified_thurber);
    tcase_add_test(tc, certified_gauss1);
    tcase_add_test(tc, a_step_without_an_end_is_not_taken);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
