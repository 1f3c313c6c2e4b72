/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What one reading says: its likelihood against GSL's normal distribution, score and
 * information against finite differences of the log density, misreads against their
 * definition.
 */
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_randist.h>
#include <math.h>

#include "estimate/reading_weight.h"
#include "kit/check_main.h"
#include "kit/derive.h"
#include "kit/simulate.h"

#define TURN 1.0

typedef struct reading {
    double sd, step, turn, share;
} reading;

/* One reading by a dial whose needle turns once in TURN. */
static darc_pull pull(double shown, double mean, double sd, double step, double share)
{
    const darc_noise noise = {.step_mm = step, .turn_mm = TURN};
    return darc_reading_pull(&noise, share, shown, mean, sd);
}

static double log_density(double mean, void *data)
{
    const reading *r = data;
    return log(pull(0.0, mean, r->sd, r->step, r->share).density);
}

static double score(double mean, void *data)
{
    const reading *r = data;
    return pull(0.0, mean, r->sd, r->step, r->share).g;
}

/* Normal probability of the graduation on which the reading lies, by GSL; from the side
 * on which no digits cancel. */
static double interval_probability(double off, double sd, double step)
{
    double low = fabs(off) - 0.5 * step, high = fabs(off) + 0.5 * step;
    return gsl_cdf_gaussian_Q(low, sd) - gsl_cdf_gaussian_Q(high, sd);
}

START_TEST(interval_likelihood)
{
    static const double ratio[] = {0.02, 0.1, 0.25, 0.4, 0.59};
    const double step = 0.01;
    for (size_t k = 0; k < sizeof ratio / sizeof ratio[0]; k++)
        for (double off = -1.5 * step; off <= 1.5 * step; off += 0.03 * step) {
            double sd = ratio[k] * step;
            double mass = interval_probability(off, sd, step);
            if (mass < 1e-9) /* so unlikely that it counts as misread */
                continue;
            darc_pull p = pull(0.4 + off, 0.4, sd, step, 0.0);
            ck_assert_double_eq_tol(log(p.density), log(mass / step), 1e-7);
            ck_assert_double_eq_tol(p.density * step / mass, 1.0, 1e-9);
            ck_assert_double_eq(p.sound, 1.0);
        }
}
END_TEST

START_TEST(point_likelihood)
{
    for (double off = -0.02; off <= 0.02; off += 0.0007) {
        darc_pull p = pull(off, 0.0, 0.003, 0.0, 0.0);
        double pdf = gsl_ran_gaussian_pdf(off, 0.003);
        ck_assert_double_eq_tol(p.density / pdf, 1.0, 1e-12);
        ck_assert_double_eq_tol(p.g, off / 9e-6, 1e-9);
        ck_assert_double_eq_tol(p.w, 1.0 / 9e-6, 1e-7);
        ck_assert_double_eq_tol(p.score2, off * off / 9e-6, 1e-12);
    }
    /* a graduation that the scatter spans adds its rectangular variance */
    darc_pull p = pull(0.01, 0.004, 0.008, 0.01, 0.0);
    double var = 64e-6 + 1e-4 / 12.0;
    ck_assert_double_eq_tol(p.g, 0.006 / var, 1e-9);
    ck_assert_double_eq_tol(p.w, 1.0 / var, 1e-7);
    ck_assert_double_eq_tol(p.score2, 36e-6 / var, 1e-12);
}
END_TEST

/* g is the slope of the log density and w its curvature, seen from the mean. Where the
 * density of a misread is level, that holds for the mixture's slope too; its information
 * is that of a sound reading times the probability that it is one. */
static void check_slopes(const reading *r, double mean)
{
    darc_pull p = pull(0.0, mean, r->sd, r->step, r->share);
    double scale = 1.0 / r->sd, step = 0.02 * r->sd;
    check_slope(log_density, (void *)r, mean, step, p.g, scale, 1e-6);
    reading sound = *r;
    sound.share = 0.0;
    darc_pull alone = pull(0.0, mean, r->sd, r->step, 0.0);
    check_slope(score, &sound, mean, step, -alone.w, scale * scale, 1e-5);
    ck_assert_double_eq_tol(p.w, p.sound * alone.w, 1e-12 * alone.w);
    ck_assert_double_eq_tol(p.g, p.sound * alone.g, 1e-12 * scale);
}

START_TEST(score_and_information)
{
    sim_random random;
    sim_seed(&random, 501);
    for (int k = 0; k < 2000; k++) {
        reading r = {sim_uniform(&random, 0.001, 0.01), sim_uniform(&random, 0.002, 0.02),
                     TURN, k % 3 ? 0.0 : sim_uniform(&random, 0.002, 0.12)};
        if (k % 4 == 1)
            r.step = 0.0;
        double reach = 3.0 * r.sd + 0.5 * r.step;
        if (r.share > 0.0) /* within the level part of the misreads */
            reach = fmin(reach, 0.9 * fmax(r.step, r.sd));
        if (fabs(r.sd / 0.6 - r.step) < 1e-6) /* on the border of the two forms */
            continue;
        check_slopes(&r, sim_uniform(&random, -reach, reach));
    }
}
END_TEST

static double density(double off, void *data)
{
    return exp(log_density(off, data));
}

static double integral(reading *r, double from, double to)
{
    gsl_integration_workspace *work = gsl_integration_workspace_alloc(400);
    gsl_function f = {density, r};
    double sum, error,
        level = fmax(r->step, sqrt(r->sd * r->sd + r->step * r->step / 12));
    double points[] = {from, fmin(fmax(level, from + 1e-9), to - 1e-9), to};
    int code = gsl_integration_qagp(&f, points, 3, 0.0, 1e-10, 400, work, &sum, &error);
    ck_assert_int_eq(code, 0);
    gsl_integration_workspace_free(work);
    return sum;
}

/* A misread is off by up to a turn either way, as likely in one octave as in another. */
START_TEST(misreads_have_a_density)
{
    const double steps[] = {0.0, 0.002, 0.01, 0.1}, sds[] = {0.001, 0.004, 0.02};
    for (int i = 0; i < 4; i++)
        for (int j = 0; j < 3; j++) {
            reading r = {sds[j], steps[i], TURN, 1.0}; /* nothing but misreads */
            double octave = integral(&r, 0.2, 0.4);
            ck_assert_double_eq_tol(2.0 * integral(&r, 0.0, TURN), 1.0, 1e-9);
            ck_assert_double_eq_tol(integral(&r, 0.4, 0.8), octave, 1e-9);
            darc_pull p = pull(0.1, 0.0, r.sd, r.step, 1.0);
            ck_assert(p.sound == 0.0 && p.g == 0.0 && p.w == 0.0);
        }
    reading blunt = {0.3, 2.0, TURN, 1.0}; /* a graduation beyond a turn */
    ck_assert_double_eq_tol(integral(&blunt, 0.0, 2.0), 0.5, 1e-9);
}
END_TEST

/* Sound and misread together, with their share. */
START_TEST(mixture)
{
    const double step = 0.005, sd = 0.002, share = 0.08;
    for (double off = -0.03; off < 0.03; off += 0.0011) {
        darc_pull p = pull(off, 0.0, sd, step, share);
        darc_pull wrong = pull(off, 0.0, sd, step, 1.0);
        double right = interval_probability(off, sd, step) / step;
        double both = (1.0 - share) * right + share * wrong.density;
        if (right * step < 1e-11)
            continue;
        ck_assert_double_eq_tol(p.density / both, 1.0, 1e-9);
        ck_assert_double_eq_tol(p.sound, (1.0 - share) * right / both, 1e-9);
    }
    /* a step out on the flank: sound ones are believed, a tenth of a turn is not */
    ck_assert_double_gt(pull(0.004, 0.0, sd, step, share).sound, 0.95);
    ck_assert_double_lt(pull(0.1, 0.0, sd, step, share).sound, 1e-9);
}
END_TEST

static void far_off(double off, double sd, double step)
{
    darc_pull p = pull(off, 0.0, sd, step, 0.002);
    ck_assert(isfinite(p.g) && isfinite(p.w) && isfinite(log(p.density)));
    ck_assert_double_lt(p.sound, 1e-9);
    ck_assert_double_lt(fabs(p.g) * sd, 1e-6);
    ck_assert_double_lt(p.w * sd * sd, 1e-6);
}

START_TEST(limits)
{
    /* far off, it says nothing: at a tenth of a turn, a turn, a hundred turns */
    for (double off = 0.1; off < 150.0; off *= 10.0) {
        far_off(off, 0.003, 0.0);
        far_off(-off, 0.003, 0.01);
        far_off(off, 1e-5, 0.01);
        far_off(-off, 1e-5, 0.0);
    }
    /* a dial without scatter: any mean within the graduation does as well */
    darc_pull in = pull(0.3, 0.302, 1e-5, 0.01, 0.0);
    ck_assert_double_eq_tol(log(in.density), log(100.0), 1e-12);
    ck_assert_double_lt(fabs(in.g), 1e-9);
    ck_assert_double_le(in.w, 1.001e-6 / 1e-10);
    ck_assert_double_gt(in.w, 0.0);
    /* symmetric about the reading, and the same wherever the dial was set to zero */
    for (double off = 0.0005; off < 0.02; off += 0.0005) {
        darc_pull up = pull(0.5 + off, 0.5, 0.002, 0.01, 0.05);
        darc_pull down = pull(-2.0 - off, -2.0, 0.002, 0.01, 0.05);
        ck_assert_double_eq_tol(up.g, -down.g, 1e-8);
        ck_assert_double_eq_tol(up.w, down.w, 1e-6);
        ck_assert_double_eq_tol(log(up.density), log(down.density), 1e-10);
    }
}
END_TEST

/* Where one form gives way to the other, within two sds, they nearly agree: rounding at
 * sd 0.6 of a graduation leaves 0.16 % of a ripple, 2 exp(-2 (pi 0.6)^2), in the density;
 * its tails are lighter than those of the normal one of the same variance. */
START_TEST(the_two_forms_meet)
{
    const double step = 0.01, sd = 0.6 * step;
    for (double off = -2.0 * sd; off <= 2.0 * sd; off += 0.05 * step) {
        darc_pull interval = pull(off, 0.0, sd * 0.999999, step, 0.0);
        darc_pull point = pull(off, 0.0, sd * 1.000001, step, 0.0);
        ck_assert_double_eq_tol(log(interval.density), log(point.density), 0.015);
        ck_assert_double_eq_tol(interval.g / point.w, point.g / point.w, 0.02 * step);
        ck_assert_double_eq_tol(interval.w / point.w, 1.0, 0.07);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fit_weight");
    TCase *tc = tcase_create("reading");
    tcase_add_test(tc, interval_likelihood);
    tcase_add_test(tc, point_likelihood);
    tcase_add_test(tc, score_and_information);
    tcase_add_test(tc, misreads_have_a_density);
    tcase_add_test(tc, mixture);
    tcase_add_test(tc, limits);
    tcase_add_test(tc, the_two_forms_meet);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
