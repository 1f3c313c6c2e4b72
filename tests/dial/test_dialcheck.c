/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/dialcheck.h>
#include <gsl/gsl_randist.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/rng_kit.h"

#define UNTOUCHED 12345.0

/* By hand, in micrometres: errors going in 0, 2, -1, 4 at 0, 0.1, 0.5 and 1.5 mm, each
 * the mean of two readings 1 apart; coming out 5 more at 0.5 mm. A tenth of a turn holds
 * 0 and 2; half a turn 0, 2, -1; a turn those and -1, 4; all 4 - -1. The sd of readings
 * is that of pairs, 1/sqrt 2, one of four degrees of freedom; the single one coming out
 * is the fewest, m = 1. */
START_TEST(a_check_by_hand)
{
    const double block[] = {1.5, 0.0, 0.1, 0.5, 0.5, 0.0, 0.1, 0.5, 1.5};
    const double shown[] = {1.5035,  0.0005, 0.1015, 0.4985, 0.504,
                            -0.0005, 0.1025, 0.4995, 1.5045};
    const double way[] = {1, 1, 1, 1, -1, 0, 0, 1, 1};
    const double um = 1e-3, tight = 1e-12;
    dialarc_dialcheck c;
    ck_assert_int_eq(
        dialarc_dialcheck_assess(9, block, shown, way, 0.001, 1.0, 0.0005, &c),
        DIALARC_OK);
    ck_assert_uint_eq(c.travels, 4);
    ck_assert_double_eq_tol(c.tenth_turn_mm, 2.0 * um, tight);
    ck_assert_double_eq_tol(c.half_turn_mm, 3.0 * um, tight);
    ck_assert_double_eq_tol(c.one_turn_mm, 5.0 * um, tight);
    ck_assert_double_eq_tol(c.whole_range_mm, 5.0 * um, tight);
    ck_assert_double_eq_tol(c.largest_error_mm, 4.0 * um, tight);
    ck_assert_double_eq_tol(c.hysteresis_mm, 5.0 * um, tight);
    ck_assert_double_eq_tol(c.repeatability_mm, 1.0 * um, tight);
    ck_assert_double_eq_tol(c.reading_sd_mm, sqrt(0.5) * um, tight);
    ck_assert_double_eq(c.reading_dof, 4.0);
    ck_assert_double_eq_tol(c.error_u_mm, sqrt(0.5 + 1.0 / 12.0 + 0.25) * um, tight);
    ck_assert_double_eq_tol(c.span_u_mm, sqrt(2.0) * c.error_u_mm, tight);
    ck_assert_double_eq_tol(c.hysteresis_u_mm, sqrt(2.0 * (0.5 + 1.0 / 12.0)) * um,
                            tight);
    /* half-way between the ways at 0.5 mm, from the stem out */
    dialarc_dialcal *curve = NULL;
    double at = 0.0, travel = 0.0;
    ck_assert_int_eq(dialarc_dialcheck_calibration(9, block, shown, way, 0.001, &curve),
                     DIALARC_OK);
    ck_assert_uint_eq(dialarc_dialcal_count(curve), 4);
    dialarc_dialcal_point(curve, 2, &at, &travel);
    ck_assert_double_eq_tol(at, 0.5015, tight);
    ck_assert_double_eq(travel, 0.5);
    dialarc_dialcal_free(curve);
}
END_TEST

/* What was not read is not known: one reading a travel, one way, half a millimetre apart.
 */
START_TEST(what_is_not_seen)
{
    const double block[] = {0.0, 0.5, 1.0}, shown[] = {0.0, 0.501, 1.0};
    const double way[] = {1, 1, 1};
    dialarc_dialcheck c;
    ck_assert_int_eq(dialarc_dialcheck_assess(3, block, shown, way, 0.01, 1.0, 0.0, &c),
                     DIALARC_OK);
    ck_assert(isnan(c.hysteresis_mm) && isnan(c.repeatability_mm));
    ck_assert(isnan(c.tenth_turn_mm) && isnan(c.reading_sd_mm));
    ck_assert_double_eq_tol(c.half_turn_mm, 0.001, 1e-12);
    ck_assert_double_eq(c.reading_dof, 0.0);
    ck_assert_double_eq_tol(c.error_u_mm, 0.01 / sqrt(12.0), 1e-12);
}
END_TEST

/* The rule of ISO 14253-1 (from memory): a guard band of 1.645 u at 95 % (JCGM 106, table
 * 1: 1.64) on both sides of the limit. */
START_TEST(proofs)
{
    const double value[] = {0.0083, 0.0084, 0.0116, 0.0117, (double)NAN};
    const dialarc_proof wanted[] = {DIALARC_PROOF_KEPT, DIALARC_PROOF_NEITHER,
                                    DIALARC_PROOF_NEITHER, DIALARC_PROOF_EXCEEDED,
                                    DIALARC_PROOF_NONE};
    dialarc_proof proof = DIALARC_PROOF_NONE;
    for (int i = 0; i < 5; i++) {
        ck_assert_int_eq(dialarc_dialcheck_proof(value[i], 0.001, 0.01, 0.95, &proof),
                         DIALARC_OK);
        ck_assert_int_eq(proof, wanted[i]);
    }
    ck_assert_int_eq(dialarc_dialcheck_proof(0.01, 0.0, 0.01, 0.95, &proof), DIALARC_OK);
    ck_assert_int_eq(proof, DIALARC_PROOF_KEPT);
    ck_assert_int_eq(dialarc_dialcheck_proof(0.01, -1.0, 0.01, 0.95, &proof),
                     DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_dialcheck_proof(0.01, 0.1, (double)NAN, 0.95, &proof),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_dialcheck_proof((double)INFINITY, 0.1, 0.1, 0.95, &proof),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_dialcheck_proof(0.01, 0.1, 0.1, 0.4, &proof),
                     DIALARC_ERR_PROBABILITY);
    ck_assert_int_eq(dialarc_dialcheck_proof(0.01, 0.1, 0.1, 0.95, NULL),
                     DIALARC_ERR_NULL);
}
END_TEST

/* Simulated dials whose span of errors is the limit, 8 um, exactly: they are passed no
 * more than 5 times in 100, less what four sd of that share in 2000 allow. */
START_TEST(a_dial_at_its_limit_is_seldom_passed)
{
    enum { TRAVELS = 11, RUNS = 2000 };
    gsl_rng *rng = kit_seeded(71);
    int kept = 0;
    for (int run = 0; run < RUNS; run++) {
        double block[4 * TRAVELS], shown[4 * TRAVELS], way[4 * TRAVELS];
        size_t n = 0;
        for (int repeat = 0; repeat < 4; repeat++)
            for (int i = 0; i < TRAVELS; i++, n++) {
                double x = 0.1 * i, error = 0.004 * cos(2.0 * 3.14159265358979 * x);
                block[n] = x;
                way[n] = 1.0;
                shown[n] = x + error + gsl_ran_gaussian(rng, 0.001);
            }
        dialarc_dialcheck c;
        dialarc_proof proof = DIALARC_PROOF_NONE;
        dialarc_dialcheck_assess(n, block, shown, way, 0.0, 1.0, 0.0, &c);
        dialarc_dialcheck_proof(c.one_turn_mm, c.span_u_mm, 0.008, 0.95, &proof);
        kept += proof == DIALARC_PROOF_KEPT;
    }
    ck_assert_double_le((double)kept / RUNS, 0.05 + 4.0 * sqrt(0.05 * 0.95 / RUNS));
    gsl_rng_free(rng);
}
END_TEST

START_TEST(what_cannot_be_used_is_refused)
{
    double block[] = {0.0, 1.0}, shown[] = {0.0, 1.001}, way[] = {1, 1};
    dialarc_dialcheck c = {.largest_error_mm = UNTOUCHED};
    dialarc_dialcal *curve = NULL;
    const double nan = (double)NAN;
    ck_assert_int_eq(dialarc_dialcheck_assess(2, NULL, shown, way, 0.01, 1.0, 0.0, &c),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dialcheck_assess(2, block, shown, NULL, 0.01, 1.0, 0.0, &c),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dialcheck_assess(2, block, shown, way, 0.01, 1.0, 0.0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_dialcheck_assess(1, block, shown, way, 0.01, 1.0, 0.0, &c),
                     DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_dialcheck_assess(2, block, shown, way, -0.01, 1.0, 0.0, &c),
                     DIALARC_ERR_DIAL);
    ck_assert_int_eq(dialarc_dialcheck_assess(2, block, shown, way, 0.01, 0.0, 0.0, &c),
                     DIALARC_ERR_DIAL);
    ck_assert_int_eq(dialarc_dialcheck_assess(2, block, shown, way, 0.01, 1.0, -0.1, &c),
                     DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_dialcheck_assess(2, block, shown, way, nan, 1.0, 0.0, &c),
                     DIALARC_ERR_NOT_FINITE);
    way[0] = -1.0; /* a single travel going in */
    ck_assert_int_eq(dialarc_dialcheck_assess(2, block, shown, way, 0.01, 1.0, 0.0, &c),
                     DIALARC_ERR_SIZE);
    way[0] = 2.0;
    ck_assert_int_eq(dialarc_dialcheck_assess(2, block, shown, way, 0.01, 1.0, 0.0, &c),
                     DIALARC_ERR_DIRECTION);
    way[0] = 1.0;
    shown[1] = 1e10;
    ck_assert_int_eq(dialarc_dialcheck_assess(2, block, shown, way, 0.01, 1.0, 0.0, &c),
                     DIALARC_ERR_READING);
    shown[1] = nan;
    ck_assert_int_eq(dialarc_dialcheck_assess(2, block, shown, way, 0.01, 1.0, 0.0, &c),
                     DIALARC_ERR_NOT_FINITE);
    shown[1] = -0.5; /* falls */
    ck_assert_int_eq(dialarc_dialcheck_calibration(2, block, shown, way, 0.001, &curve),
                     DIALARC_ERR_ORDER);
    ck_assert_int_eq(dialarc_dialcheck_calibration(2, block, shown, way, 0.001, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_ptr_null(curve);
    ck_assert_double_eq(c.largest_error_mm, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("dialcheck");
    TCase *c = tcase_create("dialcheck");
    tcase_add_test(c, a_check_by_hand);
    tcase_add_test(c, what_is_not_seen);
    tcase_add_test(c, proofs);
    tcase_add_test(c, a_dial_at_its_limit_is_seldom_passed);
    tcase_add_test(c, what_cannot_be_used_is_refused);
    suite_add_tcase(s, c);
    return darc_run(s);
}
