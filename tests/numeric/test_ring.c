/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Systems in a ring against Cholesky's factor of the whole matrix. */
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/simulate.h"
#include "numeric/cholesky.h"
#include "numeric/ring.h"

#define MOST 23

typedef struct pair {
    double whole[MOST][MOST]; /* upper triangle */
    double band[MOST * DARC_RING_ROW];
} pair;

/* A random sum of products of three neighbours, and a diagonal. */
static void fill(sim_random *r, size_t n, pair *m)
{
    memset(m, 0, sizeof *m);
    for (size_t k = 0; k < n; k++) {
        double v[3] = {sim_normal(r), sim_normal(r), sim_normal(r)};
        for (size_t a = 0; a < 3; a++)
            for (size_t b = a; b < 3; b++) {
                size_t i = (k + a) % n, j = (k + b) % n;
                double x = v[a] * v[b] + (a + b == 0 ? 0.1 : 0.0);
                darc_ring_add(n, m->band, i, j, x);
                m->whole[i < j ? i : j][i < j ? j : i] += x;
            }
    }
}

START_TEST(solutions_and_traces)
{
    sim_random r;
    sim_seed(&r, 603);
    for (size_t n = DARC_RING_MIN; n <= MOST; n++) {
        static pair a, b;
        double factor[MOST][MOST], none[MOST] = {0.0}, x[MOST], v[MOST], trace = 0.0;
        fill(&r, n, &a);
        fill(&r, n, &b);
        ck_assert(darc_cholesky((int)n, MOST, a.whole[0], none, factor[0], NULL));
        ck_assert(darc_ring_factor(n, a.band));
        for (size_t i = 0; i < n; i++)
            v[darc_ring_place(n, i)] = x[i] = sim_normal(&r);
        darc_cholesky_solve((int)n, MOST, factor[0], x);
        darc_ring_solve(n, a.band, v);
        for (size_t i = 0; i < n; i++)
            ck_assert_double_eq_tol(v[darc_ring_place(n, i)], x[i], 1e-9);
        for (size_t k = 0; k < n; k++) {
            for (size_t i = 0; i < n; i++)
                x[i] = b.whole[i < k ? i : k][i < k ? k : i];
            darc_cholesky_solve((int)n, MOST, factor[0], x);
            trace += x[k];
        }
        ck_assert_double_eq_tol(darc_ring_trace(n, a.band, b.band) / trace, 1.0, 1e-9);
    }
}
END_TEST

START_TEST(each_place_is_taken_once)
{
    for (size_t n = DARC_RING_MIN; n <= MOST; n++) {
        unsigned taken = 0;
        for (size_t i = 0; i < n; i++)
            taken |= 1u << darc_ring_place(n, i);
        ck_assert_uint_eq(taken, (1u << n) - 1);
    }
}
END_TEST

START_TEST(singular_is_told)
{
    double band[DARC_RING_MIN * DARC_RING_ROW] = {0.0};
    ck_assert(!darc_ring_factor(DARC_RING_MIN, band));
    band[0] = NAN;
    ck_assert(!darc_ring_factor(DARC_RING_MIN, band));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ring");
    TCase *tc = tcase_create("ring");
    tcase_add_test(tc, solutions_and_traces);
    tcase_add_test(tc, each_place_is_taken_once);
    tcase_add_test(tc, singular_is_told);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
