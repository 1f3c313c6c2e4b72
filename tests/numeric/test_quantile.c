/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/quantile.h"

#include <math.h>

#include "kit/check_main.h"

/* Chi-square over its degrees of freedom; recomputed with SciPy (chi2.isf). */
START_TEST(mean_squares)
{
    const double known[][3] = {
        {0.025, 1, 5.023886187314888},         {0.975, 1, 9.820691171752583e-4},
        {0.025, 5, 12.832501994030027 / 5},    {0.975, 5, 0.8312116134866624 / 5},
        {0.025, 1.5, 6.275807973333614 / 1.5}, {0.975, 40, 24.433039170807891 / 40},
        {0.025, 999, 1088.4870677259353 / 999}};
    for (size_t k = 0; k < sizeof known / sizeof known[0]; k++)
        ck_assert_double_eq_tol(darc_mean_square_quantile(known[k][0], known[k][1]),
                                known[k][2], 2e-9 * known[k][2]);
    /* by the approximation; 1 and 2 degrees apart it joins the other */
    double before = darc_mean_square_quantile(0.025, 999.5);
    double after = darc_mean_square_quantile(0.025, 1000.5);
    ck_assert_double_eq_tol(before, after, 6e-5);
    ck_assert_double_gt(before, after);
}
END_TEST

/* Any table of F has 6.61 for 1 and 5 degrees of freedom at 5 %; recomputed with
 * SciPy (f.isf). */
START_TEST(ratios)
{
    ck_assert_double_eq_tol(darc_f_quantile(0.05, 1, 5), 6.607890973703367, 1e-8);
    ck_assert_double_eq_tol(darc_f_quantile(0.025, 4, 8), 5.052632217363513, 1e-8);
    ck_assert_double_eq_tol(darc_f_quantile(0.975, 4, 8), 0.11136377801442861, 1e-8);
    ck_assert_double_eq_tol(darc_f_quantile(0.025, 1, 1), 647.7890114778446, 1e-6);
    /* a ratio turned round */
    ck_assert_double_eq_tol(darc_f_quantile(0.975, 2.7, 11.3) *
                                darc_f_quantile(0.025, 11.3, 2.7),
                            1.0, 1e-10);
    /* many degrees of freedom: the other mean square does not vary */
    ck_assert_double_eq_tol(darc_f_quantile(0.025, 3, 1e9),
                            darc_mean_square_quantile(0.025, 3), 0.03);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("quantile");
    TCase *t = tcase_create("quantile");
    tcase_add_test(t, mean_squares);
    tcase_add_test(t, ratios);
    suite_add_tcase(s, t);
    return darc_run(s);
}
