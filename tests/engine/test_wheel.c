/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/wheel.h>
#include <gsl/gsl_randist.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/rng_kit.h"

#define UNTOUCHED   12345.0
#define DEG_PER_RAD 57.29577951308232

/* What a pointer reads at the rim of a wheel whose centre lies off the crank: the angle,
 * about that centre, of the point of the rim below the pointer. Geometry, recomputed. */
static double reading(double pointer_deg, double off_mm, double towards_deg,
                      double radius_mm)
{
    double a = pointer_deg / DEG_PER_RAD, c = towards_deg / DEG_PER_RAD;
    double ux = cos(a), uy = sin(a), ox = off_mm * cos(c), oy = off_mm * sin(c);
    double along = ux * ox + uy * oy, across = ux * oy - uy * ox;
    double far = along + sqrt(radius_mm * radius_mm - across * across);
    return atan2(far * uy - oy, far * ux - ox) * DEG_PER_RAD;
}

/* 0.8 mm off at a radius of 120 mm is 0.382 degrees: found to the square of that, as is
 * what the pointers are not opposite by, and readings become true by it. */
START_TEST(a_wheel_off_its_centre)
{
    enum { N = 12 };
    const double off = 0.8, radius = 120.0, towards = 70.0, askew = 0.4;
    double pointer[N], opposite[N];
    for (int i = 0; i < N; i++) {
        double at = 30.0 * i + 3.0;
        pointer[i] = reading(at, off, towards, radius);
        opposite[i] = reading(at + 180.0 + askew, off, towards, radius);
    }
    dialarc_wheel w;
    ck_assert_int_eq(dialarc_wheel_from_pointers(N, pointer, opposite, 0.1, &w),
                     DIALARC_OK);
    ck_assert_double_eq_tol(w.error_deg, off / radius * DEG_PER_RAD, 2e-3);
    ck_assert_double_eq_tol(w.pointers_deg, askew, 2e-3);
    for (int i = 0; i < N; i++) {
        double error;
        ck_assert_int_eq(dialarc_wheel_error_at(&w, pointer[i], &error), DIALARC_OK);
        ck_assert_double_eq_tol(remainder(pointer[i] - error - 30.0 * i - 3.0, 360.0),
                                0.0, 3e-3);
    }
    ck_assert_double_lt(w.scatter, 0.02); /* readings that do not scatter */
    ck_assert_double_eq(w.dof, 0.0);
}
END_TEST

/* Eight places, invented; the numbers are NumPy's: numpy.linalg.lstsq of the equation in
 * the header, its covariance inv(X'X), with the scatter of 5 degrees of freedom and with
 * 0.3 degrees stated. */
START_TEST(fitted_as_by_numpy)
{
    const double pointer[] = {0, 45.2, 90.1, 135.0, 180.3, 224.8, 270.0, 315.1};
    const double opposite[] = {180.9, 226.6, 271.4, 315.8, 0.4, 44.3, 89.3, 134.9};
    dialarc_wheel w;
    ck_assert_int_eq(dialarc_wheel_from_pointers(8, pointer, opposite, 0.0, &w),
                     DIALARC_OK);
    ck_assert_double_eq_tol(w.error_deg, 0.5371654924386416, 1e-12);
    ck_assert_double_eq_tol(w.phase_deg, -109.23994570653856, 1e-10);
    ck_assert_double_eq_tol(w.pointers_deg, 0.38761916801832763, 1e-12);
    ck_assert_double_eq_tol(w.error_sd_deg, 0.028811252703733175, 1e-12);
    ck_assert_double_eq(w.dof, 5.0);
    ck_assert(isnan(w.scatter));
    dialarc_wheel_from_pointers(8, pointer, opposite, 0.3, &w);
    ck_assert_double_eq_tol(w.error_sd_deg, 0.10600279337099586, 1e-12);
    ck_assert_double_eq(w.dof, 0.0);
    dialarc_wheel_from_pointers(8, pointer, opposite, 0.1, &w);
    ck_assert_double_eq_tol(w.scatter, 0.8153913247237996, 1e-12);
}
END_TEST

/* Simulated readings: the half span is within twice its uncertainty 93 to 97 times in
 * 100, with the sd stated and with it found from nine degrees of freedom (Student's t:
 * 2.26). Four sd of a share of 0.95 in 4000 are 0.014. */
START_TEST(the_uncertainty_is_honest)
{
    enum { N = 12, RUNS = 4000 };
    const double factor[] = {1.96, 2.262}, stated[] = {0.15, 0.0};
    gsl_rng *rng = kit_seeded(51 + (unsigned)_i);
    int inside = 0;
    for (int run = 0; run < RUNS; run++) {
        double pointer[N], opposite[N], towards = 360.0 * gsl_rng_uniform(rng);
        for (int i = 0; i < N; i++) {
            pointer[i] = reading(30.0 * i, 0.9, towards, 110.0);
            opposite[i] = reading(30.0 * i + 180.0, 0.9, towards, 110.0);
            pointer[i] += gsl_ran_gaussian(rng, 0.15);
            opposite[i] += gsl_ran_gaussian(rng, 0.15);
        }
        dialarc_wheel w;
        dialarc_wheel_from_pointers(N, pointer, opposite, stated[_i], &w);
        double miss = w.error_deg - 0.9 / 110.0 * DEG_PER_RAD;
        double k = w.dof > 0.0 ? factor[1] : factor[0];
        inside += fabs(miss) <= k * w.error_sd_deg;
    }
    ck_assert_double_ge((double)inside / RUNS, 0.936);
    ck_assert_double_le((double)inside / RUNS, 0.98);
    gsl_rng_free(rng);
}
END_TEST

START_TEST(what_cannot_be_used_is_refused)
{
    double p[] = {0.0, 120.0, 240.0}, o[] = {180.0, 300.0, 60.0}, out = UNTOUCHED;
    const double nan = (double)NAN;
    dialarc_wheel w = {.error_deg = UNTOUCHED};
    ck_assert_int_eq(dialarc_wheel_from_pointers(3, NULL, o, 0.1, &w), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_wheel_from_pointers(3, p, NULL, 0.1, &w), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_wheel_from_pointers(3, p, o, 0.1, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_wheel_from_pointers(2, p, o, 0.1, &w), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_wheel_from_pointers(3, p, o, -0.1, &w), DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_wheel_from_pointers(3, p, o, nan, &w),
                     DIALARC_ERR_NOT_FINITE);
    p[1] = 0.0; /* three times one place */
    p[2] = 0.0;
    o[1] = 180.0;
    o[2] = 180.0;
    ck_assert_int_eq(dialarc_wheel_from_pointers(3, p, o, 0.1, &w),
                     DIALARC_ERR_NO_SOLUTION);
    o[2] = 20.0; /* no opposite pointer */
    ck_assert_int_eq(dialarc_wheel_from_pointers(3, p, o, 0.1, &w), DIALARC_ERR_ANGLE);
    o[2] = 1e10;
    ck_assert_int_eq(dialarc_wheel_from_pointers(3, p, o, 0.1, &w), DIALARC_ERR_RANGE);
    o[2] = nan;
    ck_assert_int_eq(dialarc_wheel_from_pointers(3, p, o, 0.1, &w),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(w.error_deg, UNTOUCHED);
    ck_assert_int_eq(dialarc_wheel_error_at(NULL, 0.0, &out), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_wheel_error_at(&w, 0.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_wheel_error_at(&w, nan, &out), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_wheel_error_at(&w, 1e10, &out), DIALARC_ERR_RANGE);
    w.error_deg = -1.0;
    ck_assert_int_eq(dialarc_wheel_error_at(&w, 0.0, &out), DIALARC_ERR_RANGE);
    ck_assert_double_eq(out, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("wheel");
    TCase *c = tcase_create("wheel");
    tcase_add_test(c, a_wheel_off_its_centre);
    tcase_add_test(c, fitted_as_by_numpy);
    tcase_add_loop_test(c, the_uncertainty_is_honest, 0, 2);
    tcase_add_test(c, what_cannot_be_used_is_refused);
    suite_add_tcase(s, c);
    return darc_run(s);
}
