/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/crosscheck.h>
#include <gsl/gsl_randist.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/rng_kit.h"

#define UNTOUCHED 12345.0

/* Four invented witnesses, three of them at one mark and three with one cam. */
static const dialarc_witness four[] = {{2.0, 0.2, 0.3, 0.0, 0.1, 1, 0, 0},
                                       {2.5, 0.4, 0.3, 0.2, 0.1, 1, 0, 0},
                                       {3.25, 0.5, 0.0, 0.0, 0.0, 0, 0, 0},
                                       {2.1, 0.3, 0.25, 0.0, 0.2, 1, 0, 1}};

/* Mean, sd and chi-square by numpy.linalg.inv of the covariance that the header states,
 * its probability by scipy.stats.chi2; how far each is from the others by generalised
 * least squares in NumPy with its shift as a second unknown. */
START_TEST(pooled_as_by_numpy)
{
    const double off[] = {-0.46225605833154615, 0.3965546008175522, 1.1607883817427387,
                          -0.19891304347826066};
    const double sd[] = {0.3442864115472275, 0.4801559769933405, 0.5986239407229208,
                         0.4332950094535954};
    dialarc_crosscheck c;
    ck_assert_int_eq(dialarc_crosscheck_assess(4, four, &c), DIALARC_OK);
    ck_assert_double_eq_tol(c.advance_crank_deg, 2.4401867129830657, 1e-12);
    ck_assert_double_eq_tol(c.sd_crank_deg, 0.2749360114503773, 1e-12);
    ck_assert_double_eq_tol(c.chi_square, 4.803137212331741, 1e-11);
    ck_assert_double_eq_tol(c.agree_probability, 0.18679315058024473, 1e-11);
    ck_assert_int_eq(c.agree, 1);
    ck_assert_uint_eq(c.witnesses, 4);
    ck_assert_double_eq(c.dof, 3.0);
    ck_assert_uint_eq(c.farthest, 2);
    for (size_t i = 0; i < 4; i++) {
        double o, s;
        ck_assert_int_eq(dialarc_crosscheck_apart(4, four, i, &o, &s), DIALARC_OK);
        ck_assert_double_eq_tol(o, off[i], 1e-11);
        ck_assert_double_eq_tol(s, sd[i], 1e-12);
    }
    ck_assert_double_eq_tol(c.farthest_crank_deg, off[2], 1e-11);
    ck_assert_double_eq_tol(c.farthest_sd_crank_deg, sd[2], 1e-12);
    /* 1 - (1 - p)^4 with p of 1.9391 sd, either way: 0.0525 (scipy.stats.norm) */
    ck_assert_double_eq_tol(c.farthest_probability, 0.19400, 1e-4);
}
END_TEST

/* Timings over the speed as scipy.stats.linregress has them: intercept and slope with
 * their standard errors; -slope / 0.006 is the delay. */
START_TEST(brought_to_rest_as_by_scipy)
{
    const double rpm[] = {800, 1500, 2250, 3000}, timing[] = {5.1, 3.6, 1.2, -0.9};
    dialarc_at_rest r;
    ck_assert_int_eq(dialarc_crosscheck_at_rest(4, rpm, timing, 0.0, &r), DIALARC_OK);
    ck_assert_double_eq_tol(r.advance_crank_deg, 7.494656488549618, 1e-10);
    ck_assert_double_eq_tol(r.sd_crank_deg, 0.29300712721744554, 1e-10);
    ck_assert_double_eq_tol(r.delay_ms, 0.4631043256997455, 1e-11);
    ck_assert_double_eq_tol(r.delay_sd_ms, 0.02372138559943436, 1e-11);
    ck_assert_double_eq(r.dof, 2.0);
    ck_assert_int_eq(dialarc_crosscheck_at_rest(4, rpm, timing, 1.0, &r), DIALARC_OK);
    ck_assert_double_eq(r.dof, 0.0);
    ck_assert_double_lt(r.scatter, 1.0);
}
END_TEST

/* On a cam that rises in proportion to its angle, 0.05 mm a pump degree but for blends of
 * the ends: lift and angle convert by hand. */
START_TEST(lifts_become_advance)
{
    const dialarc_cam cam = {.lobes = 4,
                             .lift_mm = 2.0,
                             .rise_deg = 40.0,
                             .top_dwell_deg = 2.0,
                             .base_dwell_deg = 4.0,
                             .law = DIALARC_LAW_CONSTANT_RATE,
                             .blend = 0.25};
    double dial = 0.0, spill = 0.0, later = 0.0, rate = 0.0;
    dialarc_cam_rate(&cam, 20.0, &rate);
    ck_assert_int_eq(dialarc_crosscheck_from_lift(&cam, 1.0, 0.0, 0.8, 2.0, &dial),
                     DIALARC_OK);
    ck_assert_double_eq_tol(dial, 2.0 * 0.2 / rate, 1e-9);
    /* the lift of 0.8 stood there 3 degrees before TDC; the same lift later is later */
    dialarc_crosscheck_from_lift(&cam, 0.8, -3.0, 0.8, 2.0, &spill);
    ck_assert_double_eq_tol(spill, 3.0, 1e-9);
    dialarc_crosscheck_from_lift(&cam, 0.8, -2.0, 0.8, 2.0, &later);
    ck_assert_double_eq_tol(later, 2.0, 1e-9);
}
END_TEST

/* Draws what witnesses of one setting say: dial and spill at one mark, with one cam, a
 * strobe and a pickup at another mark. Truth 0. */
static void draw(gsl_rng *rng, dialarc_witness w[4])
{
    double mark[] = {gsl_ran_gaussian(rng, 0.4), gsl_ran_gaussian(rng, 0.3)};
    double cam = gsl_ran_gaussian(rng, 0.15);
    const double own[] = {0.1, 0.35, 0.5, 0.6};
    for (int i = 0; i < 4; i++) {
        w[i] = (dialarc_witness){.own_sd_crank_deg = own[i],
                                 .mark_sd_crank_deg = i < 2 ? 0.4 : 0.3,
                                 .cam_sd_crank_deg = i < 2 ? 0.15 : 0.0,
                                 .mark = i < 2};
        w[i].advance_crank_deg =
            mark[i >= 2] + (i < 2 ? cam : 0.0) + gsl_ran_gaussian(rng, own[i]);
    }
}

/* Over 4000 settings: the truth within 1.96 sd in 95 of 100, disagreement in 5 of 100 of
 * those who are right (four sd of either share: 0.014). */
START_TEST(the_uncertainty_is_honest)
{
    enum { RUNS = 4000 };
    gsl_rng *rng = kit_seeded(81);
    int inside = 0, agree = 0;
    for (int run = 0; run < RUNS; run++) {
        dialarc_witness w[4];
        dialarc_crosscheck c;
        draw(rng, w);
        ck_assert_int_eq(dialarc_crosscheck_assess(4, w, &c), DIALARC_OK);
        inside += fabs(c.advance_crank_deg) <= 1.959964 * c.sd_crank_deg;
        agree += c.agree;
    }
    ck_assert_double_eq_tol((double)inside / RUNS, 0.95, 0.014);
    ck_assert_double_eq_tol((double)agree / RUNS, 0.95, 0.014);
    gsl_rng_free(rng);
}
END_TEST

/* One witness wrong by five of the standard uncertainties of its difference is named, and
 * its error is that difference, on average. Dial and spill, which share mark and cam, are
 * the harder to tell from each other: 90 and 91 times in 100 here, strobe and pickup 95
 * and more. */
START_TEST(the_one_that_disagrees_is_found)
{
    enum { RUNS = 2000 };
    gsl_rng *rng = kit_seeded(82 + (unsigned)_i);
    int found = 0, told = 0;
    double sum = 0.0, wrong = 0.0;
    for (int run = 0; run < RUNS; run++) {
        dialarc_witness w[4];
        dialarc_crosscheck c;
        double off, sd;
        draw(rng, w);
        dialarc_crosscheck_apart(4, w, (size_t)_i, &off, &sd);
        wrong = 5.0 * sd;
        w[_i].advance_crank_deg += wrong;
        dialarc_crosscheck_assess(4, w, &c);
        found += c.farthest == (size_t)_i;
        told += !c.agree;
        dialarc_crosscheck_apart(4, w, (size_t)_i, &off, &sd);
        sum += off;
    }
    ck_assert_double_ge((double)found / RUNS, _i < 2 ? 0.87 : 0.95);
    ck_assert_double_ge((double)told / RUNS, 0.95);
    ck_assert_double_eq_tol(sum / RUNS, wrong, 0.2 * 4.0 * wrong / sqrt(RUNS));
    gsl_rng_free(rng);
}
END_TEST

START_TEST(one_and_two)
{
    dialarc_crosscheck c;
    double off, sd;
    ck_assert_int_eq(dialarc_crosscheck_assess(1, four, &c), DIALARC_OK);
    ck_assert_double_eq(c.advance_crank_deg, 2.0);
    ck_assert_double_eq_tol(c.sd_crank_deg, sqrt(0.04 + 0.09 + 0.01), 1e-15);
    ck_assert(isnan(c.agree_probability) && isnan(c.farthest_crank_deg));
    ck_assert_int_eq(c.agree, 1);
    /* Of two what they share does not count: 0.5 apart, sd^2 = 0.04 + 0.16 + 0.04. */
    ck_assert_int_eq(dialarc_crosscheck_apart(2, four, 1, &off, &sd), DIALARC_OK);
    ck_assert_double_eq_tol(off, 0.5, 1e-12);
    ck_assert_double_eq_tol(sd, sqrt(0.24), 1e-12);
    ck_assert_int_eq(dialarc_crosscheck_assess(2, four, &c), DIALARC_OK);
    ck_assert_double_eq_tol(c.farthest_probability, c.agree_probability, 1e-12);
}
END_TEST

START_TEST(what_cannot_be_used_is_refused)
{
    dialarc_witness w[2] = {four[0], four[1]};
    dialarc_crosscheck c = {.advance_crank_deg = UNTOUCHED};
    double a = UNTOUCHED, b = UNTOUCHED, rpm[] = {800, 900}, t[] = {1.0, 2.0};
    dialarc_at_rest r = {.delay_ms = UNTOUCHED};
    ck_assert_int_eq(dialarc_crosscheck_assess(0, NULL, &c), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_crosscheck_assess(25, four, &c), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_crosscheck_assess(2, NULL, &c), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_crosscheck_assess(2, w, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_crosscheck_apart(2, w, 2, &a, &b), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_crosscheck_apart(1, w, 0, &a, &b), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_crosscheck_apart(2, w, 0, NULL, &b), DIALARC_ERR_NULL);
    w[1].own_sd_crank_deg = 0.0;
    ck_assert_int_eq(dialarc_crosscheck_assess(2, w, &c), DIALARC_ERR_SD);
    w[1].own_sd_crank_deg = (double)NAN;
    ck_assert_int_eq(dialarc_crosscheck_assess(2, w, &c), DIALARC_ERR_NOT_FINITE);
    w[1] = four[1];
    w[1].mark_sd_crank_deg = -0.1;
    ck_assert_int_eq(dialarc_crosscheck_assess(2, w, &c), DIALARC_ERR_SD);
    w[1] = four[1];
    w[1].advance_crank_deg = 1e10;
    ck_assert_int_eq(dialarc_crosscheck_assess(2, w, &c), DIALARC_ERR_RANGE);
    ck_assert_int_eq(dialarc_crosscheck_at_rest(1, rpm, t, 0.1, &r), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_crosscheck_at_rest(2, NULL, t, 0.1, &r), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_crosscheck_at_rest(2, rpm, t, -0.1, &r), DIALARC_ERR_SD);
    rpm[1] = 800;
    ck_assert_int_eq(dialarc_crosscheck_at_rest(2, rpm, t, 0.1, &r),
                     DIALARC_ERR_NO_SOLUTION);
    rpm[1] = 0.0;
    ck_assert_int_eq(dialarc_crosscheck_at_rest(2, rpm, t, 0.1, &r), DIALARC_ERR_SPEED);
    ck_assert_double_eq(c.advance_crank_deg, UNTOUCHED);
    ck_assert_double_eq(r.delay_ms, UNTOUCHED);
    ck_assert_double_eq(a, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("crosscheck");
    TCase *c = tcase_create("crosscheck");
    tcase_add_test(c, pooled_as_by_numpy);
    tcase_add_test(c, brought_to_rest_as_by_scipy);
    tcase_add_test(c, lifts_become_advance);
    tcase_add_test(c, the_uncertainty_is_honest);
    tcase_add_loop_test(c, the_one_that_disagrees_is_found, 0, 4);
    tcase_add_test(c, one_and_two);
    tcase_add_test(c, what_cannot_be_used_is_refused);
    suite_add_tcase(s, c);
    return darc_run(s);
}
