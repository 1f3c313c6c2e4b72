/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Normal equations against the sums that define them, written out. */
#include <math.h>

#include "kit/check_main.h"
#include "kit/simulate.h"
#include "numeric/normal_equations.h"

#define MOST   19
#define STRIDE 21
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

/* Four rows at once or one after the other: the same bits, whichever of them have a 0
 * where. */
START_TEST(four_at_once)
{
    sim_random r;
    sim_seed(&r, 603);
    for (int n = 1; n <= MOST; n++)
        for (int zeros = 0; zeros < 3; zeros++) {
            double by[4][MOST] = {{0.0}}, g[4], w[4];
            double one[MOST][STRIDE], all[MOST][STRIDE], pull[MOST], pulls[MOST];
            const double *const rows[] = {by[0], by[1], by[2], by[3]};
            darc_normal_clear(n, STRIDE, one[0], pull);
            darc_normal_clear(n, STRIDE, all[0], pulls);
            for (int i = 0; i < 4; i++) {
                g[i] = sim_normal(&r);
                w[i] = sim_uniform(&r, 0.0, 2.0);
                for (int k = 0; k < n; k++)
                    by[i][k] =
                        sim_uniform(&r, 0.0, 1.0) < 0.4 * zeros ? 0.0 : sim_normal(&r);
                darc_normal_add(n, STRIDE, by[i], g[i], w[i], one[0], pull);
            }
            darc_normal_add_four(n, STRIDE, rows, g, w, all[0], pulls);
            for (int k = 0; k < n; k++) {
                ck_assert_double_eq(pulls[k], pull[k]);
                for (int l = k; l < n; l++)
                    ck_assert_double_eq(all[k][l], one[k][l]);
            }
        }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("normal_equations");
    TCase *tc = tcase_create("sums");
    tcase_add_test(tc, sums_of_products);
    tcase_add_test(tc, four_at_once);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
