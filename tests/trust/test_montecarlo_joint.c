/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Two outputs of the same inputs. The library tells each by itself; what they have in
 * common is found by their sum: u^2(a + b) = u^2(a) + u^2(b) + 2 u(a, b).
 *
 * Sources: JCGM 102:2011, 6.2, from memory: U_y = C U_x C^T; its example of polar
 * coordinates from Cartesian ones, 9.3, from memory: x1 = 0.001, 0.010 or 0.100, x2 = 0,
 * u = 0.010 each, correlation 0 or 0.9. There the radius has closed forms: E r^2 = x1^2 +
 * 2 u^2 always, and for no correlation S. O. Rice's distribution, whose mean is
 * u sqrt(pi / 2) L(-x1^2 / (2 u^2)), L(-z) = exp(-z/2) ((1 + z) I0(z/2) + z I1(z/2)).
 */
#include <dialarc/montecarlo.h>
#include <gsl/gsl_sf_bessel.h>
#include <math.h>

#include "kit/check_main.h"

#define PI 3.14159265358979323846
#define U  0.010

static double radius(const double *x, void *context)
{
    (void)context;
    return hypot(x[0], x[1]);
}

static double angle(const double *x, void *context)
{
    (void)context;
    return atan2(x[1], x[0]);
}

static double both(const double *x, void *context)
{
    return radius(x, context) + angle(x, context);
}

static double rice_mean(double x1)
{
    double z = 0.5 * pow(x1 / U, 2.0);
    return U * sqrt(0.5 * PI) * exp(-0.5 * z) *
           ((1.0 + z) * gsl_sf_bessel_I0(0.5 * z) + z * gsl_sf_bessel_I1(0.5 * z));
}

static const double place[] = {0.001, 0.010, 0.100}, together[] = {0.0, 0.9};

START_TEST(the_radius_of_the_guide)
{
    for (int i = 0; i < 3; i++)
        for (int k = 0; k < 2; k++) {
            const dialarc_input in[] = {
                {.shape = DIALARC_SHAPE_NORMAL, .centre = place[i], .spread = U},
                {.shape = DIALARC_SHAPE_NORMAL, .centre = 0.0, .spread = U}};
            const double r[] = {1.0, together[k], together[k], 1.0};
            dialarc_adaptive a;
            ck_assert_int_eq(dialarc_propagate_adaptive(2, in, r, radius, NULL, 3,
                                                        2000000, 7, 0.95, &a),
                             DIALARC_OK);
            double square = a.output.mean * a.output.mean + a.output.sd * a.output.sd;
            ck_assert_double_eq_tol(square, place[i] * place[i] + 2.0 * U * U,
                                    5e-3 * square);
            if (k == 0)
                ck_assert_double_eq_tol(a.output.mean, rice_mean(place[i]), 2e-5);
        }
    /* printed there to two digits, from memory: 0.013 +- 0.007 at 0.001 */
    ck_assert_double_eq_tol(rice_mean(0.001), 0.013, 5e-4);
}
END_TEST

/* Far from the origin all is linear: C is the rotation, dr = dx1, d angle = dx2 / x1. */
START_TEST(joint_uncertainty_far_from_the_origin)
{
    const double x1 = 1.0, r[] = {1.0, 0.9, 0.9, 1.0};
    const dialarc_input in[] = {
        {.shape = DIALARC_SHAPE_NORMAL, .centre = x1, .spread = U},
        {.shape = DIALARC_SHAPE_NORMAL, .centre = 0.0, .spread = U}};
    dialarc_propagated a, b, sum;
    ck_assert_int_eq(dialarc_propagate_budget(2, in, r, radius, NULL, &a), 0);
    ck_assert_int_eq(dialarc_propagate_budget(2, in, r, angle, NULL, &b), 0);
    ck_assert_int_eq(dialarc_propagate_budget(2, in, r, both, NULL, &sum), 0);
    double shared = 0.5 * (sum.sd * sum.sd - a.sd * a.sd - b.sd * b.sd);
    ck_assert_double_eq_tol(a.sd, U, 1e-9);
    ck_assert_double_eq_tol(b.sd, U / x1, 1e-6);
    ck_assert_double_eq_tol(shared, 0.9 * U * U / x1, 1e-8);
    dialarc_propagation trials[3];
    const dialarc_model model[] = {radius, angle, both};
    for (int i = 0; i < 3; i++) {
        dialarc_adaptive many;
        ck_assert_int_eq(dialarc_propagate_adaptive(2, in, r, model[i], NULL, 2, 400000,
                                                    7, 0.95, &many),
                         0);
        trials[i] = many.output;
    }
    shared =
        0.5 * (pow(trials[2].sd, 2.0) - pow(trials[0].sd, 2.0) - pow(trials[1].sd, 2.0));
    ck_assert_double_eq_tol(shared, 0.9 * U * U / x1, 0.03 * U * U);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("joint propagation");
    TCase *tc = tcase_create("polar coordinates");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, the_radius_of_the_guide);
    tcase_add_test(tc, joint_uncertainty_far_from_the_origin);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
