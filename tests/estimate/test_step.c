/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of a descent: on quadratics, of which the minimum is known, and on curves on
 * which whole Gauss-Newton steps overshoot or fall short. */
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#include "estimate/step.h"
#include "kit/check_main.h"
#include "kit/simulate.h"

#define N 6

static const double unlimited[N] = {INFINITY, INFINITY, INFINITY,
                                    INFINITY, INFINITY, INFINITY};

/* A positive definite matrix, and its inverse times v by GSL's LU decomposition. */
static void random_system(sim_random *r, double a[N][N], double *v, double *solution)
{
    double root[N][N];
    for (int i = 0; i < N; i++)
        for (int k = 0; k < N; k++)
            root[i][k] = sim_normal(r);
    for (int i = 0; i < N; i++)
        for (int k = 0; k < N; k++) {
            a[i][k] = i == k ? 0.5 : 0.0;
            for (int l = 0; l < N; l++)
                a[i][k] += root[i][l] * root[k][l];
        }
    for (int i = 0; i < N; i++)
        v[i] = sim_normal(r);
    double copy[N][N];
    int sign;
    memcpy(copy, a, sizeof copy);
    gsl_matrix_view m = gsl_matrix_view_array(copy[0], N, N);
    gsl_vector_const_view right = gsl_vector_const_view_array(v, N);
    gsl_vector_view x = gsl_vector_view_array(solution, N);
    gsl_permutation *p = gsl_permutation_alloc(N);
    gsl_linalg_LU_decomp(&m.matrix, p, &sign);
    gsl_linalg_LU_solve(&m.matrix, p, &right.vector, &x.vector);
    gsl_permutation_free(p);
}

/* The first step is the whole one, and its length that of v' a^-1 v. */
START_TEST(the_first_step_is_that_of_gsl)
{
    sim_random r;
    const double weight[N] = {0.0};
    sim_seed(&r, 1);
    for (int k = 0; k < 50; k++) {
        double a[N][N], v[N], x[N], factor[N][N], move[N], length2 = 0.0;
        darc_descent d;
        random_system(&r, a, v, x);
        darc_descent_begin(&d);
        const darc_system s = {N, N, a[0], weight, v, factor[0]};
        double length = darc_descent_step(&d, &s, unlimited, move);
        for (int i = 0; i < N; i++) {
            ck_assert_double_eq_tol(move[i], x[i], 1e-11 * (1.0 + fabs(x[i])));
            length2 += v[i] * x[i];
        }
        ck_assert_double_eq_tol(length * length, length2, 1e-11 * (1.0 + length2));
    }
}
END_TEST

/* One limit makes all unknowns move less, in the same direction. */
START_TEST(a_limit_keeps_the_direction)
{
    sim_random r;
    const double weight[N] = {0.0};
    double a[N][N], v[N], x[N], factor[N][N], move[N], limit[N];
    sim_seed(&r, 2);
    random_system(&r, a, v, x);
    for (int held = 0; held < N; held++) {
        darc_descent d;
        darc_descent_begin(&d);
        memcpy(limit, unlimited, sizeof limit);
        limit[held] = 0.1 * fabs(x[held]);
        const darc_system s = {N, N, a[0], weight, v, factor[0]};
        ck_assert_double_gt(darc_descent_step(&d, &s, limit, move), 0.0);
        for (int i = 0; i < N; i++)
            ck_assert_double_eq_tol(move[i], 0.1 * x[i], 1e-12 * (1.0 + fabs(x[i])));
        ck_assert_double_eq_tol(d.share, 0.1, 1e-12);
    }
}
END_TEST

/* Steps until a minimum of true curvature c at 1 is met to 1e-6, by one who takes the
 * curvature for 1: whole steps leave 1 - c of the way each time. */
static int steps_needed(double c)
{
    const double weight = 0.0, normal = 1.0;
    double x = 0.0, move, factor;
    darc_descent d;
    darc_descent_begin(&d);
    for (int k = 0; k < 100; k++) {
        double slope = c * (1.0 - x);
        const darc_system s = {1, 1, &normal, &weight, &slope, &factor};
        if (fabs(1.0 - x) < 1e-6)
            return k;
        ck_assert_double_ge(darc_descent_step(&d, &s, unlimited, &move), 0.0);
        x += move;
    }
    return 100;
}

START_TEST(the_share_is_learned)
{
    ck_assert_int_eq(steps_needed(1.0), 1);
    ck_assert_int_le(steps_needed(3.0), 6);  /* whole steps would run away */
    ck_assert_int_le(steps_needed(1.99), 6); /* ... or go to and fro for ever */
    ck_assert_int_le(steps_needed(0.6), 6);  /* ... or need 16 */
}
END_TEST

START_TEST(no_step_of_a_singular_system)
{
    const double normal[4] = {1.0, 1.0, 1.0, 1.0}, none[2] = {0.0, 0.0};
    const double slope[2] = {1.0, 2.0}, endless[2] = {INFINITY, 1.0};
    const double whole[4] = {1.0, 0.0, 0.0, 1.0};
    double factor[4], move[2] = {-7.0, -7.0};
    darc_descent d;
    darc_descent_begin(&d);
    const darc_system singular = {2, 2, normal, none, slope, factor};
    ck_assert_double_lt(darc_descent_step(&d, &singular, unlimited, move), 0.0);
    const darc_system beyond = {2, 2, whole, none, endless, factor};
    ck_assert_double_lt(darc_descent_step(&d, &beyond, unlimited, move), 0.0);
    ck_assert_double_eq(move[0], -7.0);
    ck_assert_double_eq(move[1], -7.0);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("step");
    TCase *c = tcase_create("descent");
    tcase_add_test(c, the_first_step_is_that_of_gsl);
    tcase_add_test(c, a_limit_keeps_the_direction);
    tcase_add_test(c, the_share_is_learned);
    tcase_add_test(c, no_step_of_a_singular_system);
    suite_add_tcase(s, c);
    return darc_run(s);
}
