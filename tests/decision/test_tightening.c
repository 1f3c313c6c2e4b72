/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "decision/tightening.h"
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/simulate.h"

/* --- beliefs ------------------------------------------------------------------------ */

/* P(lift < x) by summing the normal distribution over 20000 slices of the width. */
static double sliced(const darc_belief *b, double x)
{
    const int n = 20000;
    double sum = 0.0;
    for (int i = 0; i < n; i++) {
        double at = b->mean_mm + b->width_mm * ((i + 0.5) / n - 0.5);
        sum += gsl_cdf_gaussian_P(x - at, b->sd_mm);
    }
    return sum / n;
}

START_TEST(belief_is_normal_plus_uniform)
{
    const darc_belief wide[] = {
        {0.87, 0.004, 0.02}, {0.84, 0.001, 0.01}, {0.9, 0.003, 0.0031}};
    for (size_t k = 0; k < 3; k++) {
        dialarc_conformity c = darc_belief_split(&wide[k], 0.85, 0.90);
        ck_assert_double_eq_tol(c.below, sliced(&wide[k], 0.85), 1e-7);
        ck_assert_double_eq_tol(c.above, 1.0 - sliced(&wide[k], 0.90), 1e-7);
        ck_assert_double_eq_tol(c.below + c.inside + c.above, 1.0, 1e-12);
        double u = darc_belief_expanded(&wide[k]), m = wide[k].mean_mm;
        ck_assert_double_eq_tol(sliced(&wide[k], m + u) - sliced(&wide[k], m - u), 0.95,
                                1e-7);
    }
}
END_TEST

START_TEST(small_width_may_be_taken_as_normal)
{
    const darc_belief narrow = {0.86, 0.004, 0.004};
    dialarc_conformity c = darc_belief_split(&narrow, 0.85, 0.90);
    ck_assert_double_eq_tol(c.below, sliced(&narrow, 0.85), 1e-4);
    double u = darc_belief_expanded(&narrow);
    ck_assert_double_eq_tol(sliced(&narrow, 0.86 + u) - sliced(&narrow, 0.86 - u), 0.95,
                            1e-4);
}
END_TEST

START_TEST(belief_without_noise)
{
    const darc_belief flat = {0.86, 0.0, 0.04}, sure = {0.86, 0.0, 0.0};
    dialarc_conformity c = darc_belief_split(&flat, 0.85, 0.90);
    ck_assert_double_eq_tol(c.below, 0.25, 1e-12);
    ck_assert_double_eq_tol(c.inside, 0.75, 1e-12);
    ck_assert_double_eq(c.above, 0.0);
    ck_assert_double_eq_tol(darc_belief_expanded(&flat), 0.019, 1e-12);
    c = darc_belief_split(&sure, 0.85, 0.90);
    ck_assert_double_eq(c.inside, 1.0);
    ck_assert_double_eq(darc_belief_expanded(&sure), 0.0);
}
END_TEST

/* --- the shift ---------------------------------------------------------------------- */

static dialarc_conformity after(const darc_forecast *f, double low, double high)
{
    const darc_belief at_zero = {0.0, 0.0, 0.0};
    return darc_forecast_split(f, &at_zero, low, high);
}

/* P(next shift < x) by brute force over mean and scatter of the job, on grids of its own.
 */
typedef struct brute {
    double mean, sd, below;
} brute;

static brute by_brute_force(size_t n, const double *moved, double error, double x)
{
    double sum = 0.0, s1 = 0.0, s2 = 0.0, below = 0.0;
    for (double log_sd = -9.5; log_sd < -0.5; log_sd += 0.02) {
        double sd = exp(log_sd), precision = 1.0 / (sd * sd);
        double prior =
            gsl_ran_gamma_pdf(precision, DARC_SHIFT_SCATTER_DOF / 2.0,
                              2.0 / (DARC_SHIFT_SCATTER_DOF * DARC_SHIFT_SCATTER_MM *
                                     DARC_SHIFT_SCATTER_MM)) *
            precision;
        for (double m = -0.0840; m < 0.0841; m += 0.0002) {
            double w = prior * gsl_ran_gaussian_pdf(m, DARC_SHIFT_MEAN_SD_MM);
            for (size_t i = 0; i < n; i++)
                w *= gsl_ran_gaussian_pdf(moved[i] - m, sqrt(sd * sd + error));
            sum += w;
            s1 += w * m;
            s2 += w * (m * m + sd * sd);
            below += w * gsl_cdf_gaussian_P(x - m, sd);
        }
    }
    double mean = s1 / sum;
    return (brute){mean, sqrt(s2 / sum - mean * mean), below / sum};
}

START_TEST(forecast_agrees_with_brute_force)
{
    const double moved[] = {0.017, 0.011, 0.024, -0.002}, error = 6.9e-5;
    darc_shift shift;
    darc_forecast f;
    darc_shift_begin(&shift);
    for (size_t n = 0; n <= 4; n++) {
        darc_shift_forecast(&shift, &f);
        brute b = by_brute_force(n, moved, error, 0.02);
        ck_assert_double_eq_tol(f.shift_mm, b.mean, 4e-6);
        ck_assert_double_eq_tol(f.shift_sd_mm, b.sd, 4e-6);
        ck_assert_double_eq_tol(after(&f, 0.02, 9.0).below, b.below, 2e-5);
        if (n < 4)
            darc_shift_learn(&shift, moved[n], error);
    }
    ck_assert_uint_eq(shift.pairs, 4);
}
END_TEST

/* Before any pair: Student's t of the scatter about a mean that is normal itself. */
START_TEST(first_forecast_is_the_stated_prior)
{
    darc_shift shift;
    darc_forecast f;
    darc_shift_begin(&shift);
    darc_shift_forecast(&shift, &f);
    for (double x = -0.05; x < 0.05; x += 0.007) {
        double sum = 0.0, weight = 0.0;
        for (double m = -0.14; m <= 0.14; m += 0.0001) {
            double w = gsl_ran_gaussian_pdf(m, DARC_SHIFT_MEAN_SD_MM);
            sum += w * gsl_cdf_tdist_P((x - m) / DARC_SHIFT_SCATTER_MM,
                                       DARC_SHIFT_SCATTER_DOF);
            weight += w;
        }
        ck_assert_double_eq_tol(after(&f, x, 9.0).below, sum / weight, 2e-4);
    }
    /* common practice, no source: 0.01 to 0.02 mm, either way */
    ck_assert_double_eq_tol(f.shift_mm, 0.0, 1e-15);
    ck_assert(f.shift_sd_mm > 0.010 && f.shift_sd_mm < 0.020);
}
END_TEST

START_TEST(many_pairs_make_the_prior_forgotten)
{
    darc_shift shift;
    darc_forecast f;
    sim_random random;
    sim_seed(&random, 5);
    darc_shift_begin(&shift);
    for (int i = 0; i < 3000; i++)
        darc_shift_learn(&shift,
                         0.06 + 0.012 * sim_normal(&random) + 0.008 * sim_normal(&random),
                         0.008 * 0.008);
    darc_shift_forecast(&shift, &f);
    ck_assert_double_eq_tol(f.shift_mm, 0.06, 4.0 * 0.0144 / sqrt(3000.0));
    ck_assert_double_eq_tol(f.shift_sd_mm, 0.012, 0.0015);
}
END_TEST

/* --- the aim ------------------------------------------------------------------------ */

START_TEST(aim_is_the_best_of_all_readings)
{
    const darc_belief error = {0.0025, 0.007, 0.005};
    const double moved[] = {0.02, 0.028, 0.004};
    darc_shift shift;
    darc_forecast f;
    darc_shift_begin(&shift);
    for (int i = 0; i < 3; i++)
        darc_shift_learn(&shift, moved[i], 1e-5);
    darc_shift_forecast(&shift, &f);
    for (double high = 0.86; high < 0.95; high += 0.01) {
        double aim, p;
        darc_forecast_aim(&f, &error, 0.85, high, &aim, &p);
        for (double x = aim - 0.05; x < aim + 0.05; x += 0.0005) {
            const darc_belief loose = {x + error.mean_mm, error.sd_mm, error.width_mm};
            ck_assert_double_le(darc_forecast_split(&f, &loose, 0.85, high).inside,
                                p + 1e-8);
        }
    }
}
END_TEST

START_TEST(aim_without_pairs_is_centred)
{
    const darc_belief error = {0.0025, 0.007, 0.005};
    darc_shift shift;
    darc_forecast f;
    double aim, p;
    darc_shift_begin(&shift);
    darc_shift_forecast(&shift, &f);
    darc_forecast_aim(&f, &error, 0.85, 0.90, &aim, &p);
    ck_assert_double_eq_tol(aim, 0.8725, 1e-12);
    /* a window so wide that every reading will do: still the middle, less the shift */
    for (int i = 0; i < 3; i++)
        darc_shift_learn(&shift, 0.02, 1e-5);
    darc_shift_forecast(&shift, &f);
    darc_forecast_aim(&f, &error, 0.0, 2.0, &aim, &p);
    ck_assert_double_eq_tol(aim, 1.0 - 0.0025 - f.shift_mm, 1e-12);
    ck_assert_double_eq_tol(p, 1.0, 1e-9);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("aim");
    TCase *tc = tcase_create("belief");
    tcase_add_test(tc, belief_is_normal_plus_uniform);
    tcase_add_test(tc, small_width_may_be_taken_as_normal);
    tcase_add_test(tc, belief_without_noise);
    suite_add_tcase(suite, tc);
    tc = tcase_create("shift");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, forecast_agrees_with_brute_force);
    tcase_add_test(tc, first_forecast_is_the_stated_prior);
    tcase_add_test(tc, many_pairs_make_the_prior_forgotten);
    suite_add_tcase(suite, tc);
    tc = tcase_create("aim");
    tcase_add_test(tc, aim_is_the_best_of_all_readings);
    tcase_add_test(tc, aim_without_pairs_is_centred);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
