/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "decision/looks.h"
#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdio.h>

#include "kit/check_main.h"
#include "kit/simulate.h"

static const dialarc_conformity nowhere = {0.4, 0.2, 0.4};

static double z_of(size_t n, const double *ratio)
{
    darc_looks looks = {.n = 0};
    for (size_t k = 0; k < n; k++)
        darc_looks_count(&nowhere, ratio[k], &looks);
    ck_assert_double_eq_tol(looks.sure, gsl_cdf_ugaussian_P(looks.z), 1e-15);
    return looks.z;
}

/* Sources: definitions; the two ends of correlation. */
START_TEST(shares)
{
    const double alike[] = {1.0, 1.0, 1.0}, apart[] = {1.0, 0.0, 0.0},
                 grown[] = {1.0, 1.5};
    ck_assert_double_eq_tol(z_of(1, alike), 2.24140272760494537509, 1e-12);
    ck_assert_double_eq_tol(z_of(3, alike),
                            gsl_cdf_ugaussian_Qinv(0.025 * (1.0 - 1.0 / 4.0)), 1e-6);
    /* the second look passes, and the first, of which it knows nothing, has not */
    ck_assert_double_eq_tol(z_of(2, apart),
                            gsl_cdf_ugaussian_Qinv(0.025 / 6.0 / (1.0 - 0.0125)), 1e-4);
    ck_assert_double_eq_tol(z_of(2, grown), gsl_cdf_ugaussian_Qinv(0.025 / 6.0), 1e-9);
}
END_TEST

/* Means of more and more readings with an error in common, the truth at the limit: any of
 * 20 looks passes at most 2.5 times in 100, and not much less. */
START_TEST(risk_over_all_looks)
{
    const double common[] = {0.0, 0.5, 2.0}; /* sd, that of a reading is 1 */
    const int n = 40000;
    double z[20], sd[20], ratio[20], s2 = common[_i] * common[_i];
    int passed = 0;
    sim_random r;
    for (int k = 0; k < 20; k++) {
        double variance = s2 + 1.0 / (k + 1);
        ratio[k] = k ? variance / (sd[k - 1] * sd[k - 1]) : 1.0;
        sd[k] = sqrt(variance);
        z[k] = z_of((size_t)k + 1, ratio);
    }
    sim_seed(&r, 12 + (uint64_t)_i);
    for (int i = 0; i < n; i++) {
        double sum = 0.0, shared = common[_i] * sim_normal(&r);
        for (int k = 0; k < 20; k++) {
            sum += sim_normal(&r);
            if (shared + sum / (k + 1) >= z[k] * sd[k]) {
                passed++;
                break;
            }
        }
    }
    printf("shared %.1f: %.4f\n", common[_i], (double)passed / n);
    ck_assert_double_le(passed, 0.025 * n);
    ck_assert_double_ge(passed, 0.018 * n);
}
END_TEST

START_TEST(verdicts_stand)
{
    const dialarc_conformity sure = {0.005, 0.99, 0.005}, likely = {0.01, 0.976, 0.014},
                             not_so = {0.02, 0.97, 0.01}, low = {0.999, 0.001, 0.0};
    darc_looks looks = {.n = 0};
    darc_looks_count(&likely, 1.0, &looks);
    ck_assert_int_eq(darc_looks_verdict(&likely, &looks), DIALARC_VERDICT_UNDECIDED);
    darc_looks_count(&sure, 0.9, &looks);
    ck_assert_int_eq(darc_looks_verdict(&sure, &looks), DIALARC_VERDICT_IN);
    darc_looks_count(&likely, 0.9, &looks);
    ck_assert_int_eq(darc_looks_verdict(&likely, &looks), DIALARC_VERDICT_IN);
    darc_looks_count(&not_so, 0.9, &looks);
    ck_assert_int_eq(darc_looks_verdict(&not_so, &looks), DIALARC_VERDICT_UNDECIDED);
    darc_looks_count(&low, 0.9, &looks);
    ck_assert_int_eq(darc_looks_verdict(&low, &looks), DIALARC_VERDICT_LOW);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("looks");
    TCase *tc = tcase_create("looks");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, shares);
    tcase_add_loop_test(tc, risk_over_all_looks, 0, 3);
    tcase_add_test(tc, verdicts_stand);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
