/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/crank.h>
#include <float.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/derive.h"
#include "kit/refdata.h"
#include "kit/rng_kit.h"

#define UNTOUCHED 12345.0

static const dialarc_crank centred = {40.0, 120.0, 0.0};
static const dialarc_crank offset = {40.0, 120.0, 1.0};

static dialarc_crank_motion motion(const dialarc_crank *crank, double crank_deg)
{
    dialarc_crank_motion m = {UNTOUCHED, UNTOUCHED, UNTOUCHED};
    ck_assert_int_eq(dialarc_crank_motion_at(crank, crank_deg, &m), DIALARC_OK);
    return m;
}

static double angle(const dialarc_crank *crank, double drop_mm, dialarc_side side)
{
    double out = UNTOUCHED;
    ck_assert_int_eq(dialarc_crank_angle_at_drop(crank, drop_mm, side, &out), DIALARC_OK);
    return out;
}

static double stroke(const dialarc_crank *crank)
{
    double out = UNTOUCHED;
    ck_assert_int_eq(dialarc_crank_stroke_mm(crank, &out), DIALARC_OK);
    return out;
}

static double bdc(const dialarc_crank *crank)
{
    double out = UNTOUCHED;
    ck_assert_int_eq(dialarc_crank_bdc_deg(crank, &out), DIALARC_OK);
    return out;
}

static double compute(const char *quantity, const dialarc_crank *crank, double input)
{
    double out = UNTOUCHED;
    if (strcmp(quantity, "drop") == 0)
        return motion(crank, input).drop_mm;
    if (strcmp(quantity, "acceleration") == 0)
        return motion(crank, input).acceleration_mm_per_crank_deg2;
    if (strcmp(quantity, "angle_after") == 0)
        return angle(crank, input, DIALARC_SIDE_AFTER);
    if (strcmp(quantity, "angle_before") == 0)
        return angle(crank, input, DIALARC_SIDE_BEFORE);
    if (strcmp(quantity, "stroke") == 0)
        return stroke(crank);
    ck_assert_str_eq(quantity, "velocity_200rpm");
    ck_assert_int_eq(dialarc_crank_velocity(crank, input, 200.0, &out), DIALARC_OK);
    return out;
}

/* Sources and tolerances stand in the table. */
START_TEST(results_agree_with_published_values)
{
    refdata *table = refdata_open("crank.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        const dialarc_crank crank = {refdata_number(table, row, "radius_mm"),
                                     refdata_number(table, row, "rod_mm"),
                                     refdata_number(table, row, "offset_mm")};
        refdata_check(table, row,
                      compute(refdata_text(table, row, "quantity"), &crank,
                              refdata_number(table, row, "input")));
    }
    refdata_close(table);
}
END_TEST

static dialarc_crank draw(gsl_rng *rng)
{
    dialarc_crank crank = {.radius_mm = 20.0 + 60.0 * gsl_rng_uniform(rng)};
    crank.rod_mm = crank.radius_mm * (1.4 + 4.0 * gsl_rng_uniform(rng));
    crank.offset_mm = 0.35 * crank.radius_mm * (2.0 * gsl_rng_uniform(rng) - 1.0);
    return crank;
}

/* The textbook formula, in the angle of the throw, against the one free of cancellation.
 */
START_TEST(drop_agrees_with_the_textbook_formula)
{
    gsl_rng *rng = kit_seeded(21);
    for (int k = 0; k < 5000; k++) {
        dialarc_crank c = draw(rng);
        double throw_deg = UNTOUCHED, x = 720.0 * gsl_rng_uniform(rng) - 360.0;
        dialarc_crank_tdc_throw_deg(&c, &throw_deg);
        double t = (x + throw_deg) * acos(-1.0) / 180.0, full = c.radius_mm + c.rod_mm;
        double side = c.radius_mm * sin(t) - c.offset_mm;
        double drop = sqrt(full * full - c.offset_mm * c.offset_mm) -
                      c.radius_mm * cos(t) - sqrt(c.rod_mm * c.rod_mm - side * side);
        ck_assert_double_eq_tol(motion(&c, x).drop_mm, drop, 1e-12);
    }
    gsl_rng_free(rng);
}
END_TEST

static double drop_at(double x, void *data)
{
    return motion(data, x).drop_mm;
}

static double rate_at(double x, void *data)
{
    return motion(data, x).rate_mm_per_crank_deg;
}

/* Finite differences: GSL's five-point rule, seeded cranks and angles. */
START_TEST(rate_and_acceleration_are_derivatives)
{
    gsl_rng *rng = kit_seeded(22);
    for (int k = 0; k < 3000; k++) {
        dialarc_crank crank = draw(rng);
        double x = 720.0 * gsl_rng_uniform(rng) - 360.0, step = 0.1;
        dialarc_crank_motion m = motion(&crank, x);
        check_slope(drop_at, &crank, x, step, m.rate_mm_per_crank_deg, 1.0, 1e-9);
        check_slope(rate_at, &crank, x, step, m.acceleration_mm_per_crank_deg2, 0.1,
                    1e-9);
    }
    gsl_rng_free(rng);
}
END_TEST

/* By definition of TDC, BDC and stroke; acceleration r (1 + r/l) at TDC when centred. */
START_TEST(dead_centres)
{
    const double rad = acos(-1.0) / 180.0;
    ck_assert_double_eq(motion(&centred, 0.0).drop_mm, 0.0);
    ck_assert_double_eq_tol(motion(&centred, 0.0).acceleration_mm_per_crank_deg2,
                            40.0 * (1.0 + 40.0 / 120.0) * rad * rad, 1e-16);
    ck_assert_double_eq(bdc(&centred), 180.0);
    gsl_rng *rng = kit_seeded(23);
    for (int k = 0; k < 1000; k++) {
        dialarc_crank c = draw(rng);
        double b = bdc(&c);
        ck_assert_double_eq(motion(&c, 0.0).drop_mm, 0.0);
        ck_assert_double_eq_tol(motion(&c, 0.0).rate_mm_per_crank_deg, 0.0, 1e-15);
        ck_assert_double_eq_tol(motion(&c, b).rate_mm_per_crank_deg, 0.0, 1e-13);
        ck_assert_double_eq_tol(motion(&c, b).drop_mm, stroke(&c), 1e-12);
        ck_assert_double_lt(motion(&c, b).acceleration_mm_per_crank_deg2, 0.0);
        ck_assert_double_eq_tol(angle(&c, stroke(&c), DIALARC_SIDE_AFTER), b, 1e-5);
        ck_assert_double_eq_tol(angle(&c, stroke(&c), DIALARC_SIDE_BEFORE), b - 360.0,
                                1e-5);
        ck_assert_double_eq_tol(motion(&c, 360.0 + b).drop_mm, motion(&c, b).drop_mm,
                                1e-12);
    }
    gsl_rng_free(rng);
}
END_TEST

/* 1e-12 relative from TDC to BDC on both sides, and back as far as the drop tells. */
START_TEST(inverse_round_trips)
{
    gsl_rng *rng = kit_seeded(24);
    for (int k = 0; k < 20000; k++) {
        dialarc_crank c = draw(rng);
        dialarc_side side = k % 2 == 0 ? DIALARC_SIDE_BEFORE : DIALARC_SIDE_AFTER;
        double p = gsl_rng_uniform(rng), s = k % 3 == 0 ? pow(10.0, -14.0 * p) : p;
        double drop = stroke(&c) * s, x = angle(&c, drop, side);
        ck_assert_double_eq_tol(motion(&c, x).drop_mm, drop, 1e-12 * drop);
        ck_assert_int_eq(x < 0.0, side == DIALARC_SIDE_BEFORE);
        x = bdc(&c) * s - (side == DIALARC_SIDE_BEFORE ? 360.0 * s : 0.0);
        dialarc_crank_motion m = motion(&c, x);
        double seen = DBL_EPSILON * m.drop_mm / fabs(m.rate_mm_per_crank_deg);
        ck_assert_double_eq_tol(angle(&c, m.drop_mm, side), x,
                                1e-12 * fabs(x) + 8.0 * seen);
    }
    ck_assert_double_eq(angle(&offset, 0.0, DIALARC_SIDE_AFTER), 0.0);
    gsl_rng_free(rng);
}
END_TEST

START_TEST(arrays_agree_with_scalars)
{
    double x[50], y[50];
    for (int i = 0; i < 50; i++)
        x[i] = 17.3 * i - 400.0;
    ck_assert_int_eq(dialarc_crank_drop_array(&offset, 50, x, y), DIALARC_OK);
    for (int i = 0; i < 50; i++)
        ck_assert_double_eq(y[i], motion(&offset, x[i]).drop_mm);
    ck_assert_int_eq(dialarc_crank_drop_array(&offset, 50, x, x), DIALARC_OK);
    ck_assert_double_eq(x[49], y[49]);
    ck_assert_int_eq(dialarc_crank_drop_array(&offset, 0, NULL, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_crank_drop_array(&offset, 1, NULL, y), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_crank_drop_array(&offset, 1, x, NULL), DIALARC_ERR_NULL);
    x[49] = (double)NAN;
    y[0] = UNTOUCHED;
    ck_assert_int_eq(dialarc_crank_drop_array(&offset, 50, x, y), DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(y[0], UNTOUCHED);
}
END_TEST

static void check_refused(const dialarc_crank *crank, dialarc_status status)
{
    double y = UNTOUCHED;
    dialarc_crank_motion m = {UNTOUCHED, 0.0, 0.0};
    ck_assert_int_eq(dialarc_crank_check(crank), status);
    ck_assert_int_eq(dialarc_crank_stroke_mm(crank, &y), status);
    ck_assert_int_eq(dialarc_crank_tdc_throw_deg(crank, &y), status);
    ck_assert_int_eq(dialarc_crank_bdc_deg(crank, &y), status);
    ck_assert_int_eq(dialarc_crank_motion_at(crank, 1.0, &m), status);
    ck_assert_int_eq(dialarc_crank_drop_array(crank, 0, NULL, NULL), status);
    ck_assert_int_eq(dialarc_crank_velocity(crank, 1.0, 1.0, &y), status);
    ck_assert_int_eq(dialarc_crank_angle_at_drop(crank, 1.0, DIALARC_SIDE_AFTER, &y),
                     status);
    ck_assert_double_eq(y, UNTOUCHED);
    ck_assert_double_eq(m.drop_mm, UNTOUCHED);
}

START_TEST(bad_cranks_are_refused)
{
    const double nan = (double)NAN, inf = (double)INFINITY;
    const struct {
        dialarc_crank crank;
        dialarc_status status;
    } cases[] = {
        {{nan, 120.0, 0.0}, DIALARC_ERR_NOT_FINITE},
        {{40.0, inf, 0.0}, DIALARC_ERR_NOT_FINITE},
        {{40.0, 120.0, -inf}, DIALARC_ERR_NOT_FINITE},
        {{0.0, 120.0, 0.0}, DIALARC_ERR_LENGTH},
        {{40.0, -1.0, 0.0}, DIALARC_ERR_LENGTH},
        {{40.0, 40.0, 0.0}, DIALARC_ERR_CRANK},
        {{40.0, 120.0, 80.0}, DIALARC_ERR_CRANK},
        {{40.0, 120.0, -80.0}, DIALARC_ERR_CRANK},
    };
    check_refused(NULL, DIALARC_ERR_NULL);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        check_refused(&cases[i].crank, cases[i].status);
    const dialarc_crank tight = {40.0, 120.0, 79.9999};
    ck_assert_int_eq(dialarc_crank_check(&tight), DIALARC_OK);
    for (double x = 0.0; x < 360.0; x += 0.25)
        ck_assert(isfinite(motion(&tight, x).acceleration_mm_per_crank_deg2));
}
END_TEST

START_TEST(bad_arguments_are_refused)
{
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    const dialarc_side after = DIALARC_SIDE_AFTER;
    double y = UNTOUCHED, full = stroke(&centred);
    dialarc_crank_motion m;
    for (int i = 0; i < 3; i++) {
        const dialarc_status refused = DIALARC_ERR_NOT_FINITE;
        ck_assert_int_eq(dialarc_crank_motion_at(&centred, bad[i], &m), refused);
        ck_assert_int_eq(dialarc_crank_velocity(&centred, bad[i], 1.0, &y), refused);
        ck_assert_int_eq(dialarc_crank_velocity(&centred, 1.0, bad[i], &y), refused);
        ck_assert_int_eq(dialarc_crank_angle_at_drop(&centred, bad[i], after, &y),
                         refused);
    }
    ck_assert_int_eq(dialarc_crank_velocity(&centred, 1.0, -1e-9, &y), DIALARC_ERR_SPEED);
    ck_assert_int_eq(dialarc_crank_angle_at_drop(&centred, -1e-300, after, &y),
                     DIALARC_ERR_DROP);
    ck_assert_int_eq(
        dialarc_crank_angle_at_drop(&centred, full * (1.0 + 1e-14), after, &y),
        DIALARC_ERR_DROP);
    ck_assert_int_eq(dialarc_crank_angle_at_drop(&centred, 1.0, (dialarc_side)0, &y),
                     DIALARC_ERR_SIDE);
    ck_assert_double_eq(y, UNTOUCHED);
    ck_assert_int_eq(dialarc_crank_stroke_mm(&centred, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_crank_tdc_throw_deg(&centred, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_crank_bdc_deg(&centred, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_crank_motion_at(&centred, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_crank_velocity(&centred, 1.0, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_crank_angle_at_drop(&centred, 1.0, after, NULL),
                     DIALARC_ERR_NULL);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("crank");
    TCase *tests = tcase_create("crank");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, results_agree_with_published_values);
    tcase_add_test(tests, drop_agrees_with_the_textbook_formula);
    tcase_add_test(tests, rate_and_acceleration_are_derivatives);
    tcase_add_test(tests, dead_centres);
    tcase_add_test(tests, inverse_round_trips);
    tcase_add_test(tests, arrays_agree_with_scalars);
    tcase_add_test(tests, bad_cranks_are_refused);
    tcase_add_test(tests, bad_arguments_are_refused);
    return darc_run(suite);
}
