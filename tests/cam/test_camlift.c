/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/cam.h>
#include <gsl/gsl_rng.h>
#include <math.h>

#include "cam/camlift.h"
#include "kit/cam_kit.h"
#include "kit/check_main.h"

#define UNTOUCHED 12345.0

/* The array form against the scalar one: a few units of the last place of the lift. */
START_TEST(arrays_agree_with_scalars)
{
    enum { N = 1300 };
    static double x[N], y[N], v[N], a[N];
    gsl_rng *rng = kit_seeded(13);
    for (int k = 0; k < 300; k++) {
        dialarc_cam cam = kit_draw(rng);
        double far = k % 3 == 0 ? 1e12 : 720.0;
        size_t n = gsl_rng_uniform_int(rng, N + 1);
        for (size_t i = 0; i < n; i++)
            x[i] = far * (gsl_rng_uniform(rng) - 0.5);
        ck_assert_int_eq(dialarc_cam_lift_array(&cam, n, x, y), DIALARC_OK);
        ck_assert_int_eq(dialarc_cam_rate_array(&cam, n, x, v), DIALARC_OK);
        ck_assert_int_eq(dialarc_cam_acceleration_array(&cam, n, x, a), DIALARC_OK);
        double steepest = 10.0 * cam.lift_mm * cam.lobes / 360.0;
        for (size_t i = 0; i < n; i++) {
            double blur = far > 1e9 ? 0.0 : 2e-13 * steepest + 2e-15;
            ck_assert_double_eq_tol(y[i], kit_lift(&cam, x[i]), blur + 5e-324);
            ck_assert_double_eq(v[i], kit_rate(&cam, x[i]));
            ck_assert_double_eq(a[i], kit_acceleration(&cam, x[i]));
        }
        ck_assert_int_eq(dialarc_cam_lift_array(&cam, n, x, x), DIALARC_OK);
        for (size_t i = 0; i < n; i++)
            ck_assert_double_eq(x[i], y[i]);
    }
    gsl_rng_free(rng);
}
END_TEST

/* Segment ends in the array form: dwells exact, as in the scalar one. */
START_TEST(arrays_hold_the_dwells)
{
    const dialarc_cam four = {4, 2.2, 35.0, 5.0, 10.0, DIALARC_LAW_POLY345, 0, 0.0, NULL};
    const double x[] = {0.0,   -0.0,  35.0, 38.0,  40.0,  80.0,  85.0,
                        -10.0, -52.0, 90.0, 128.0, 130.0, 360.0, 720.0};
    for (int law = 1; law < DIALARC_LAW_COUNT; law++) {
        dialarc_cam cam = four;
        double y[sizeof x / sizeof x[0]];
        cam.law = (dialarc_law)law;
        ck_assert_int_eq(dialarc_cam_lift_array(&cam, sizeof x / sizeof x[0], x, y),
                         DIALARC_OK);
        for (size_t i = 0; i < sizeof x / sizeof x[0]; i++) {
            double expected = kit_lift(&cam, x[i]);
            ck_assert_double_le(fabs(y[i] - expected), 4e-16 * expected);
            ck_assert(y[i] >= 0.0 && y[i] <= cam.lift_mm);
        }
    }
}
END_TEST

/* Both ways through the processor, bit by bit. */
START_TEST(wide_and_plain_are_the_same_bits)
{
    enum { N = 1025 };
    static double x[N], wide[N], plain[N];
    gsl_rng *rng = kit_seeded(16);
    for (int k = 0; k < 400; k++) {
        dialarc_cam cam = kit_draw(rng);
        size_t n = gsl_rng_uniform_int(rng, N + 1);
        for (size_t i = 0; i < n; i++)
            x[i] = 1440.0 * (gsl_rng_uniform(rng) - 0.5);
        ck_assert_int_eq(darc_cam_lift_many(&cam, n, x, wide), 1);
        ck_assert_int_eq(darc_cam_lift_plain(&cam, n, x, plain), 1);
        ck_assert_mem_eq(wide, plain, n * sizeof *wide);
    }
    gsl_rng_free(rng);
}
END_TEST

/* Too far or not finite: the caller is told, and nothing is written. */
START_TEST(far_angles_are_left_to_the_caller)
{
    const double strange[] = {1.1e9, -1e300, (double)NAN, (double)INFINITY};
    double x[600] = {0.0}, y[600] = {UNTOUCHED};
    const dialarc_cam cam = {4, 2.2, 35.0, 5.0, 10.0, DIALARC_LAW_POLY345, 0, 0.0, NULL};
    for (size_t i = 0; i < sizeof strange / sizeof strange[0]; i++)
        for (size_t at = 0; at < 600; at += 599) {
            x[at] = strange[i];
            ck_assert_int_eq(darc_cam_lift_many(&cam, 600, x, y), 0);
            ck_assert_double_eq(y[0], UNTOUCHED);
            x[at] = 0.0;
        }
    ck_assert_int_eq(darc_cam_lift_many(&cam, 600, x, y), 1);
    ck_assert_double_eq(y[0], 0.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("camlift");
    TCase *tests = tcase_create("camlift");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, arrays_agree_with_scalars);
    tcase_add_test(tests, arrays_hold_the_dwells);
    tcase_add_test(tests, wide_and_plain_are_the_same_bits);
    tcase_add_test(tests, far_angles_are_left_to_the_caller);
    return darc_run(suite);
}
