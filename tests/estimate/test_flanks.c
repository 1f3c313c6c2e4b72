/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The equations of a learned cam taken flank by flank against the whole system solved by
 * GSL (gsl_linalg_cholesky_decomp1). */
#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>
#include <math.h>

#include "estimate/flanks.h"
#include "kit/check_main.h"
#include "kit/simulate.h"

#define ROWS 90

enum {
    MOST = DARC_MAX_PARAM,
    RISE_TERMS = DARC_TERMS,
    FALL_TERMS = DARC_TERMS + DARC_SHAPE_TERMS,
    AFTER = DARC_TERMS + 2 * DARC_SHAPE_TERMS
};

typedef struct equations {
    int n;
    double normal[MOST][MOST], weight[MOST], slope[MOST];
    darc_system system;
} equations;

/* Rows of derivatives, each with the terms of one flank alone. */
static void draw(sim_random *r, int n, equations *e)
{
    *e = (equations){.n = n};
    for (int i = 0; i < ROWS; i++) {
        double by[MOST];
        for (int k = 0; k < n; k++) {
            bool rise = k >= RISE_TERMS && k < FALL_TERMS;
            bool fall = k >= FALL_TERMS && k < AFTER;
            by[k] = (rise && i % 2) || (fall && i % 2 == 0) ? 0.0 : sim_normal(r);
        }
        for (int k = 0; k < n; k++)
            for (int l = k; l < n; l++)
                e->normal[k][l] += by[k] * by[l];
    }
    for (int k = 0; k < n; k++) {
        e->weight[k] = k % 3 ? sim_uniform(r, 0.0, 50.0) : 1e-3;
        e->slope[k] = sim_normal(r);
    }
    e->system = (darc_system){n, MOST, e->normal[0], e->weight, e->slope, NULL};
}

/* The whole system: step, and what darc_head_take() returns. */
static double solve_whole(const equations *e, gsl_matrix *m, gsl_vector *step)
{
    double gain = 0.0, log_det = 0.0;
    for (int k = 0; k < e->n; k++) {
        for (int l = k; l < e->n; l++) {
            double x = e->normal[k][l] + (k == l ? e->weight[k] : 0.0);
            gsl_matrix_set(m, (size_t)k, (size_t)l, x);
            gsl_matrix_set(m, (size_t)l, (size_t)k, x);
        }
        gsl_vector_set(step, (size_t)k, e->slope[k]);
    }
    ck_assert_int_eq(gsl_linalg_cholesky_decomp1(m), 0);
    gsl_linalg_cholesky_svx(m, step);
    for (int k = 0; k < e->n; k++) {
        gain += gsl_vector_get(step, (size_t)k) * e->slope[k];
        log_det += 2.0 * log(gsl_matrix_get(m, (size_t)k, (size_t)k));
    }
    return 0.5 * (gain - log_det);
}

static double whole_variance(const gsl_matrix *m, int n, const double *gradient)
{
    gsl_vector *v = gsl_vector_alloc((size_t)n);
    double sum = 0.0;
    for (int k = 0; k < n; k++)
        gsl_vector_set(v, (size_t)k, gradient[k]);
    gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, m, v);
    gsl_blas_ddot(v, v, &sum);
    gsl_vector_free(v);
    return sum;
}

static void compare(sim_random *r, int n)
{
    static equations e;
    static darc_head head;
    static darc_flank rise, fall;
    double step[MOST], gradient[MOST];
    draw(r, n, &e);
    gsl_matrix *m = gsl_matrix_alloc((size_t)n, (size_t)n);
    gsl_vector *x = gsl_vector_alloc((size_t)n);
    double gain = solve_whole(&e, m, x);
    ck_assert(darc_head_open(&e.system, &head));
    ck_assert_int_eq(head.n, n - 2 * DARC_SHAPE_TERMS);
    ck_assert(darc_flank_take(&e.system, &head, RISE_TERMS, &rise));
    ck_assert(darc_flank_take(&e.system, &head, FALL_TERMS, &fall));
    ck_assert_double_eq_tol(darc_head_take(&head, &rise, &fall), gain, 1e-10);
    darc_head_step(&head, step);
    for (int k = 0; k < n; k++)
        ck_assert_double_eq_tol(step[k], gsl_vector_get(x, (size_t)k), 1e-11);
    for (int part = 0; part < 3; part++) { /* head alone, with a flank, with both */
        for (int k = 0; k < n; k++)
            gradient[k] = sim_normal(r);
        for (int k = part < 1 ? RISE_TERMS : FALL_TERMS; k < AFTER && part < 2; k++)
            gradient[k] = 0.0;
        double var = whole_variance(m, n, gradient);
        ck_assert_double_eq_tol(darc_head_variance(&head, gradient), var, 1e-11 * var);
    }
    gsl_matrix_free(m);
    gsl_vector_free(x);
}

START_TEST(as_the_whole_system)
{
    sim_random r;
    sim_seed(&r, 640);
    for (int n = AFTER; n <= MOST; n++)
        compare(&r, n);
}
END_TEST

START_TEST(flanks_that_meet)
{
    static equations e;
    static darc_head head;
    sim_random r;
    sim_seed(&r, 641);
    draw(&r, AFTER, &e);
    e.normal[FALL_TERMS - 1][FALL_TERMS] = 1e-9;
    ck_assert(!darc_head_open(&e.system, &head));
}
END_TEST

START_TEST(singular_parts)
{
    static equations e;
    static darc_head head;
    static darc_flank rise, fall;
    sim_random r;
    sim_seed(&r, 642);
    draw(&r, AFTER, &e);
    for (int k = 0; k < AFTER; k++) /* nothing is known of the foot */
        e.normal[k < 1 ? k : 1][k < 1 ? 1 : k] = 0.0;
    e.weight[1] = 0.0;
    ck_assert(darc_head_open(&e.system, &head));
    ck_assert(darc_flank_take(&e.system, &head, RISE_TERMS, &rise));
    ck_assert(darc_flank_take(&e.system, &head, FALL_TERMS, &fall));
    ck_assert_double_eq(darc_head_take(&head, &rise, &fall), -INFINITY);
    e.normal[RISE_TERMS][RISE_TERMS] = -1e3;
    ck_assert(!darc_flank_take(&e.system, &head, RISE_TERMS, &rise));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("flanks");
    TCase *tc = tcase_create("parts of a system");
    tcase_add_test(tc, as_the_whole_system);
    tcase_add_test(tc, flanks_that_meet);
    tcase_add_test(tc, singular_parts);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
