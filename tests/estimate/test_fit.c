/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fit as a value: its quantities against closed forms and finite differences, its
 * variances against GSL's, its copies. */
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#include "cam/law.h"
#include "estimate/fit.h"
#include "kit/check_main.h"
#include "kit/derive.h"
#include "kit/simulate.h"

#define N 7

/* A learned cam of four lobes that is bent a little, TDC on its rise. */
static void learned(darc_fit *fit, sim_random *r)
{
    memset(fit, 0, sizeof *fit);
    fit->model = (darc_model){.rise_law = DIALARC_LAW_MODIFIED_SINE,
                              .fall_law = DIALARC_LAW_HARMONIC,
                              .pitch_deg = 90.0,
                              .crank_per_pump = 2.0,
                              .learned = true,
                              .terms = DARC_SHAPE_TERMS,
                              .n_param = DARC_TERMS + 2 * DARC_SHAPE_TERMS,
                              .first_turn = DARC_TERMS + 2 * DARC_SHAPE_TERMS};
    const double basic[] = {0.3, -31.0, 2.3, 4.0, 0.003, 40.0, 3.0, 12.0};
    memcpy(fit->param, basic, sizeof basic);
    for (int k = DARC_TERMS; k < fit->model.n_param; k++)
        fit->param[k] = 0.01 * sim_normal(r);
}

typedef struct probe {
    darc_fit *fit;
    int asked, param;
} probe;

static double asked_at(double x, void *data)
{
    const probe *p = data;
    double value[DARC_ASKED], gradient[DARC_ASKED][DARC_MAX_PARAM];
    darc_fit fit = *p->fit;
    fit.param[p->param] = x;
    darc_fit_ask(&fit, value, gradient);
    return value[p->asked];
}

/* All but the rate, whose own uncertainty is not asked for. */
START_TEST(gradients_of_what_is_asked)
{
    static darc_fit fit;
    sim_random r;
    double value[DARC_ASKED], gradient[DARC_ASKED][DARC_MAX_PARAM];
    sim_seed(&r, 11);
    learned(&fit, &r);
    darc_fit_ask(&fit, value, gradient);
    for (int q = 0; q < DARC_ASKED; q++)
        for (int k = 0; k < fit.model.n_param && q != DARC_ASK_RATE; k++) {
            probe p = {&fit, q, k};
            check_slope(asked_at, &p, fit.param[k], 1e-3, gradient[q][k], 1.0, 1e-7);
        }
}
END_TEST

/* Simple harmonic motion: lift h (1 - cos pi u) / 2, and its slope. */
START_TEST(a_harmonic_lift)
{
    darc_fit fit = {.model = {.rise_law = DIALARC_LAW_HARMONIC,
                              .fall_law = DIALARC_LAW_HARMONIC,
                              .pitch_deg = 90.0,
                              .crank_per_pump = 2.0,
                              .rise_deg = 40.0,
                              .top_deg = 3.0,
                              .base_deg = 12.0,
                              .n_param = DARC_BASIC}};
    double value[DARC_ASKED], gradient[DARC_ASKED][DARC_MAX_PARAM];
    fit.param[DARC_LIFT] = 2.4;
    for (int lobe = -1; lobe <= 1; lobe++) { /* the foot of another lobe is the same */
        fit.param[DARC_FOOT] = -30.0 + 180.0 * lobe;
        darc_fit_ask(&fit, value, gradient);
        double u = 15.0 / 40.0;
        ck_assert_double_eq_tol(value[DARC_ASK_LIFT], 1.2 * (1.0 - cos(DARC_PI * u)),
                                1e-12);
        ck_assert_double_eq_tol(value[DARC_ASK_RATE],
                                1.2 * DARC_PI * sin(DARC_PI * u) / 80.0, 1e-12);
        ck_assert_double_eq_tol(value[DARC_ASK_FOOT], -30.0, 1e-12);
        ck_assert_double_eq(value[DARC_ASK_RISE], 40.0);
    }
}
END_TEST

/* Sums of so many readings with a prior: variance and determinant by GSL's Cholesky. */
START_TEST(variances_are_those_of_gsl)
{
    static darc_fit fit;
    sim_random r;
    double by[DARC_MAX_PARAM], a[N][N], g[N], x[N], log_det, expected = 0.0;
    sim_seed(&r, 12);
    ck_assert(darc_fit_reserve(&fit, 1));
    fit.model.n_param = N;
    darc_fit_clear_normal(&fit);
    memset(a, 0, sizeof a);
    for (int k = 0; k < N; k++) {
        fit.prior.weight[k] = a[k][k] = sim_uniform(&r, 0.0, 2.0);
        g[k] = sim_normal(&r);
    }
    for (int i = 0; i < 20; i++) {
        double w = sim_uniform(&r, 0.1, 5.0);
        for (int k = 0; k < N; k++)
            by[k] = sim_normal(&r);
        darc_fit_add_row(&fit, by, 0.0, w);
        for (int k = 0; k < N; k++)
            for (int l = 0; l < N; l++)
                a[k][l] += w * by[k] * by[l];
    }
    ck_assert(darc_fit_factorise(&fit, &log_det));
    gsl_matrix_view m = gsl_matrix_view_array(a[0], N, N);
    gsl_vector_const_view right = gsl_vector_const_view_array(g, N);
    gsl_vector_view solution = gsl_vector_view_array(x, N);
    gsl_linalg_cholesky_decomp1(&m.matrix);
    gsl_linalg_cholesky_solve(&m.matrix, &right.vector, &solution.vector);
    for (int k = 0; k < N; k++) {
        expected += g[k] * x[k];
        log_det -= 2.0 * log(a[k][k]);
    }
    ck_assert_double_eq_tol(darc_fit_variance(&fit, g), expected, 1e-12 * expected);
    ck_assert_double_eq_tol(log_det, 0.0, 1e-11);
    darc_fit_release(&fit);
}
END_TEST

/* To follow is to stand at the same place in arrays of one's own; to exchange is to take
 * these along. */
START_TEST(copies)
{
    darc_fit a = {.converged = true}, b = {.converged = false};
    ck_assert(darc_fit_reserve(&a, 3));
    ck_assert(darc_fit_reserve(&b, 3));
    const darc_row *rows_a = a.at.rows, *rows_b = b.at.rows;
    const void *factor_b = b.at.factor;
    a.param[2] = 7.0;
    a.prior.mean[3] = 8.0;
    a.model.free_passes = 5;
    darc_fit_follow(&b, &a);
    ck_assert_double_eq(b.param[2], 7.0);
    ck_assert_double_eq(b.prior.mean[3], 8.0);
    ck_assert_uint_eq(b.model.free_passes, 5);
    ck_assert(b.converged);
    ck_assert_ptr_eq(b.at.rows, rows_b);
    ck_assert_ptr_eq(b.at.factor, factor_b);
    b.param[2] = 9.0;
    ck_assert_double_eq(a.param[2], 7.0);
    darc_fit_swap(&a, &b);
    ck_assert_double_eq(a.param[2], 9.0);
    ck_assert_ptr_eq(a.at.rows, rows_b);
    ck_assert_ptr_eq(b.at.rows, rows_a);
    darc_fit_release(&a);
    darc_fit_release(&b);
    ck_assert_ptr_null(a.at.rows);
    ck_assert_ptr_null(b.at.learned);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("fit");
    TCase *c = tcase_create("fit");
    tcase_add_test(c, gradients_of_what_is_asked);
    tcase_add_test(c, a_harmonic_lift);
    tcase_add_test(c, variances_are_those_of_gsl);
    tcase_add_test(c, copies);
    suite_add_tcase(s, c);
    return darc_run(s);
}
