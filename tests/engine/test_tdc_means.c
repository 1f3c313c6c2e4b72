/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/tdc.h>
#include <gsl/gsl_randist.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/rng_kit.h"

#define UNTOUCHED   12345.0
#define DEG_PER_RAD 57.29577951308232

static const dialarc_crank crank = {40.0, 120.0, 0.0};

/* Pairs of one kind are those of dialarc_tdc_from_pairs(), to the last bit. */
START_TEST(pairs_of_one_kind)
{
    const double before[] = {-20.0, -30.5, -41.0}, after[] = {20.5, 31.25, 41.5};
    const double sd[] = {0.1, 0.1, 0.1}, drop[] = {0.001, 0.001, 0.001};
    const double wheel[] = {0.0, 0.0, 0.0};
    dialarc_tdc one, other;
    ck_assert_int_eq(dialarc_tdc_from_pairs(&crank, 3, before, after, 0.1, 0.001, &one),
                     DIALARC_OK);
    ck_assert_int_eq(
        dialarc_tdc_from_means(&crank, 3, before, after, sd, drop, wheel, &other),
        DIALARC_OK);
    ck_assert_double_eq(one.wheel_deg, other.wheel_deg);
    ck_assert_double_eq(one.sd_deg, other.sd_deg);
    ck_assert_double_eq(one.u_deg, other.u_deg);
    ck_assert_double_gt(one.excess_sd_deg, 0.0);
    ck_assert_double_eq(one.excess_sd_deg, other.excess_sd_deg);
    ck_assert_double_eq(other.shared_sd_deg, 0.0);
}
END_TEST

/* Invented pairs; mean, sd, chi-square and the part that is shared by NumPy:
 * numpy.linalg.inv of the covariance in the header, the slope of the piston by central
 * differences. */
START_TEST(pooled_as_by_numpy)
{
    const double before[] = {-20.0, -30.5, -41.0}, after[] = {20.5, 31.25, 41.5};
    const double sd[] = {0.5, 0.6, 0.7}, drop[] = {0.0, 0.02, 0.05};
    const double wheel[] = {0.8, 0.8, 0.0};
    dialarc_tdc tdc;
    ck_assert_int_eq(
        dialarc_tdc_from_means(&crank, 3, before, after, sd, drop, wheel, &tdc),
        DIALARC_OK);
    ck_assert_double_eq_tol(tdc.wheel_deg, 0.2882790640327719, 1e-8);
    ck_assert_double_eq_tol(tdc.sd_deg, 0.2421980526111306, 1e-8);
    ck_assert_double_eq_tol(tdc.scatter, 0.17094299968642931, 1e-8);
    ck_assert_double_eq_tol(tdc.shared_sd_deg, 0.04056011534695894, 1e-8);
    ck_assert_double_eq_tol(tdc.u_deg, 1.959963984540054 * tdc.sd_deg, 1e-12);
}
END_TEST

/* A wheel off its centre at an unknown place of the turn, read at three heights, and in
 * every second case two pairs along the rim besides. The wheel's own geometry, no formula
 * of the library. Within u_deg 94 to 97 times in 100 (an error whose distribution is the
 * arc sine's has thin tails); as many pairs as one likes do not average the wheel out. */
START_TEST(a_shared_wheel_is_not_averaged_out)
{
    enum { WHEEL = 8, MOST = 10, RUNS = 4000 };
    const double span = 0.8; /* half span, degrees */
    gsl_rng *rng = kit_seeded(61 + (unsigned)_i);
    int inside = 0, n = _i ? MOST : WHEEL;
    for (int run = 0; run < RUNS; run++) {
        double before[MOST], after[MOST], sd[MOST], drop[MOST] = {0.0}, wheel[MOST];
        double place = 360.0 / DEG_PER_RAD * gsl_rng_uniform(rng);
        for (int i = 0; i < n; i++) {
            double half = i < WHEEL ? 40.0 + 5.0 * i : 45.0;
            double across = i < WHEEL ? span : 0.0;
            sd[i] = i < WHEEL ? 0.15 : 0.4;
            wheel[i] = across;
            before[i] = -half + across * (sin(-half / DEG_PER_RAD + place) - sin(place));
            after[i] = half + across * (sin(half / DEG_PER_RAD + place) - sin(place));
            before[i] += gsl_ran_gaussian(rng, sd[i]);
            after[i] += gsl_ran_gaussian(rng, sd[i]);
        }
        dialarc_tdc tdc;
        ck_assert_int_eq(dialarc_tdc_from_means(&crank, (size_t)n, before, after, sd,
                                                drop, wheel, &tdc),
                         DIALARC_OK);
        inside += fabs(tdc.wheel_deg) <= tdc.u_deg;
        ck_assert_double_gt(tdc.shared_sd_deg, 0.0);
    }
    ck_assert_double_ge((double)inside / RUNS, 0.936);
    ck_assert_double_le((double)inside / RUNS, 0.995);
    gsl_rng_free(rng);
}
END_TEST

START_TEST(what_cannot_be_used_is_refused)
{
    const double before[] = {-20.0, -30.0}, after[] = {20.0, 30.0}, none[] = {0.0, 0.0};
    double sd[] = {0.1, 0.0};
    dialarc_tdc t = {.wheel_deg = UNTOUCHED};
    ck_assert_int_eq(dialarc_tdc_from_means(&crank, 0, NULL, NULL, NULL, NULL, NULL, &t),
                     DIALARC_ERR_SIZE);
    ck_assert_int_eq(
        dialarc_tdc_from_means(&crank, 2, before, after, NULL, none, none, &t),
        DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_tdc_from_means(&crank, 2, before, after, sd, NULL, none, &t),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_tdc_from_means(&crank, 2, before, after, sd, none, NULL, &t),
                     DIALARC_ERR_NULL);
    /* the second pair without a standard uncertainty beside one that has it */
    ck_assert_int_eq(dialarc_tdc_from_means(&crank, 2, before, after, sd, none, none, &t),
                     DIALARC_ERR_SD);
    sd[1] = -0.1;
    ck_assert_int_eq(dialarc_tdc_from_means(&crank, 2, before, after, sd, none, none, &t),
                     DIALARC_ERR_SD);
    sd[1] = (double)NAN;
    ck_assert_int_eq(dialarc_tdc_from_means(&crank, 2, before, after, sd, none, none, &t),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_tdc_from_means(&crank, 2, before, after, none, none, sd, &t),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(t.wheel_deg, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("tdc_means");
    TCase *c = tcase_create("tdc_means");
    tcase_add_test(c, pairs_of_one_kind);
    tcase_add_test(c, pooled_as_by_numpy);
    tcase_add_loop_test(c, a_shared_wheel_is_not_averaged_out, 0, 2);
    tcase_add_test(c, what_cannot_be_used_is_refused);
    suite_add_tcase(s, c);
    return darc_run(s);
}
