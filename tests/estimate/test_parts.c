/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The variance of a quantity, part by part. */
#include "estimate/parts.h"

#include <math.h>

#include "kit/check_main.h"

static void set(darc_fit *fit, int k, double sd, double *gradient)
{
    fit->prior.weight[k] = 1.0 / (sd * sd);
    gradient[k] = 1.0;
}

/* JCGM 100:2008 H.1, calibration of an end gauge, contributions in nanometres (from
 * memory; H.1.4 and H.1.8): the standard 25, the difference 9.7 by 5.8 of the repeated
 * observations, 3.9 and 6.7 of the comparator, expansion 2.9, temperatures 16.6; combined
 * 32 nm. No readings: what is thought of the parameters is all there is. */
START_TEST(end_gauge)
{
    darc_fit fit = {
        .model = {.learned = true,
                  .law_stated = true,
                  .first_dial = DARC_TERMS,
                  .first_wheel = DARC_TERMS + DARC_DIAL_TERMS,
                  .first_turn = DARC_TERMS + DARC_DIAL_TERMS + DARC_WHEEL_TERMS,
                  .n_param = DARC_TERMS + DARC_DIAL_TERMS + DARC_WHEEL_TERMS}};
    double gradient[DARC_MAX_PARAM] = {0.0};
    ck_assert(darc_fit_reserve(&fit, 1));
    for (int k = 0; k < fit.model.n_param; k++)
        fit.prior.weight[k] = 1.0;
    set(&fit, DARC_ZERO, 25.0, gradient);
    set(&fit, DARC_RISE, 2.9, gradient);
    for (int k = 0; k < DARC_DIAL_TERMS; k++)
        set(&fit, fit.model.first_dial + k, (double[]){5.8, 3.9, 6.7}[k], gradient);
    set(&fit, fit.model.first_wheel, 16.6, gradient);
    darc_fit_clear_normal(&fit);
    ck_assert(darc_fit_factorise(&fit, NULL));
    darc_gauss before = fit.prior;
    darc_parts p = darc_parts_of(&fit, gradient);
    ck_assert_double_eq_tol(sqrt(p.dial), 9.7, 0.05);
    ck_assert_double_eq_tol(sqrt(p.wheel), 16.6, 0.05);
    ck_assert_double_eq_tol(sqrt(p.segments), 2.9, 0.05);
    ck_assert_double_eq_tol(sqrt(p.rest), 25.0, 0.05);
    double all = p.dial + p.wheel + p.segments + p.rest;
    ck_assert_double_eq_tol(sqrt(all), 32.0, 0.5);
    /* neither prior nor factor has changed */
    ck_assert(memcmp(&before, &fit.prior, sizeof before) == 0);
    ck_assert_double_eq_tol(darc_fit_variance(&fit, gradient), all, 1e-9 * all);
    darc_fit_release(&fit);
}
END_TEST

/* Without such parameters the whole variance is the rest, to the bit. */
START_TEST(nothing_to_split)
{
    darc_fit fit = {.model = {.first_dial = DARC_BASIC,
                              .first_wheel = DARC_BASIC,
                              .first_turn = DARC_BASIC,
                              .n_param = DARC_BASIC}};
    const double gradient[DARC_MAX_PARAM] = {0.3, -0.02, 0.4, 0.0, 0.5};
    ck_assert(darc_fit_reserve(&fit, 1));
    darc_fit_clear_normal(&fit);
    for (int k = 0; k < DARC_BASIC; k++)
        fit.prior.weight[k] = 3.0 + k;
    ck_assert(darc_fit_factorise(&fit, NULL));
    darc_parts p = darc_parts_of(&fit, gradient);
    ck_assert(p.dial == 0.0 && p.wheel == 0.0 && p.segments == 0.0);
    ck_assert(p.rest == darc_fit_variance(&fit, gradient));
    darc_fit_release(&fit);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("parts");
    TCase *c = tcase_create("parts");
    tcase_add_test(c, end_gauge);
    tcase_add_test(c, nothing_to_split);
    suite_add_tcase(s, c);
    return darc_run(s);
}
