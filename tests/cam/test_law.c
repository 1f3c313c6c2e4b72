/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/law.h>
#include <float.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <string.h>

#include "cam/motion.h"
#include "kit/check_main.h"
#include "kit/derive.h"
#include "kit/refdata.h"

static const dialarc_unit_motion untouched = {-1.0, -2.0, -3.0};

static dialarc_unit_motion motion(dialarc_law law, double blend, double u)
{
    dialarc_unit_motion m = untouched;
    ck_assert_int_eq(dialarc_law_motion(law, blend, u, &m), DIALARC_OK);
    return m;
}

static dialarc_law law_in(const refdata *table, size_t row)
{
    dialarc_law law = DIALARC_LAW_UNKNOWN;
    ck_assert_int_eq(dialarc_law_from_name(refdata_text(table, row, "law"), &law),
                     DIALARC_OK);
    return law;
}

/* Names: the setups table of this project. */
START_TEST(names_and_laws_map_both_ways)
{
    for (int i = DIALARC_LAW_UNKNOWN + 1; i < DIALARC_LAW_COUNT; i++) {
        dialarc_law law = DIALARC_LAW_UNKNOWN;
        const char *name = dialarc_law_name((dialarc_law)i);
        ck_assert_int_eq(dialarc_law_from_name(name, &law), DIALARC_OK);
        ck_assert_int_eq(law, i);
    }
    ck_assert_str_eq(dialarc_law_name(DIALARC_LAW_HARMONIC), "harmonic");
    ck_assert_str_eq(dialarc_law_name(DIALARC_LAW_CYCLOIDAL), "cycloidal");
    ck_assert_str_eq(dialarc_law_name(DIALARC_LAW_POLY345), "poly345");
    ck_assert_str_eq(dialarc_law_name(DIALARC_LAW_POLY4567), "poly4567");
    ck_assert_str_eq(dialarc_law_name(DIALARC_LAW_MODIFIED_SINE), "modified_sine");
    ck_assert_str_eq(dialarc_law_name(DIALARC_LAW_MODIFIED_TRAPEZOID),
                     "modified_trapezoid");
    ck_assert_str_eq(dialarc_law_name(DIALARC_LAW_CONSTANT_RATE), "constant_rate");
}
END_TEST

START_TEST(names_that_are_none_are_refused)
{
    const char *const bad[] = {"",          "unknown", "Harmonic",
                               "harmonic ", "poly",    "poly3456"};
    dialarc_law law = DIALARC_LAW_POLY345;
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        ck_assert_int_eq(dialarc_law_from_name(bad[i], &law), DIALARC_ERR_LAW);
    ck_assert_int_eq(dialarc_law_from_name(NULL, &law), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_law_from_name("harmonic", NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(law, DIALARC_LAW_POLY345);
    ck_assert_str_eq(dialarc_law_name(DIALARC_LAW_UNKNOWN), "unknown");
    ck_assert_str_eq(dialarc_law_name(DIALARC_LAW_COUNT), "unknown");
    ck_assert_str_eq(dialarc_law_name((dialarc_law)-1), "unknown");
}
END_TEST

/* Sources and tolerances stand in the table. */
START_TEST(peak_factors_agree_with_published_values)
{
    refdata *table = refdata_open("law_peaks.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        const char *quantity = refdata_text(table, row, "quantity");
        dialarc_law_peaks peaks;
        ck_assert_int_eq(dialarc_law_peak_factors(law_in(table, row),
                                                  refdata_number(table, row, "blend"),
                                                  &peaks),
                         DIALARC_OK);
        refdata_check(table, row,
                      strcmp(quantity, "rate") == 0           ? peaks.rate
                      : strcmp(quantity, "acceleration") == 0 ? peaks.acceleration
                                                              : peaks.jerk);
    }
    refdata_close(table);
}
END_TEST

/* Sources and tolerances stand in the table. */
START_TEST(displacements_agree_with_published_values)
{
    refdata *table = refdata_open("law_displacements.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        double u = refdata_number(table, row, "u");
        dialarc_law law = law_in(table, row);
        refdata_check(table, row, motion(law, 0.0, u).displacement);
        ck_assert_double_eq_tol(darc_law(law, 0.25, u).s,
                                refdata_number(table, row, "value"), 1e-15);
    }
    refdata_close(table);
}
END_TEST

/* The peaks are those of the motion itself: scanned, so good to the square of the step.
 */
START_TEST(peaks_are_those_of_the_motion)
{
    const int steps = 40000;
    for (int i = DIALARC_LAW_UNKNOWN + 1; i < DIALARC_LAW_COUNT; i++) {
        dialarc_law_peaks peaks;
        double rate = 0.0, acceleration = 0.0;
        ck_assert_int_eq(dialarc_law_peak_factors((dialarc_law)i, 0.2, &peaks),
                         DIALARC_OK);
        for (int k = 1; k < steps; k++) {
            dialarc_unit_motion m = motion((dialarc_law)i, 0.2, (double)k / steps);
            rate = fmax(rate, m.rate);
            acceleration = fmax(acceleration, m.acceleration);
        }
        ck_assert_double_eq_tol(rate, peaks.rate, 1e-7);
        ck_assert_double_eq_tol(acceleration, peaks.acceleration, 1e-6);
        ck_assert(rate <= peaks.rate * (1.0 + 1e-15));
        ck_assert(acceleration <= peaks.acceleration * (1.0 + 1e-15));
    }
}
END_TEST

typedef struct place {
    dialarc_law law;
    double blend;
} place;

static double displacement_at(double u, void *data)
{
    const place *p = data;
    return motion(p->law, p->blend, u).displacement;
}

static double rate_at(double u, void *data)
{
    const place *p = data;
    return motion(p->law, p->blend, u).rate;
}

/* Distance from the nearest place where a law changes its formula. */
static double from_edge(double u, double blend)
{
    const double edges[] = {0.0, 0.125, 0.375, 0.5, blend};
    double h = u < 0.5 ? u : 1.0 - u, nearest = 1.0;
    for (size_t i = 0; i < sizeof edges / sizeof edges[0]; i++)
        nearest = fmin(nearest, fabs(h - edges[i]));
    return nearest;
}

/* Finite differences: GSL's five-point rule, seeded places. */
START_TEST(rate_and_acceleration_are_derivatives)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 31415);
    for (int i = DIALARC_LAW_UNKNOWN + 1; i < DIALARC_LAW_COUNT; i++) {
        for (int k = 0; k < 300; k++) {
            place p = {(dialarc_law)i, 0.05 + 0.45 * gsl_rng_uniform(rng)};
            double u = gsl_rng_uniform(rng), step = 1e-3;
            if (from_edge(u, p.blend) < step)
                continue;
            dialarc_unit_motion m = motion(p.law, p.blend, u);
            check_slope(displacement_at, &p, u, step, m.rate, 1.0, 1e-9);
            check_slope(rate_at, &p, u, step, m.acceleration, 10.0, 1e-8);
        }
    }
    gsl_rng_free(rng);
}
END_TEST

/* By definition: 0 to 1, symmetric, no jump in displacement or rate, dwell outside. */
START_TEST(flanks_are_whole_and_symmetric)
{
    const double edges[] = {0.1, 0.125, 0.375, 0.5, 0.625, 0.875, 0.9};
    for (int i = DIALARC_LAW_UNKNOWN + 1; i < DIALARC_LAW_COUNT; i++) {
        dialarc_law law = (dialarc_law)i;
        ck_assert_double_eq(motion(law, 0.1, 0.0).displacement, 0.0);
        ck_assert_double_eq(motion(law, 0.1, 1.0).displacement, 1.0);
        ck_assert_double_eq(motion(law, 0.1, 1.0).rate, 0.0);
        ck_assert_double_eq_tol(motion(law, 0.1, 0.5).displacement, 0.5, 1e-15);
        ck_assert_double_le(motion(law, 0.1, 1e-9).rate, 1e-7);
        for (size_t k = 0; k < sizeof edges / sizeof edges[0]; k++) {
            dialarc_unit_motion a = motion(law, 0.1, edges[k] - 1e-12);
            dialarc_unit_motion b = motion(law, 0.1, edges[k] + 1e-12);
            dialarc_unit_motion c = motion(law, 0.1, 1.0 - edges[k] - 1e-12);
            ck_assert_double_eq_tol(a.displacement, b.displacement, 1e-11);
            ck_assert_double_eq_tol(a.rate, b.rate, 1e-10);
            ck_assert_double_eq_tol(b.displacement + c.displacement, 1.0, 1e-15);
            ck_assert_double_eq_tol(b.rate, c.rate, 1e-14);
            ck_assert_double_eq_tol(b.acceleration, -c.acceleration, 1e-10);
        }
    }
}
END_TEST

/* The fast form of the inner loops and the exact one agree. */
START_TEST(fast_form_agrees)
{
    for (int i = DIALARC_LAW_UNKNOWN + 1; i < DIALARC_LAW_COUNT; i++)
        for (int k = -10; k <= 1010; k++) {
            darc_motion a = darc_law((dialarc_law)i, 0.3, k / 1000.0);
            darc_motion b = darc_flank_motion((dialarc_law)i, 0.3, k / 1000.0);
            ck_assert_double_eq_tol(a.s, b.s, 5e-16);
            ck_assert_double_eq_tol(a.v, b.v, 1e-15);
            ck_assert_double_eq_tol(a.a, b.a, 1e-15);
        }
}
END_TEST

/* 1e-12 relative from the foot to the top, both ways where the rate allows it. */
START_TEST(inverse_round_trips)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 27182);
    for (int i = DIALARC_LAW_UNKNOWN + 1; i < DIALARC_LAW_COUNT; i++) {
        dialarc_law law = (dialarc_law)i;
        for (int k = 0; k < 2000; k++) {
            double blend = 0.01 + 0.49 * gsl_rng_uniform(rng);
            double s = gsl_rng_uniform(rng);
            s = k % 4 == 0 ? pow(10.0, -15.0 * s) : k % 4 == 1 ? 1.0 - 1e-6 * s : s;
            double u = darc_flank_inverse(law, blend, s);
            ck_assert_double_eq_tol(darc_flank_motion(law, blend, u).s, s, 1e-12 * s);
            u = gsl_rng_uniform(rng);
            u = k % 2 == 0 ? u : pow(10.0, -6.0 * u);
            darc_motion m = darc_flank_motion(law, blend, u);
            double seen = DBL_EPSILON * m.s / m.v; /* what rounding of s hides */
            ck_assert_double_eq_tol(darc_flank_inverse(law, blend, m.s), u,
                                    1e-12 * u + 4.0 * seen);
        }
        ck_assert_double_eq(darc_flank_inverse(law, 0.25, 0.0), 0.0);
        ck_assert_double_eq(darc_flank_inverse(law, 0.25, 1.0), 1.0);
        ck_assert_double_eq_tol(darc_flank_inverse(law, 0.25, 0.5), 0.5, 1e-15);
    }
    gsl_rng_free(rng);
}
END_TEST

START_TEST(blend_0_is_a_quarter_and_5e_324_still_a_line)
{
    const dialarc_law laws[] = {DIALARC_LAW_CONSTANT_RATE,
                                DIALARC_LAW_CONSTANT_RATE_HARMONIC,
                                DIALARC_LAW_CONSTANT_RATE_CYCLOIDAL};
    for (size_t i = 0; i < 3; i++) {
        dialarc_unit_motion a = motion(laws[i], 0.0, 0.3), b = motion(laws[i], 0.25, 0.3);
        ck_assert_double_eq(a.displacement, b.displacement);
        ck_assert_double_eq_tol(motion(laws[i], 5e-324, 0.3).displacement, 0.3, 1e-15);
        ck_assert_double_eq_tol(darc_flank_inverse(laws[i], 5e-324, 0.3), 0.3, 1e-15);
    }
}
END_TEST

START_TEST(bad_arguments_are_refused)
{
    const struct {
        dialarc_law law;
        double blend, u;
        dialarc_status status;
    } cases[] = {
        {DIALARC_LAW_UNKNOWN, 0.0, 0.5, DIALARC_ERR_LAW},
        {DIALARC_LAW_COUNT, 0.0, 0.5, DIALARC_ERR_LAW},
        {(dialarc_law)-1, 0.0, 0.5, DIALARC_ERR_LAW},
        {DIALARC_LAW_CONSTANT_RATE, -1e-9, 0.5, DIALARC_ERR_BLEND},
        {DIALARC_LAW_CONSTANT_RATE_HARMONIC, 0.5000001, 0.5, DIALARC_ERR_BLEND},
        {DIALARC_LAW_CONSTANT_RATE_CYCLOIDAL, 1.0, 0.5, DIALARC_ERR_BLEND},
        {DIALARC_LAW_CONSTANT_RATE, (double)NAN, 0.5, DIALARC_ERR_NOT_FINITE},
        {DIALARC_LAW_HARMONIC, (double)INFINITY, 0.5, DIALARC_ERR_NOT_FINITE},
        {DIALARC_LAW_HARMONIC, -3.0, 0.5, DIALARC_OK},
        {DIALARC_LAW_HARMONIC, 0.0, (double)NAN, DIALARC_ERR_NOT_FINITE},
        {DIALARC_LAW_HARMONIC, 0.0, -1e-300, DIALARC_ERR_ANGLE},
        {DIALARC_LAW_HARMONIC, 0.0, 1.0000001, DIALARC_ERR_ANGLE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        dialarc_unit_motion m = untouched;
        dialarc_law_peaks peaks = {-1.0, -1.0, -1.0};
        dialarc_status status = cases[i].status;
        ck_assert_int_eq(dialarc_law_motion(cases[i].law, cases[i].blend, cases[i].u, &m),
                         status);
        ck_assert_int_eq(m.displacement == untouched.displacement, status != DIALARC_OK);
        if (cases[i].u == 0.5) {
            ck_assert_int_eq(
                dialarc_law_peak_factors(cases[i].law, cases[i].blend, &peaks), status);
            ck_assert_int_eq(peaks.rate == -1.0, status != DIALARC_OK);
        }
    }
    ck_assert_int_eq(dialarc_law_motion(DIALARC_LAW_HARMONIC, 0.0, 0.5, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_law_peak_factors(DIALARC_LAW_HARMONIC, 0.0, NULL),
                     DIALARC_ERR_NULL);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("law");
    TCase *tests = tcase_create("law");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, names_and_laws_map_both_ways);
    tcase_add_test(tests, names_that_are_none_are_refused);
    tcase_add_test(tests, peak_factors_agree_with_published_values);
    tcase_add_test(tests, displacements_agree_with_published_values);
    tcase_add_test(tests, peaks_are_those_of_the_motion);
    tcase_add_test(tests, rate_and_acceleration_are_derivatives);
    tcase_add_test(tests, flanks_are_whole_and_symmetric);
    tcase_add_test(tests, fast_form_agrees);
    tcase_add_test(tests, inverse_round_trips);
    tcase_add_test(tests, blend_0_is_a_quarter_and_5e_324_still_a_line);
    tcase_add_test(tests, bad_arguments_are_refused);
    return darc_run(suite);
}
