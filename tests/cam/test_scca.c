/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/scca.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/derive.h"
#include "kit/refdata.h"

static dialarc_unit_motion motion(const dialarc_scca *scca, double u)
{
    dialarc_unit_motion m = {-1.0, -1.0, -1.0};
    ck_assert_int_eq(dialarc_scca_motion(scca, u, &m), DIALARC_OK);
    return m;
}

/* Sources and tolerances stand in the table. */
START_TEST(peak_factors_agree_with_published_values)
{
    refdata *table = refdata_open("scca_peaks.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        dialarc_scca scca = {refdata_number(table, row, "b"),
                             refdata_number(table, row, "c"),
                             refdata_number(table, row, "d")};
        const char *quantity = refdata_text(table, row, "quantity");
        dialarc_law_peaks peaks;
        ck_assert_int_eq(dialarc_scca_peak_factors(&scca, &peaks), DIALARC_OK);
        refdata_check(table, row,
                      strcmp(quantity, "rate") == 0           ? peaks.rate
                      : strcmp(quantity, "acceleration") == 0 ? peaks.acceleration
                                                              : peaks.jerk);
    }
    refdata_close(table);
}
END_TEST

/* Members of the family against their own closed forms. */
START_TEST(members_follow_their_laws)
{
    const struct {
        dialarc_law law;
        double blend;
        dialarc_scca scca;
    } members[] = {
        {DIALARC_LAW_CONSTANT_RATE, 0.5, {0.0, 1.0, 0.0}},
        {DIALARC_LAW_MODIFIED_TRAPEZOID, 0.0, {0.25, 0.5, 0.25}},
        {DIALARC_LAW_HARMONIC, 0.0, {0.0, 0.0, 1.0}},
        {DIALARC_LAW_MODIFIED_SINE, 0.0, {0.25, 0.0, 0.75}},
        {DIALARC_LAW_CYCLOIDAL, 0.0, {0.5, 0.0, 0.5}},
    };
    for (size_t i = 0; i < sizeof members / sizeof members[0]; i++)
        for (int k = 0; k <= 997; k++) {
            dialarc_unit_motion a = motion(&members[i].scca, k / 997.0), b;
            dialarc_law_motion(members[i].law, members[i].blend, k / 997.0, &b);
            ck_assert_double_eq_tol(a.displacement, b.displacement, 2e-15);
            ck_assert_double_eq_tol(a.rate, b.rate, 1e-14);
            ck_assert_double_eq_tol(a.acceleration, b.acceleration, 1e-13);
        }
}
END_TEST

static double displacement_at(double u, void *data)
{
    return motion(data, u).displacement;
}

static double rate_at(double u, void *data)
{
    return motion(data, u).rate;
}

/* Finite differences: GSL's five-point rule, seeded fractions and places. */
START_TEST(rate_and_acceleration_are_derivatives)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 777);
    for (int k = 0; k < 3000; k++) {
        double p = gsl_rng_uniform(rng), q = gsl_rng_uniform(rng);
        dialarc_scca scca = {fmin(p, q), fabs(p - q), 1.0 - fmax(p, q)};
        double u = 0.01 + 0.98 * gsl_rng_uniform(rng), h = u < 0.5 ? u : 1.0 - u;
        double step = 1e-4;
        if (fmin(scca.sine, scca.cosine) < 0.02 || fabs(h - 0.5 * scca.sine) < step ||
            fabs(h - 0.5 * (1.0 - scca.cosine)) < step)
            continue;
        dialarc_unit_motion m = motion(&scca, u);
        check_slope(displacement_at, &scca, u, step, m.rate, 1.0, 1e-9);
        check_slope(rate_at, &scca, u, step, m.acceleration, 10.0, 1e-9);
    }
    gsl_rng_free(rng);
}
END_TEST

/* By definition, for any fractions: whole, symmetric, no jump of rate; peaks attained. */
START_TEST(flanks_are_whole_and_smooth)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 778);
    for (int k = 0; k < 500; k++) {
        double p = gsl_rng_uniform(rng), q = gsl_rng_uniform(rng), most = 0.0;
        dialarc_scca scca = {fmin(p, q), fabs(p - q), 1.0 - fmax(p, q)};
        dialarc_law_peaks peaks;
        dialarc_scca_peak_factors(&scca, &peaks);
        ck_assert_double_eq_tol(motion(&scca, 0.5).displacement, 0.5, 1e-14);
        ck_assert_double_eq_tol(motion(&scca, 0.5).rate, peaks.rate, 1e-13);
        ck_assert_double_eq(motion(&scca, 0.0).displacement, 0.0);
        ck_assert_double_eq(motion(&scca, 1.0).displacement, 1.0);
        const double edges[] = {0.5 * scca.sine, 0.5 * (1.0 - scca.cosine), 0.5};
        for (size_t i = 0; i < 3; i++) {
            double u = fmin(fmax(edges[i], 1e-12), 0.5);
            dialarc_unit_motion a = motion(&scca, u - 1e-12);
            dialarc_unit_motion b = motion(&scca, u + 1e-12);
            ck_assert_double_eq_tol(a.displacement, b.displacement, 1e-11);
            ck_assert_double_eq_tol(a.rate, b.rate, 1e-10);
            most = fmax(most, a.acceleration);
        }
        ck_assert_double_eq_tol(most, peaks.acceleration, 1e-8);
    }
    gsl_rng_free(rng);
}
END_TEST

START_TEST(bad_arguments_are_refused)
{
    const double nan = (double)NAN;
    const struct {
        dialarc_scca scca;
        double u;
        dialarc_status status;
    } cases[] = {
        {{0.3, 0.3, 0.3}, 0.5, DIALARC_ERR_FRACTION},
        {{-0.1, 0.6, 0.5}, 0.5, DIALARC_ERR_FRACTION},
        {{0.6, -0.1, 0.5}, 0.5, DIALARC_ERR_FRACTION},
        {{0.6, 0.5, -0.1}, 0.5, DIALARC_ERR_FRACTION},
        {{nan, 0.5, 0.5}, 0.5, DIALARC_ERR_NOT_FINITE},
        {{0.5, (double)INFINITY, 0.5}, 0.5, DIALARC_ERR_NOT_FINITE},
        {{0.5, 0.5, nan}, 0.5, DIALARC_ERR_NOT_FINITE},
        {{0.25, 0.5, 0.25}, nan, DIALARC_ERR_NOT_FINITE},
        {{0.25, 0.5, 0.25}, -1e-9, DIALARC_ERR_ANGLE},
        {{0.25, 0.5, 0.25}, 1.000001, DIALARC_ERR_ANGLE},
    };
    dialarc_unit_motion m = {-1.0, -1.0, -1.0};
    dialarc_law_peaks peaks = {-1.0, -1.0, -1.0};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ck_assert_int_eq(dialarc_scca_motion(&cases[i].scca, cases[i].u, &m),
                         cases[i].status);
        if (cases[i].u == 0.5)
            ck_assert_int_eq(dialarc_scca_peak_factors(&cases[i].scca, &peaks),
                             cases[i].status);
    }
    const dialarc_scca good = {0.25, 0.5, 0.25};
    ck_assert_int_eq(dialarc_scca_motion(NULL, 0.5, &m), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_scca_motion(&good, 0.5, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_scca_peak_factors(NULL, &peaks), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_scca_peak_factors(&good, NULL), DIALARC_ERR_NULL);
    ck_assert_double_eq(m.displacement, -1.0);
    ck_assert_double_eq(peaks.rate, -1.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("scca");
    TCase *tests = tcase_create("scca");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, peak_factors_agree_with_published_values);
    tcase_add_test(tests, members_follow_their_laws);
    tcase_add_test(tests, rate_and_acceleration_are_derivatives);
    tcase_add_test(tests, flanks_are_whole_and_smooth);
    tcase_add_test(tests, bad_arguments_are_refused);
    return darc_run(suite);
}
