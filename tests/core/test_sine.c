/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sine and cosine against those of the C library in long double. */
#include <fenv.h>
#include <math.h>

#include "core/angle.h"
#include "core/sine.h"
#include "kit/check_main.h"
#include "kit/simulate.h"

static void compare(double x)
{
    double s, c;
    darc_sine_cosine(x, &s, &c);
    ck_assert_double_eq_tol(s, (double)sinl((long double)x), 4.5e-16);
    ck_assert_double_eq_tol(c, (double)cosl((long double)x), 4.5e-16);
}

START_TEST(as_the_c_library)
{
    sim_random r;
    sim_seed(&r, 660);
    for (int k = 0; k < 100000; k++) {
        compare(sim_uniform(&r, -7.0, 7.0));
        compare(sim_uniform(&r, -1.0, 1.0) * DARC_SINE_NEAR);
    }
    for (int k = -100; k <= 100; k++) /* about the seams of the parts */
        for (int step = -3; step <= 3; step++)
            compare(k * DARC_PI / 4.0 + step * 1e-16 * fabs((double)k));
    compare(1e9);
    compare(-3e300);
}
END_TEST

/* A flank leaves its dwell from 0, and small angles keep all their digits. */
START_TEST(at_zero)
{
    double s, c;
    darc_sine_cosine(0.0, &s, &c);
    ck_assert_double_eq(s, 0.0);
    ck_assert_double_eq(c, 1.0);
    for (double x = 1e-12; x < 0.1; x *= 3.0) {
        darc_sine_cosine(x, &s, &c);
        ck_assert_double_eq_tol(s / x, (double)(sinl((long double)x) / x), 2.3e-16);
    }
}
END_TEST

/* A block gives the same bits as its angles one by one, far ones among them. */
START_TEST(a_block)
{
    sim_random r;
    double x[DARC_SINE_BLOCK], s[DARC_SINE_BLOCK], c[DARC_SINE_BLOCK], one_s, one_c;
    sim_seed(&r, 661);
    for (int k = 0; k < 20000; k++) {
        double reach = k % 3 == 0 ? 2.0 : k % 3 == 1 ? 400.0 : 2.0 * DARC_SINE_NEAR;
        for (int i = 0; i < DARC_SINE_BLOCK; i++)
            x[i] = sim_uniform(&r, -reach, reach);
        darc_sine_cosine_block(x, s, c);
        for (int i = 0; i < DARC_SINE_BLOCK; i++) {
            darc_sine_cosine(x[i], &one_s, &one_c);
            ck_assert_double_eq(s[i], one_s);
            ck_assert_double_eq(c[i], one_c);
        }
    }
}
END_TEST

/* In any rounding mode, to what the host promises of its results there. */
START_TEST(any_rounding_mode)
{
    static const int mode[] = {FE_UPWARD, FE_DOWNWARD, FE_TOWARDZERO};
    double x[DARC_SINE_BLOCK], s[DARC_SINE_BLOCK], c[DARC_SINE_BLOCK];
    for (size_t k = 0; k < sizeof mode / sizeof mode[0]; k++)
        for (double from = -30.0; from < 30.0; from += 0.7) {
            for (int i = 0; i < DARC_SINE_BLOCK; i++)
                x[i] = from + 0.3 * i;
            fesetround(mode[k]);
            darc_sine_cosine_block(x, s, c);
            fesetround(FE_TONEAREST);
            for (int i = 0; i < DARC_SINE_BLOCK; i++) {
                ck_assert_double_eq_tol(s[i], sin(x[i]), 1e-8);
                ck_assert_double_eq_tol(c[i], cos(x[i]), 1e-8);
            }
        }
}
END_TEST

START_TEST(not_a_number)
{
    double s, c;
    darc_sine_cosine(NAN, &s, &c);
    ck_assert_double_nan(s);
    ck_assert_double_nan(c);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sine");
    TCase *tc = tcase_create("sine and cosine");
    tcase_add_test(tc, as_the_c_library);
    tcase_add_test(tc, at_zero);
    tcase_add_test(tc, a_block);
    tcase_add_test(tc, any_rounding_mode);
    tcase_add_test(tc, not_a_number);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
