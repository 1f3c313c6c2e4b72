/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The solver of the estimator: its normal equations on certified nonlinear problems.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "estimate/gauss_newton.h"
#include "estimate/known_cam.h"
#include "estimate/memory.h"
#include "kit/check_main.h"
#include "kit/refdata.h"
#include "kit/sweep_kit.h"

#define MOST_ROWS 300

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
    darc_fit_clear_normal(fit);
    for (size_t i = 0; i < p->n; i++) {
        double by[DARC_MAX_PARAM], r = p->y[i] - p->f(b, p->x[i], by);
        darc_fit_add_row(fit, by, r, 1.0);
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
            diagonal[k] = damping < 1e-9 ? 0.0 : damping * (*fit->at.normal)[k][k];
            d[k] = fit->pull[k];
        }
        memcpy(fit->prior.weight, diagonal, sizeof diagonal);
        ck_assert(darc_fit_factorise(fit, NULL));
        darc_fit_backsolve(fit, d);
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
    double b[DARC_MAX_PARAM];
    char quantity[4];
    refdata *table = refdata_open("nonlinear.csv");
    load(p);
    ck_assert(darc_fit_reserve(&fit, 1));
    for (int k = 0; k < p->m; k++) {
        snprintf(quantity, sizeof quantity, "b%d", (k + 1) % 10);
        b[k] = refdata_number(table, row_of(table, p->name, quantity), start);
    }
    double rss = solve(p, b, &fit);
    refdata_check(table, row_of(table, p->name, "rss"), rss);
    double s = sqrt(rss / ((double)p->n - p->m));
    memset(fit.prior.weight, 0, sizeof fit.prior.weight);
    ck_assert(darc_fit_factorise(&fit, NULL));
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
    darc_fit_release(&fit);
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
    static sim_sweep sweep;
    sim_random r;
    sim_seed(&r, 1001);
    sim_job job = kit_job(&r);
    sim_run(&job, &r, &sweep);
    dialarc_sweep readings = kit_sweep(&sweep);
    dialarc_setup setup = kit_setup(&job, 1);
    darc_memory memory = {.capacity = 0};
    darc_fit *fit = &memory.fit;
    darc_problem given;
    darc_estimate answer;
    ck_assert_int_eq(darc_memory_open(&memory, &setup, NULL, 0.0, &readings, &given),
                     DIALARC_OK);
    darc_fit_known(fit, &memory.trial, &given, &answer);
    ck_assert(fit->converged);
    double lift = fit->param[DARC_LIFT];
    fit->prior.mean[DARC_LIFT] = 1e200;
    fit->prior.weight[DARC_LIFT] = 1.0;
    darc_fit_iterate(fit, &given.record);
    ck_assert(!fit->converged);
    ck_assert_double_eq(fit->param[DARC_LIFT], lift);
    darc_memory_release(&memory);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("gauss_newton");
    TCase *tc = tcase_create("solver");
    tcase_add_test(tc, certified_thurber);
    tcase_add_test(tc, certified_gauss1);
    tcase_add_test(tc, a_step_without_an_end_is_not_taken);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
