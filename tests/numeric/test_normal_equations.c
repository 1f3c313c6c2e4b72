/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Normal equations against the sums that define them, written out. */
#include <math.h>

#include "kit/check_main.h"
#include "kit/simulate.h"
#include "numeric/normal_equations.h"

#define MOST   9
#define STRIDE 11
#define ROWS   20

/* Rows of n derivatives of which a share is 0, with slopes and weights of their own. */
static void compare(sim_random *r, int n, double zeros)
{
    double by[ROWS][MOST], g[ROWS], w[ROWS], normal[MOST][STRIDE], pull[MOST];
    for (int i = 0; i < MOST; i++)
        for (int k = 0; k < STRIDE; k++)
            normal[i][k] = NAN; /* stays so where nobody may write */
    darc_normal_clear(n, STRIDE, normal[0], pull);
    for (int i = 0; i < ROWS; i++) {
        for (int k = 0; k < n; k++)
            by[i][k] = sim_uniform(r, 0.0, 1.0) < zeros ? 0.0 : sim_normal(r);
        g[i] = sim_normal(r);
        w[i] = sim_uniform(r, 0.0, 2.0);
        darc_normal_add(n, STRIDE, by[i], g[i], w[i], normal[0], pull);
    }
    for (int k = 0; k < MOST; k++)
        for (int l = 0; l < STRIDE; l++) {
            double sum = 0.0;
            for (int i = 0; k <= l && l < n && i < ROWS; i++)
                sum += w[i] * by[i][k] * by[i][l];
            if (k <= l && l < n)
                ck_assert_double_eq_tol(normal[k][l], sum, 1e-13);
            else
                ck_assert_double_nan(normal[k][l]);
        }
    for (int k = 0; k < n; k++) {
        double sum = 0.0;
        for (int i = 0; i < ROWS; i++)
            sum += g[i] * by[i][k];
        ck_assert_double_eq_tol(pull[k], sum, 1e-13);
    }
}

START_TEST(sums_of_products)
{
    sim_random r;
    sim_seed(&r, 602);
    for (int n = 1; n <= MOST; n++) {
        compare(&r, n, 0.0);
        compare(&r, n, 0.4);
        compare(&r, n, 1.1); /* nothing but 0 */
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("normal_equations");
    TCase *tc = tcase_create("sums");
    tcase_add_test(tc, sums_of_products);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
