/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/minimum.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"
#include "kit/simulate.h"

#define MOST 80

static const double nothing[] = {0.0};

static void check(const char *set, const char *quantity, double computed)
{
    refdata_check_named("regression.csv", "set", set, "quantity", quantity, computed);
}

static dialarc_minimum fit(size_t n, const double *x, const double *y, const double *sd)
{
    dialarc_minimum m;
    ck_assert_int_eq(dialarc_minimum_fit(n, x, y, sd, &m), DIALARC_OK);
    return m;
}

/* Eleven readings, sd 0.005 mm, curvature 0.001 mm per square degree, minimum in the
 * middle. */
START_TEST(uncertainty_of_an_equally_spaced_parabola)
{
    double x[11], y[11], sd[11];
    for (int i = 0; i < 11; i++) {
        x[i] = i - 5.0;
        y[i] = 0.001 * x[i] * x[i];
        sd[i] = 0.005;
    }
    dialarc_minimum m = fit(11, x, y, sd);
    check("parabola", "u_b", sqrt(m.covariance[1][1]));
    check("parabola", "u_c", sqrt(m.covariance[2][2]));
    check("parabola", "u_x0", m.angle_sd_deg);
    check("parabola", "u_y0", m.value_sd_mm);
    ck_assert_double_eq_tol(m.angle_deg, 0.0, 1e-12);
    ck_assert_double_eq_tol(m.value_mm, 0.0, 1e-15);
    ck_assert_int_eq(m.bracketed, 1);
}
END_TEST

/* A certified parabola turned upside down, so that it has a minimum. */
START_TEST(certified_parabola)
{
    double x[MOST], y[MOST], value, sd;
    size_t n = 0;
    refdata *table = refdata_open("regression_data.csv");
    for (size_t row = 0; row < refdata_rows(table); row++)
        if (strcmp(refdata_text(table, row, "set"), "pontius") == 0) {
            x[n] = refdata_number(table, row, "x1");
            y[n++] = -refdata_number(table, row, "y");
        }
    refdata_close(table);
    dialarc_minimum m = fit(n, x, y, NULL);
    double c = m.coefficient[2], b = m.coefficient[1] - 2.0 * c * m.centre_deg;
    check("pontius", "b2", -c);
    check("pontius", "s2", sqrt(m.covariance[2][2]));
    check("pontius", "b1", -b);
    check("pontius", "rss", m.residual_sd_mm * m.residual_sd_mm * (double)(n - 3));
    ck_assert_int_eq(dialarc_minimum_predict(&m, 0.0, &value, &sd), DIALARC_OK);
    check("pontius", "b0", -value);
    check("pontius", "s0", sd);
    ck_assert_int_eq(m.bracketed, 0); /* its extremum lies far outside */
}
END_TEST

/* JCGM 100:2008, 5.1.3: each reading moved by its own uncertainty, and the results added
 * in squares. The minimum lies at the edge of the readings, far from their centre. */
START_TEST(uncertainty_is_that_of_the_readings)
{
    double x[9], y[9], sd[9], angle = 0.0, value = 0.0;
    for (int i = 0; i < 9; i++) {
        x[i] = 10.0 + i;
        y[i] = 0.002 * (x[i] - 10.6) * (x[i] - 10.6);
        sd[i] = 0.0001 * (1 + i % 5);
    }
    dialarc_minimum m = fit(9, x, y, sd);
    for (int i = 0; i < 9; i++) {
        double kept = y[i];
        y[i] = kept + 0.01 * sd[i];
        dialarc_minimum up = fit(9, x, y, sd);
        y[i] = kept - 0.01 * sd[i];
        dialarc_minimum down = fit(9, x, y, sd);
        y[i] = kept;
        angle += pow((up.angle_deg - down.angle_deg) / 0.02, 2);
        value += pow((up.value_mm - down.value_mm) / 0.02, 2);
    }
    ck_assert_double_eq_tol(m.angle_sd_deg / sqrt(angle), 1.0, 1e-6);
    ck_assert_double_eq_tol(m.value_sd_mm / sqrt(value), 1.0, 1e-6);
}
END_TEST

/* One sweep over a minimum with normal errors; 1 when truth lies within 1.96 sd. */
static void cover(sim_random *random, size_t n, int *angle, int *value, int *prediction)
{
    double x[MOST], y[MOST], sd[MOST], expected, u;
    const double x0 = 1.7, y0 = 0.4, c = 0.0012;
    for (size_t i = 0; i < n; i++) {
        x[i] = -9.0 + 20.0 * (double)i / (double)(n - 1);
        sd[i] = i % 3 ? 0.004 : 0.002;
        y[i] = y0 + c * (x[i] - x0) * (x[i] - x0) + sd[i] * sim_normal(random);
    }
    dialarc_minimum m = fit(n, x, y, sd);
    *angle += fabs(m.angle_deg - x0) < 1.96 * m.angle_sd_deg;
    *value += fabs(m.value_mm - y0) < 1.96 * m.value_sd_mm;
    ck_assert_int_eq(dialarc_minimum_predict(&m, 14.0, &expected, &u), DIALARC_OK);
    *prediction += fabs(expected - y0 - c * 12.3 * 12.3) < 1.96 * u;
}

START_TEST(stated_uncertainties_are_kept)
{
    const int n = 20000;
    sim_random random;
    int angle = 0, value = 0, prediction = 0;
    sim_seed(&random, 31);
    for (int k = 0; k < n; k++)
        cover(&random, 41, &angle, &value, &prediction);
    /* 95 % within four standard errors of the count, 0.0062 */
    ck_assert_double_eq_tol((double)angle / n, 0.95, 0.0062);
    ck_assert_double_eq_tol((double)value / n, 0.95, 0.0062);
    ck_assert_double_eq_tol((double)prediction / n, 0.95, 0.0062);
}
END_TEST

/* A real foot: both flanks rise by the third power, as 3-4-5 polynomials and cycloids do,
 * or by the fourth; the parabola is kept to where it holds. */
START_TEST(foot_of_a_real_cam)
{
    const int n = 2000;
    sim_random random;
    double bias = 0.0, widest = 0.0;
    int covered = 0, told = 0;
    sim_seed(&random, 32 + (uint64_t)_i);
    for (int k = 0; k < n; k++) {
        double x[61], y[61], sd[61];
        for (int i = 0; i < 61; i++) {
            x[i] = 0.5 * i - 15.0;
            double t = fabs(x[i] - 0.7) / 15.0;
            y[i] = 0.3 * pow(t, 3.0 + _i) + 0.002 * sim_normal(&random);
            sd[i] = 0.002;
        }
        dialarc_minimum m;
        ck_assert_int_eq(dialarc_minimum_fit(61, x, y, sd, &m), DIALARC_OK);
        told++;
        bias += m.value_mm;
        covered += fabs(m.value_mm) < 1.96 * m.value_sd_mm;
        widest = fmax(widest, fabs(m.value_mm) / m.value_sd_mm);
    }
    printf("power %d: told %d, bias %.4f mm, cover %.3f, worst %.1f sd\n", 3 + _i, told,
           bias / told, (double)covered / told, widest);
    ck_assert_double_le(fabs(bias / told), 0.001);
    ck_assert_double_ge(covered, 0.75 * told);
}
END_TEST

START_TEST(equal_weights_are_no_weights)
{
    const double x[] = {350.0, 352.0, 354.0, 356.0, 358.0, 360.0};
    const double y[] = {0.11, 0.05, 0.02, 0.02, 0.04, 0.12};
    double sd[6], ten_y[6], value, u, value2, u2;
    dialarc_minimum free = fit(6, x, y, NULL);
    for (int i = 0; i < 6; i++) {
        sd[i] = free.residual_sd_mm;
        ten_y[i] = 10.0 * y[i];
    }
    dialarc_minimum given = fit(6, x, y, sd), ten = fit(6, x, ten_y, NULL);
    ck_assert_double_eq_tol(given.angle_deg, free.angle_deg, 1e-10);
    ck_assert_double_eq_tol(given.angle_sd_deg, free.angle_sd_deg, 1e-12);
    ck_assert_double_eq_tol(given.value_sd_mm, free.value_sd_mm, 1e-14);
    ck_assert_double_eq_tol(given.residual_sd_mm, free.residual_sd_mm, 1e-14);
    /* Another unit of the dial: same angle, ten times the value. */
    ck_assert_double_eq_tol(ten.angle_deg, free.angle_deg, 1e-10);
    ck_assert_double_eq_tol(ten.angle_sd_deg, free.angle_sd_deg, 1e-11);
    ck_assert_double_eq_tol(ten.value_mm, 10.0 * free.value_mm, 1e-13);
    ck_assert_int_eq(dialarc_minimum_predict(&free, 355.0, &value, &u), DIALARC_OK);
    ck_assert_int_eq(dialarc_minimum_predict(&ten, 355.0, &value2, &u2), DIALARC_OK);
    ck_assert_double_eq_tol(value2, 10.0 * value, 1e-13);
    ck_assert_double_eq_tol(u2, 10.0 * u, 1e-13);
}
END_TEST

START_TEST(no_minimum_no_answer)
{
    const double x[] = {0, 1, 2, 3}, hill[] = {0, 1, 1, 0};
    const double y[] = {1, 0, 0, 1}, two[] = {0, 1, 0, 1}, same[] = {5, 5, 5, 5};
    const double bad[] = {0, NAN, 2, 3}, zero[] = {1, 0, 1, 1};
    dialarc_minimum m = {.angle_deg = -7.0};
    ck_assert_int_eq(dialarc_minimum_fit(4, x, hill, NULL, &m), DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(dialarc_minimum_fit(4, two, y, NULL, &m), DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(dialarc_minimum_fit(4, same, y, NULL, &m), DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(dialarc_minimum_fit(4, x, same, NULL, &m), DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(dialarc_minimum_fit(3, x, y, NULL, &m), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_minimum_fit(2, x, y, y, &m), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_minimum_fit(0, NULL, NULL, NULL, &m), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_minimum_fit(4, NULL, y, NULL, &m), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_minimum_fit(4, x, NULL, NULL, &m), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_minimum_fit(4, x, y, NULL, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_minimum_fit(4, bad, y, NULL, &m), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_minimum_fit(4, x, bad, NULL, &m), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_minimum_fit(4, x, y, bad, &m), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_minimum_fit(4, x, y, zero, &m), DIALARC_ERR_SD);
    ck_assert_double_eq(m.angle_deg, -7.0);
}
END_TEST

START_TEST(three_readings_are_just_enough)
{
    const double x[] = {-2, 0, 2}, y[] = {0.4, 0.0, 0.4}, sd[] = {0.01, 0.01, 0.01};
    dialarc_minimum m = fit(3, x, y, sd);
    ck_assert_double_eq_tol(m.angle_deg, 0.0, 1e-14);
    ck_assert_double_eq_tol(m.value_sd_mm, 0.01, 1e-15); /* only the middle one counts */
    ck_assert_double_eq(m.residual_sd_mm, 0.0);
}
END_TEST

START_TEST(prediction_refuses_nonsense)
{
    const double x[] = {-2, 0, 2}, y[] = {0.4, 0.0, 0.4}, sd[] = {0.01, 0.01, 0.01};
    dialarc_minimum m = fit(3, x, y, sd);
    double v = -7.0, u = -7.0;
    ck_assert_int_eq(dialarc_minimum_predict(NULL, 0, &v, &u), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_minimum_predict(&m, 0, NULL, &u), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_minimum_predict(&m, 0, &v, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_minimum_predict(&m, NAN, &v, &u), DIALARC_ERR_NOT_FINITE);
    m.covariance[2][1] = NAN;
    ck_assert_int_eq(dialarc_minimum_predict(&m, 0, &v, &u), DIALARC_ERR_NOT_FINITE);
    ck_assert(v == -7.0 && u == -7.0);
}
END_TEST

/* Share of `n` simulated bottoms whose shape is doubted at 5 %. */
static double doubted(double quartic, int with_sd, int n)
{
    sim_random random;
    int count = 0;
    sim_seed(&random, 77);
    for (int k = 0; k < n; k++) {
        double x[21], y[21], sd[21], p;
        for (int i = 0; i < 21; i++) {
            x[i] = 100.0 + i;
            double t = (i - 9.0) / 10.0;
            y[i] = 0.1 * t * t + quartic * pow(t, 4) + 0.003 * sim_normal(&random);
            sd[i] = 0.003;
        }
        ck_assert_int_eq(dialarc_minimum_shape(21, x, y, with_sd ? sd : NULL, &p),
                         DIALARC_OK);
        ck_assert(p >= 0.0 && p <= 1.0);
        count += p < 0.05;
    }
    return (double)count / n;
}

START_TEST(shape_is_doubted_when_it_should_be)
{
    /* a true parabola: 5 % within four standard errors of 10^4 */
    ck_assert_double_eq_tol(doubted(0.0, 0, 10000), 0.05, 0.0088);
    ck_assert_double_eq_tol(doubted(0.0, 1, 10000), 0.05, 0.0088);
    ck_assert_double_gt(doubted(0.1, 0, 200), 0.99); /* as flat as a dwell */
    ck_assert_double_gt(doubted(0.1, 1, 200), 0.99);
}
END_TEST

START_TEST(shape_refuses_too_little)
{
    const double x[] = {0, 1, 2, 3, 4, 4}, y[] = {4, 1, 0, 1, 4, 4},
                 one[] = {1, 1, 1, 1, 1};
    const double four[] = {0, 1, 2, 3, 3, 3};
    double p = -7.0;
    ck_assert_int_eq(dialarc_minimum_shape(5, x, y, NULL, &p), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_minimum_shape(4, x, y, one, &p), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_minimum_shape(6, four, y, NULL, &p),
                     DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(dialarc_minimum_shape(6, x, y, NULL, NULL), DIALARC_ERR_NULL);
    ck_assert_double_eq(p, -7.0);
    ck_assert_int_eq(dialarc_minimum_shape(5, x, y, one, &p), DIALARC_OK);
    ck_assert_double_gt(p, 0.999);
}
END_TEST

/* Where the parabola leaves nothing over, nothing speaks against it. */
START_TEST(shape_of_nothing_is_not_doubted)
{
    const double angle[] = {0, 1, 2, 3, 4, 5}, dial[6] = {0.0};
    double p = -7.0;
    ck_assert_int_eq(dialarc_minimum_shape(6, angle, dial, NULL, &p), DIALARC_OK);
    ck_assert_double_eq(p, 1.0);
}
END_TEST

START_TEST(midpoints_of_alike_flanks)
{
    const double falling[] = {-10.0, -7.1, -4.9}, rising[] = {12.0, 9.0, 7.1};
    dialarc_midpoints m;
    ck_assert_int_eq(dialarc_minimum_midpoints(3, falling, rising, NULL, 0.2, &m),
                     DIALARC_OK);
    ck_assert_double_eq_tol(m.angle_deg, 6.1 / 6.0, 1e-14);
    ck_assert_double_eq_tol(m.angle_sd_deg, 0.2 / sqrt(6.0), 1e-15);
    ck_assert(m.lean_deg_per_mm == 0.0 && m.lean_sd_deg_per_mm == 0.0);
    ck_assert_int_eq(dialarc_minimum_midpoints(1, falling, rising, NULL, 0.2, &m),
                     DIALARC_OK);
    ck_assert_double_eq_tol(m.angle_deg, 1.0, 1e-14);
    ck_assert_double_eq_tol(m.angle_sd_deg, 0.2 / sqrt(2.0), 1e-15);
    /* from the scatter: middles 1.0, 0.95, 1.1 */
    ck_assert_int_eq(dialarc_minimum_midpoints(3, falling, rising, NULL, 0.0, &m),
                     DIALARC_OK);
    ck_assert_double_eq_tol(m.angle_sd_deg, sqrt(0.035 / 6.0 / 3.0), 1e-13);
}
END_TEST

/* Unlike flanks: the middles lean, and each flank is followed down to its foot. */
START_TEST(midpoints_of_unlike_flanks)
{
    double falling[6], rising[6], height[6];
    for (int i = 0; i < 6; i++) {
        height[i] = 0.02 * (i + 1);
        falling[i] = 350.0 - sqrt(height[i] / 0.002);
        rising[i] = 350.0 + 1.5 * sqrt(height[i] / 0.002);
    }
    dialarc_midpoints m, lean;
    ck_assert_int_eq(dialarc_minimum_midpoints(6, falling, rising, NULL, 0.2, &m),
                     DIALARC_OK);
    ck_assert_double_gt(m.angle_deg, 351.0);
    ck_assert_int_eq(dialarc_minimum_midpoints(6, falling, rising, height, 1e-4, &lean),
                     DIALARC_OK);
    ck_assert_double_eq_tol(lean.angle_deg, 350.0, 0.01);
    /* by the middle at the mean height, 0.07 mm */
    ck_assert_double_eq_tol(lean.lean_deg_per_mm, 0.25 * sqrt(0.07 / 0.002) / 0.07, 0.02);
}
END_TEST

/* Flanks of other powers, as the foot of a rise by one law and the end of a fall by
 * another: the truth is covered, far better than by a line through the middles. */
START_TEST(midpoints_of_real_flanks)
{
    static const double powers[][2] = {{2, 2}, {3, 3}, {2, 3}, {4, 2}, {3, 4}};
    const int n = 4000;
    int covered = 0;
    double bias = 0.0, sd = 0.0;
    sim_random r;
    sim_seed(&r, 90 + (uint64_t)_i);
    for (int k = 0; k < n; k++) {
        double falling[10], rising[10], height[10];
        for (int i = 0; i < 10; i++) {
            height[i] = 0.02 + 0.03 * i;
            double down = 20.0 * pow(height[i] / 0.4, 1.0 / powers[_i][0]);
            double up = 14.0 * pow(height[i] / 0.4, 1.0 / powers[_i][1]);
            falling[i] = 100.0 - down + 0.2 * sim_normal(&r);
            rising[i] = 100.0 + up + 0.2 * sim_normal(&r);
        }
        dialarc_midpoints m;
        ck_assert_int_eq(dialarc_minimum_midpoints(10, falling, rising, height, 0.2, &m),
                         DIALARC_OK);
        bias += m.angle_deg - 100.0;
        sd += m.angle_sd_deg;
        covered += fabs(m.angle_deg - 100.0) < 1.96 * m.angle_sd_deg;
    }
    printf("powers %.0f and %.0f: bias %.3f, sd %.3f, cover %.3f\n", powers[_i][0],
           powers[_i][1], bias / n, sd / n, (double)covered / n);
    ck_assert_double_ge(covered, 0.93 * n);
    ck_assert_double_le(fabs(bias), sd);
}
END_TEST

START_TEST(bad_pairs_are_refused)
{
    const double f[] = {-1, -2, -3}, r[] = {1, 2, 3}, h[] = {0.1, 0.1, 0.1};
    const double crossed[] = {1, -5, 3}, bad[] = {1, NAN, 3}, low[] = {0.1, -0.1, 0.2};
    dialarc_midpoints m = {.angle_deg = -7.0};
    ck_assert_int_eq(dialarc_minimum_midpoints(3, NULL, r, h, 1, &m), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_minimum_midpoints(3, f, NULL, h, 1, &m), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_minimum_midpoints(3, f, r, h, 1, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_minimum_midpoints(0, nothing, nothing, NULL, 1, &m),
                     DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_minimum_midpoints(1, f, r, NULL, 0, &m), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_minimum_midpoints(1, f, r, h, 1, &m), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_minimum_midpoints(2, f, r, h, 0, &m), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_minimum_midpoints(3, f, r, h, 1, &m),
                     DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(dialarc_minimum_midpoints(3, f, crossed, h, 1, &m),
                     DIALARC_ERR_ORDER);
    ck_assert_int_eq(dialarc_minimum_midpoints(3, f, r, low, 1, &m), DIALARC_ERR_LIFT);
    ck_assert_int_eq(dialarc_minimum_midpoints(3, f, r, h, -1, &m), DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_minimum_midpoints(3, f, r, h, NAN, &m),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_minimum_midpoints(3, f, r, bad, 1, &m),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_minimum_midpoints(3, f, bad, h, 1, &m),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(m.angle_deg, -7.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("minimum");
    TCase *tc = tcase_create("parabola");
    tcase_add_test(tc, uncertainty_of_an_equally_spaced_parabola);
    tcase_add_test(tc, certified_parabola);
    tcase_add_test(tc, uncertainty_is_that_of_the_readings);
    tcase_add_test(tc, stated_uncertainties_are_kept);
    tcase_add_loop_test(tc, foot_of_a_real_cam, 0, 2);
    tcase_add_test(tc, equal_weights_are_no_weights);
    tcase_add_test(tc, no_minimum_no_answer);
    tcase_add_test(tc, three_readings_are_just_enough);
    tcase_add_test(tc, prediction_refuses_nonsense);
    tcase_add_test(tc, shape_is_doubted_when_it_should_be);
    tcase_add_test(tc, shape_refuses_too_little);
    tcase_add_test(tc, shape_of_nothing_is_not_doubted);
    suite_add_tcase(suite, tc);
    tc = tcase_create("midpoints");
    tcase_add_test(tc, midpoints_of_alike_flanks);
    tcase_add_test(tc, midpoints_of_unlike_flanks);
    tcase_add_loop_test(tc, midpoints_of_real_flanks, 0, 5);
    tcase_add_test(tc, bad_pairs_are_refused);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
