/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The examples of JCGM 101:2008, clause 9. */
#include <dialarc/montecarlo.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/propagate_kit.h"
#include "kit/refdata.h"

#define TRIALS 1000000
#define SEED   3

static void check(const char *quantity, double computed)
{
    refdata *table = refdata_open("propagate.csv");
    refdata_check(table, refdata_find(table, "quantity", quantity), computed);
    refdata_close(table);
}

static dialarc_propagation monte_carlo(size_t n, const dialarc_input *input,
                                       dialarc_model model, double coverage)
{
    return kit_monte_carlo(n, input, model, TRIALS, SEED, coverage);
}

static double half(dialarc_propagation p)
{
    return 0.5 * (p.high - p.low);
}

START_TEST(additive_models)
{
    const double a = sqrt(3.0); /* standard deviation 1 */
    const dialarc_input n[] = {normal(0, 1), normal(0, 1), normal(0, 1), normal(0, 1)};
    const dialarc_input r[] = {rectangular(0, a), rectangular(0, a), rectangular(0, a),
                               rectangular(0, a)};
    const dialarc_input d[] = {r[0], r[1], r[2], rectangular(0, 10.0 * a)};
    double w = half(monte_carlo(4, n, sum_of_four, 0.95));
    check("9.2.2_half_width", w);
    check("9.2.2_half_width_printed", w);
    w = half(monte_carlo(4, r, sum_of_four, 0.95));
    check("9.2.3_half_width", w);
    check("9.2.3_half_width_printed", w);
    dialarc_propagation p = monte_carlo(4, d, sum_of_four, 0.95);
    check("9.2.4_half_width", half(p));
    check("9.2.4_half_width_printed", half(p));
    ck_assert_double_le(p.shortest_high - p.shortest_low, p.high - p.low);
    double value, sd, slope[4];
    ck_assert_int_eq(
        dialarc_propagate_linear(4, d, sum_of_four, NULL, slope, &value, &sd),
        DIALARC_OK);
    check("9.2.4_half_width_first_order", 1.959963984540054 * sd);
    for (int i = 0; i < 4; i++)
        ck_assert_double_eq_tol(slope[i], 1.0, 1e-12);
}
END_TEST

/* Conventional mass less its nominal value of 100 g, mg. */
static double mass(const double *x, void *context)
{
    (void)context;
    return (x[0] + x[1]) * (1.0 + (x[2] - 1.2) * (1.0 / x[3] - 1.0 / x[4])) - 1e5;
}

START_TEST(mass_calibration)
{
    const dialarc_input in[] = {normal(1e5, 0.05), normal(1.234, 0.02),
                                rectangular(1.2, 0.1), rectangular(8e3, 1e3),
                                rectangular(8e3, 50.0)};
    dialarc_propagation p = monte_carlo(5, in, mass, 0.95);
    check("9.3_mean", p.mean);
    check("9.3_sd", p.sd);
    check("9.3_sd_printed", p.sd);
    check("9.3_low", p.low);
    check("9.3_high", p.high);
    double value, sd; /* to first order the densities of air and weights drop out */
    ck_assert_int_eq(dialarc_propagate_linear(5, in, mass, NULL, NULL, &value, &sd),
                     DIALARC_OK);
    check("9.3_sd_first_order", sd);
}
END_TEST

/* Deviation of a gauge block from 50 mm, nm. */
static double gauge_block(const double *x, void *context)
{
    (void)context;
    return x[0] + x[1] + x[2] + x[3] - x[0] * (x[7] * (x[5] + x[6]) + x[4] * x[8]) - 5e7;
}

START_TEST(gauge_block_calibration)
{
    const dialarc_input in[] = {student(50000623.0, 25.0, 18.0),
                                student(215.0, 6.0, 24.0),
                                student(0.0, 4.0, 5.0),
                                student(0.0, 7.0, 8.0),
                                rectangular(11.5e-6, 2e-6),
                                normal(-0.1, 0.2),
                                {.shape = DIALARC_SHAPE_ARCSINE, .spread = 0.5},
                                inexact(1e-6, 1e-7),
                                inexact(0.05, 0.025)};
    dialarc_propagation p = monte_carlo(9, in, gauge_block, 0.99);
    check("9.5_mean", p.mean);
    check("9.5_mean_printed", p.mean);
    check("9.5_sd", p.sd);
    check("9.5_sd_printed", p.sd);
    check("9.5_low", p.low);
    check("9.5_low_printed", p.low);
    check("9.5_high", p.high);
    check("9.5_high_printed", p.high);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("propagate_examples");
    TCase *tc = tcase_create("examples");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, additive_models);
    tcase_add_test(tc, mass_calibration);
    tcase_add_test(tc, gauge_block_calibration);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
