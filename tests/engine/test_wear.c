/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/wear.h>
#include <gsl/gsl_rng.h>
#include <math.h>

#include "kit/check_main.h"

#define UNTOUCHED 12345.0

/* Invented figures. */
static const dialarc_wear belt = {4e-4, 20.0, 1e-4};
static const dialarc_stage stage = {20, 40, 0, 9.525, 0.0, 0.0};

static double strain(const dialarc_wear *wear, double hours)
{
    double out = UNTOUCHED;
    ck_assert_int_eq(dialarc_wear_strain(wear, 1, &hours, &out), DIALARC_OK);
    return out;
}

/* Worked by hand: 1 - 1/e of the settling after settling_h, all of it long after. */
START_TEST(belt_settles_and_then_creeps)
{
    double hours[3] = {0.0, 20.0, 2000.0};
    ck_assert_int_eq(dialarc_wear_strain(&belt, 3, hours, hours), DIALARC_OK);
    ck_assert_double_eq(hours[0], 0.0);
    ck_assert_double_eq_tol(hours[1], 4e-4 * 0.6321205588285577 + 2e-6, 1e-18);
    ck_assert_double_eq_tol(hours[2], 4e-4 + 2e-4, 1e-18);
    ck_assert_int_eq(dialarc_wear_strain(&belt, 0, NULL, NULL), DIALARC_OK);
}
END_TEST

/* 1e-12 relative over eight decades of time, each part alone and both together. */
START_TEST(inverse_round_trips)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 71);
    for (int k = 0; k < 6000; k++) {
        dialarc_wear wear = {1e-3 * gsl_rng_uniform_pos(rng),
                             1.0 + 99.0 * gsl_rng_uniform(rng),
                             1e-3 * gsl_rng_uniform_pos(rng)};
        if (k % 3 == 1)
            wear.settling = 0.0;
        if (k % 3 == 2)
            wear.strain_per_1000_h = 0.0;
        double hours = pow(10.0, 8.0 * gsl_rng_uniform(rng) - 4.0), back = UNTOUCHED;
        if (k % 3 == 2)
            hours = fmin(hours, 3.0 * wear.settling_h); /* later it tells no time */
        ck_assert_int_eq(dialarc_wear_service(&wear, strain(&wear, hours), &back),
                         DIALARC_OK);
        ck_assert_double_eq_tol(back, hours, 1e-12 * hours);
        ck_assert_double_eq_tol(strain(&wear, back), strain(&wear, hours),
                                1e-12 * strain(&wear, hours));
    }
    double at = UNTOUCHED;
    ck_assert_int_eq(dialarc_wear_service(&belt, 0.0, &at), DIALARC_OK);
    ck_assert_double_eq(at, 0.0);
    gsl_rng_free(rng);
}
END_TEST

/* Worked by hand: 300 mm with a strain of 1e-3 lose 0.2997 mm, 1.8898 crank degrees each.
 */
START_TEST(lengthening_makes_late)
{
    double advance = UNTOUCHED;
    ck_assert_int_eq(dialarc_wear_advance(1, &stage, 0, 300.0, 1e-3, &advance),
                     DIALARC_OK);
    ck_assert_double_eq_tol(advance, -0.3 / 1.001 * 360.0 / (9.525 * 20.0), 1e-15);
    ck_assert_int_eq(dialarc_wear_advance(1, &stage, 0, 300.0, 0.0, &advance),
                     DIALARC_OK);
    ck_assert_double_eq(advance, 0.0);
}
END_TEST

START_TEST(bad_belts_are_refused)
{
    const double nan = (double)NAN;
    const struct {
        dialarc_wear wear;
        dialarc_status status;
    } cases[] = {
        {{nan, 20.0, 1e-4}, DIALARC_ERR_NOT_FINITE},
        {{4e-4, nan, 1e-4}, DIALARC_ERR_NOT_FINITE},
        {{4e-4, 20.0, (double)INFINITY}, DIALARC_ERR_NOT_FINITE},
        {{-1e-9, 20.0, 1e-4}, DIALARC_ERR_SLACK},
        {{4e-4, 20.0, -1e-9}, DIALARC_ERR_SLACK},
        {{4e-4, 0.0, 1e-4}, DIALARC_ERR_POSITIVE},
    };
    double hours = 1.0, out = UNTOUCHED;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ck_assert_int_eq(dialarc_wear_strain(&cases[i].wear, 1, &hours, &out),
                         cases[i].status);
        ck_assert_int_eq(dialarc_wear_service(&cases[i].wear, 1e-4, &out),
                         cases[i].status);
    }
    ck_assert_int_eq(dialarc_wear_strain(NULL, 1, &hours, &out), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_wear_service(NULL, 1e-4, &out), DIALARC_ERR_NULL);
    ck_assert_double_eq(out, UNTOUCHED);
}
END_TEST

START_TEST(bad_arguments_are_refused)
{
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    const dialarc_wear settles = {4e-4, 20.0, 0.0}, never = {0.0, 20.0, 0.0};
    double hours[2] = {1.0, 0.0}, out[2] = {UNTOUCHED, UNTOUCHED};
    for (int i = 0; i < 3; i++) {
        const dialarc_status refused = DIALARC_ERR_NOT_FINITE;
        hours[1] = bad[i];
        ck_assert_int_eq(dialarc_wear_strain(&belt, 2, hours, out), refused);
        ck_assert_int_eq(dialarc_wear_service(&belt, bad[i], out), refused);
        ck_assert_int_eq(dialarc_wear_advance(1, &stage, 0, bad[i], 1e-3, out), refused);
        ck_assert_int_eq(dialarc_wear_advance(1, &stage, 0, 300.0, bad[i], out), refused);
    }
    hours[1] = -1e-9;
    ck_assert_int_eq(dialarc_wear_strain(&belt, 2, hours, out), DIALARC_ERR_POSITIVE);
    ck_assert_int_eq(dialarc_wear_strain(&belt, 1, NULL, out), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_wear_strain(&belt, 1, hours, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_wear_service(&belt, 1e-4, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_wear_service(&belt, -1e-9, out), DIALARC_ERR_SLACK);
    ck_assert_int_eq(dialarc_wear_service(&settles, 4e-4, out), DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(dialarc_wear_service(&never, 1e-9, out), DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(dialarc_wear_advance(1, &stage, 0, 0.0, 1e-3, out),
                     DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_wear_advance(1, &stage, 0, 300.0, -1e-3, out),
                     DIALARC_ERR_SLACK);
    ck_assert_int_eq(dialarc_wear_advance(1, &stage, 1, 300.0, 1e-3, out),
                     DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_wear_advance(1, NULL, 0, 300.0, 1e-3, out),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_wear_advance(1, &stage, 0, 300.0, 1e-3, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_double_eq(out[0], UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("wear");
    TCase *tests = tcase_create("wear");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, belt_settles_and_then_creeps);
    tcase_add_test(tests, inverse_round_trips);
    tcase_add_test(tests, lengthening_makes_late);
    tcase_add_test(tests, bad_belts_are_refused);
    tcase_add_test(tests, bad_arguments_are_refused);
    return darc_run(suite);
}
