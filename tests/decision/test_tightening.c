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

/* P(next shift < x) by brute force: for each way and each sd the shifts are one
 * multivariate normal distribution, which is conditioned by elimination. */
typedef struct brute {
    double mean, sd, below;
} brute;

enum { STEADY, ANEW, ABOUT, WANDERS, WAYS };

static const double chances[WAYS] = {0.3, 0.42, 0.14, 0.14};

static double prior_of(double sd)
{
    double precision = 1.0 / (sd * sd);
    return precision *
           gsl_ran_gamma_pdf(precision, DARC_SHIFT_SCATTER_DOF / 2.0,
                             2.0 / (DARC_SHIFT_SCATTER_DOF * DARC_SHIFT_SCATTER_MM *
                                    DARC_SHIFT_SCATTER_MM));
}

/* Covariance of shifts i and k of a job. */
static double covariance(int way, double sd, size_t i, size_t k)
{
    double mean = DARC_SHIFT_MEAN_SD_MM * DARC_SHIFT_MEAN_SD_MM, own = i == k ? 1.0 : 0.0;
    if (way == ANEW)
        return own * sd * sd;
    if (way == ABOUT)
        return ((i + k) % 2 ? -mean : mean) + own * sd * sd;
    if (way == WANDERS)
        return mean + sd * sd * (double)(i < k ? i : k) + own * 0.003 * 0.003;
    return mean + own * sd * sd;
}

/* Density of the shifts seen, and the next one's mean and variance given them. */
static double condition(int way, double sd, size_t n, const double *seen, double error,
                        double *mean, double *variance)
{
    double c[8][9], density = 1.0;
    for (size_t i = 0; i <= n; i++) {
        for (size_t k = 0; k <= n; k++)
            c[i][k] = covariance(way, sd, i, k) + (i == k && i < n ? error : 0.0);
        c[i][n + 1] = i < n ? seen[i] : 0.0;
    }
    for (size_t k = 0; k < n; k++) {
        density *= gsl_ran_gaussian_pdf(c[k][n + 1], sqrt(c[k][k]));
        for (size_t i = k + 1; i <= n; i++) {
            double f = c[i][k] / c[k][k];
            for (size_t l = k; l <= n + 1; l++)
                c[i][l] -= f * c[k][l];
        }
    }
    *mean = -c[n][n + 1];
    *variance = c[n][n];
    return density;
}

static brute by_brute_force(size_t n, const double *moved, double error, double x)
{
    double sum = 0.0, s1 = 0.0, s2 = 0.0, below = 0.0;
    for (int way = 0; way < WAYS; way++)
        for (double log_sd = -9.5; log_sd < -0.5; log_sd += 0.02)
            for (unsigned ways = 0; ways < (way == ANEW ? 2u << n : 1u); ways++) {
                double sd = exp(log_sd), m, variance, seen[8],
                       all = way == ANEW ? (double)(n + 1) : 0.0;
                for (size_t i = 0; i < n; i++)
                    seen[i] = moved[i] - (way != ANEW      ? 0.0
                                          : ways >> i & 1u ? DARC_SHIFT_ANEW_MM
                                                           : -DARC_SHIFT_ANEW_MM);
                double w = chances[way] * prior_of(sd) * pow(0.5, all) *
                           condition(way, sd, n, seen, error, &m, &variance);
                if (way == ANEW)
                    m += ways >> n & 1u ? DARC_SHIFT_ANEW_MM : -DARC_SHIFT_ANEW_MM;
                sum += w;
                s1 += w * m;
                s2 += w * (m * m + variance);
                below += w * gsl_cdf_gaussian_P(x - m, sqrt(variance));
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

/* common practice, no source: 0.01 to 0.02 mm, either way */
START_TEST(first_forecast_is_what_is_usual)
{
    darc_shift shift;
    darc_forecast f;
    darc_shift_begin(&shift);
    darc_shift_forecast(&shift, &f);
    ck_assert_double_eq_tol(f.shift_mm, 0.0, 1e-15);
    ck_assert_double_eq_tol(f.shift_sd_mm, 0.0153, 5e-4);
}
END_TEST

/* One pair tells little of the next; pairs that agree tell much, those that do not, none.
 */
START_TEST(a_mean_is_trusted_as_far_as_pairs_agree)
{
    const double steady[] = {0.015, 0.016, 0.014, 0.015}, error = 1e-5;
    const double anew[] = {0.015, -0.016, -0.014, 0.015};
    const double about[] = {0.015, -0.016, 0.014, -0.015};
    const double *const jobs[] = {steady, anew, about};
    darc_forecast f[3], one;
    darc_shift shift;
    for (int k = 0; k < 3; k++) {
        darc_shift_begin(&shift);
        darc_shift_learn(&shift, 0.015, error);
        darc_shift_forecast(&shift, &one);
        darc_shift_begin(&shift);
        for (int i = 0; i < 4; i++)
            darc_shift_learn(&shift, jobs[k][i], error);
        darc_shift_forecast(&shift, &f[k]);
    }
    ck_assert(one.shift_mm > 0.0 && one.shift_mm < 0.006);
    ck_assert_double_gt(one.shift_sd_mm, 0.012);
    ck_assert_double_gt(f[0].shift_mm, 0.008);
    ck_assert_double_lt(f[0].shift_sd_mm, one.shift_sd_mm);
    ck_assert_double_lt(fabs(f[1].shift_mm), 0.002);
    ck_assert_double_gt(f[1].shift_sd_mm, 0.012);
    ck_assert_double_gt(f[2].shift_mm, 0.004); /* up again */
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
        darc_forecast_aim(&f, &error, 0.0, 0.85, high, &aim, &p);
        for (double x = aim - 0.05; x < aim + 0.05; x += 0.0005) {
            const darc_belief loose = {x + error.mean_mm, error.sd_mm, error.width_mm};
            ck_assert_double_le(darc_forecast_split(&f, &loose, 0.85, high).inside,
                                p + 1e-8);
        }
    }
}
END_TEST

/* With a guard the aim is that of the window less the guard, of which half is left at
 * least, and its chance no more than that of shifts as far up as down. */
START_TEST(aim_keeps_off_the_limits)
{
    const darc_belief error = {0.0, 0.002, 0.002};
    darc_shift shift;
    darc_forecast f;
    double aim, inner, wide, capped, p, inner_p;
    darc_shift_begin(&shift);
    darc_shift_learn(&shift, 0.015, 1e-6);
    darc_shift_forecast(&shift, &f);
    darc_forecast_aim(&f, &error, 0.006, 0.88, 0.92, &aim, &p);
    darc_forecast_aim(&f, &error, 0.0, 0.886, 0.914, &inner, &inner_p);
    ck_assert_double_eq_tol(aim, inner, 1e-6);
    ck_assert_double_lt(aim, 0.9 - 0.01); /* all the way to the shift that was seen */
    darc_forecast_aim(&f, &error, 0.01, 0.88, 0.92, &wide, &inner_p);
    darc_forecast_aim(&f, &error, 1.0, 0.88, 0.92, &capped, &inner_p);
    ck_assert_double_eq(wide, capped);
    const darc_belief loose = {aim, error.sd_mm, error.width_mm};
    ck_assert_double_lt(p, darc_forecast_split(&f, &loose, 0.88, 0.92).inside - 0.05);
    ck_assert_double_eq_tol(p, 0.5, 0.1);
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
    darc_forecast_aim(&f, &error, 0.0, 0.85, 0.90, &aim, &p);
    ck_assert_double_eq_tol(aim, 0.8725, 1e-12);
    /* a window so wide that every reading will do: still the middle, less the shift */
    for (int i = 0; i < 3; i++)
        darc_shift_learn(&shift, 0.02, 1e-5);
    darc_shift_forecast(&shift, &f);
    darc_forecast_aim(&f, &error, 0.0, 0.0, 2.0, &aim, &p);
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
    tcase_add_test(tc, first_forecast_is_what_is_usual);
    tcase_add_test(tc, a_mean_is_trusted_as_far_as_pairs_agree);
    tcase_add_test(tc, many_pairs_make_the_prior_forgotten);
    suite_add_tcase(suite, tc);
    tc = tcase_create("aim");
    tcase_add_test(tc, aim_is_the_best_of_all_readings);
    tcase_add_test(tc, aim_keeps_off_the_limits);
    tcase_add_test(tc, aim_without_pairs_is_centred);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
