/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A cam whose lobe is a table goes wherever one goes that follows laws: each function of
 * a cam says of the table of a law what it says of the law. Source: the closed forms of
 * the laws (tests/cam/test_cam.c), and the law of the SCCA family that is one of them.
 */
#include <math.h>

#include <dialarc.h>

#include "kit/check_main.h"

#define UNTOUCHED 12345.0
#define POINTS    1440

static const dialarc_cam law = {.lobes = 4,
                                .lift_mm = 2.2,
                                .rise_deg = 38.0,
                                .top_dwell_deg = 3.0,
                                .base_dwell_deg = 10.0,
                                .law = DIALARC_LAW_MODIFIED_SINE,
                                .fall_law = DIALARC_LAW_POLY345};

static dialarc_camtable *table;
static dialarc_cam cam;

static void open_bench(void)
{
    ck_assert_int_eq(dialarc_camtable_from_cam(&law, POINTS, &table), DIALARC_OK);
    ck_assert_int_eq(dialarc_cam_from_table(table, &cam), DIALARC_OK);
}

static void close_bench(void)
{
    dialarc_camtable_free(table);
}

/* Calls a function whose last argument is a number for both, and compares. */
#define BOTH(tolerance, function, ...)                                                   \
    do {                                                                                 \
        double of_table = UNTOUCHED, of_law = UNTOUCHED;                                 \
        const dialarc_cam *c = &cam;                                                     \
        ck_assert_int_eq(function(__VA_ARGS__, &of_table), DIALARC_OK);                  \
        c = &law;                                                                        \
        ck_assert_int_eq(function(__VA_ARGS__, &of_law), DIALARC_OK);                    \
        ck_assert_double_eq_tol(of_table, of_law, tolerance);                            \
    } while (0)

START_TEST(lift_and_inverse_are_those_of_the_law)
{
    ck_assert_int_eq(cam.lobes, 4);
    ck_assert_double_eq_tol(cam.lift_mm, 2.2, 1e-7);
    for (double at = -100.0; at < 500.0; at += 0.37) {
        BOTH(2e-7, dialarc_cam_lift, c, at);
        BOTH(2e-5, dialarc_cam_rate, c, at);
    }
    for (double lift = 0.01; lift < 2.19; lift += 0.037) {
        BOTH(2e-4, dialarc_cam_angle_at_lift, c, lift, DIALARC_FLANK_RISING);
        BOTH(2e-4, dialarc_cam_angle_at_lift, c, lift, DIALARC_FLANK_FALLING);
    }
    /* the ends, where a spline may overshoot: no angle outside the flank */
    double at = UNTOUCHED;
    ck_assert_int_eq(dialarc_cam_angle_at_lift(&cam, 0.0, DIALARC_FLANK_RISING, &at),
                     DIALARC_OK);
    ck_assert(at >= 0.0 && at < 0.5);
    ck_assert_int_eq(
        dialarc_cam_angle_at_lift(&cam, cam.lift_mm, DIALARC_FLANK_RISING, &at),
        DIALARC_OK);
    ck_assert_double_eq_tol(at, 38.0, 4.0);
}
END_TEST

START_TEST(delivery_and_injection_are_those_of_the_law)
{
    const dialarc_plunger plunger = {9.0, 0.3, 1.0};
    const dialarc_injection none = {0, NULL, NULL, 0.4, 1.5};
    BOTH(1e-3, dialarc_delivery_start, c, 2.0, 0.3, 0.9);
    BOTH(1e-5, dialarc_delivery_lift, c, 2.0, 0.3, 10.0);
    BOTH(1e-3, dialarc_delivery_buildup, c, 2.0, &plunger, 9.0);
    BOTH(1e-3, dialarc_injection_from_lift, &none, c, 2.0, 0.3, 0.9, 800.0);
    BOTH(1e-5, dialarc_injection_to_lift, &none, c, 2.0, 0.3, 8.0, 800.0);
    BOTH(1e-6, dialarc_tdc_lift_sd, c, 0.9, 2.0, 0.2);
    dialarc_delivery by_table, by_law;
    ck_assert_int_eq(dialarc_delivery_compute(&cam, 2.0, &plunger, 0.9, &by_table), 0);
    ck_assert_int_eq(dialarc_delivery_compute(&law, 2.0, &plunger, 0.9, &by_law), 0);
    ck_assert_double_eq_tol(by_table.duration_crank_deg, by_law.duration_crank_deg, 1e-3);
}
END_TEST

START_TEST(teeth_and_roller_are_those_of_the_law)
{
    const dialarc_follower follower = {40.0, 6.0};
    dialarc_tooth by_table, by_law;
    dialarc_follower_survey way_table, way_law;
    ck_assert_int_eq(dialarc_tooth_from_lift(&cam, 0.9, 1.4, 0.01, DIALARC_FLANK_RISING,
                                             8.5, 0.6, 0.01, &by_table),
                     DIALARC_OK);
    ck_assert_int_eq(dialarc_tooth_from_lift(&law, 0.9, 1.4, 0.01, DIALARC_FLANK_RISING,
                                             8.5, 0.6, 0.01, &by_law),
                     DIALARC_OK);
    ck_assert_int_eq(by_table.teeth, by_law.teeth);
    ck_assert_double_eq_tol(by_table.probability, by_law.probability, 1e-5);
    ck_assert_int_eq(dialarc_follower_survey_cam(&follower, &cam, &way_table), 0);
    ck_assert_int_eq(dialarc_follower_survey_cam(&follower, &law, &way_law), 0);
    ck_assert_double_eq_tol(way_table.rising_pressure_deg, way_law.rising_pressure_deg,
                            1e-3);
    ck_assert_double_eq_tol(way_table.falling_pressure_deg, way_law.falling_pressure_deg,
                            1e-3);
    ck_assert_double_eq_tol(way_table.crest_radius_mm / way_law.crest_radius_mm, 1.0,
                            1e-3);
    ck_assert_double_eq_tol(way_table.crest_pump_deg, way_law.crest_pump_deg, 0.1);
    ck_assert_int_eq(way_table.undercut, way_law.undercut);
}
END_TEST

START_TEST(what_if_is_that_of_the_law)
{
    dialarc_setup setup = dialarc_setup_unknown(4);
    dialarc_whatif by_law, by_table;
    dialarc_outcome one, other, slope[DIALARC_WHATIF_COUNT], slopes[DIALARC_WHATIF_COUNT];
    setup.cam_law = law.law;
    setup.cam_lift_mm = law.lift_mm;
    setup.rise_deg = law.rise_deg;
    setup.top_dwell_deg = law.top_dwell_deg;
    setup.base_dwell_deg = law.base_dwell_deg;
    setup.lift_low_mm = 0.88;
    setup.lift_high_mm = 0.92;
    ck_assert_int_eq(dialarc_whatif_from_setup(&setup, &by_law), DIALARC_OK);
    by_law.input[DIALARC_WHATIF_TDC_MARK].centre = -0.5;
    by_law.input[DIALARC_WHATIF_WEAR].centre = 0.03;
    by_table = by_law;
    by_table.cam = cam;
    ck_assert_int_eq(dialarc_whatif_evaluate(&by_law, &one), DIALARC_OK);
    ck_assert_int_eq(dialarc_whatif_evaluate(&by_table, &other), DIALARC_OK);
    ck_assert_double_eq_tol(one.lift_mm, other.lift_mm, 1e-6);
    ck_assert_double_eq_tol(one.advance_crank_deg, other.advance_crank_deg, 1e-3);
    ck_assert(one.advance_crank_deg > 0.6); /* earlier by more than the mark says */
    ck_assert_int_eq(dialarc_whatif_sensitivity(&by_law, slope), DIALARC_OK);
    ck_assert_int_eq(dialarc_whatif_sensitivity(&by_table, slopes), DIALARC_OK);
    for (int i = 0; i < DIALARC_WHATIF_COUNT; i++)
        ck_assert_double_eq_tol(slope[i].lift_mm, slopes[i].lift_mm,
                                1e-4 * (1.0 + fabs(slope[i].lift_mm)));
}
END_TEST

/* The modified sine is the member with 1/4, 0 and 3/4. */
START_TEST(a_law_of_the_scca_family_is_one)
{
    const dialarc_scca sine = {0.25, 0.0, 0.75}, trapezoid = {0.25, 0.5, 0.25};
    dialarc_camtable *family = NULL;
    double lift = UNTOUCHED, wanted = UNTOUCHED;
    dialarc_cam shape = law, member, mixed = law;
    mixed.fall_law = DIALARC_LAW_MODIFIED_TRAPEZOID;
    shape.law = DIALARC_LAW_UNKNOWN; /* not used */
    ck_assert_int_eq(
        dialarc_camtable_from_scca(&shape, &sine, &trapezoid, POINTS, &family),
        DIALARC_OK);
    ck_assert_int_eq(dialarc_cam_from_table(family, &member), DIALARC_OK);
    for (double at = 0.0; at < 90.0; at += 0.21) {
        ck_assert_int_eq(dialarc_cam_lift(&member, at, &lift), DIALARC_OK);
        ck_assert_int_eq(dialarc_cam_lift(&mixed, at, &wanted), DIALARC_OK);
        ck_assert_double_eq_tol(lift, wanted, 2.2e-6);
    }
    dialarc_camtable_free(family);
    const dialarc_scca bad = {0.5, 0.5, 0.5};
    ck_assert_int_eq(dialarc_camtable_from_scca(&law, &bad, &sine, POINTS, &family),
                     DIALARC_ERR_FRACTION);
    ck_assert_int_eq(dialarc_camtable_from_scca(&law, &sine, &bad, POINTS, &family),
                     DIALARC_ERR_FRACTION);
    ck_assert_int_eq(dialarc_camtable_from_scca(&law, &sine, &sine, 2, &family),
                     DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_camtable_from_scca(NULL, &sine, &sine, POINTS, &family),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_from_scca(&law, &sine, NULL, POINTS, &family),
                     DIALARC_ERR_NULL);
    shape.lift_mm = -1.0;
    ck_assert_int_eq(dialarc_camtable_from_scca(&shape, &sine, &sine, POINTS, &family),
                     DIALARC_ERR_LIFT);
}
END_TEST

static dialarc_status made_of(size_t n, const double *pump_deg, const double *lift_mm,
                              double period_deg)
{
    dialarc_camtable *made = NULL;
    dialarc_cam c = {.lobes = 77};
    ck_assert_int_eq(dialarc_camtable_new(n, pump_deg, lift_mm, period_deg, &made), 0);
    dialarc_status status = dialarc_cam_from_table(made, &c);
    ck_assert(status == DIALARC_OK || c.lobes == 77);
    dialarc_camtable_free(made);
    return status;
}

START_TEST(tables_that_are_no_lobe_are_refused)
{
    double turn_deg[360], turn_mm[360], lobe_deg[90], late_mm[90], flat_mm[90];
    for (int i = 0; i < 360; i++) {
        turn_deg[i] = i;
        ck_assert_int_eq(dialarc_cam_lift(&law, i, &turn_mm[i]), DIALARC_OK);
    }
    for (int i = 0; i < 90; i++) {
        lobe_deg[i] = i;
        flat_mm[i] = 0.5;
        ck_assert_int_eq(dialarc_cam_lift(&law, i + 20.0, &late_mm[i]), DIALARC_OK);
    }
    ck_assert_int_eq(made_of(90, lobe_deg, turn_mm, 90.0), DIALARC_OK);
    ck_assert_int_eq(made_of(360, turn_deg, turn_mm, 360.0), DIALARC_ERR_SEGMENTS);
    ck_assert_int_eq(made_of(180, turn_deg, turn_mm, 180.0), DIALARC_ERR_SEGMENTS);
    ck_assert_int_eq(made_of(90, lobe_deg, turn_mm, 100.0), DIALARC_ERR_SEGMENTS);
    ck_assert_int_eq(made_of(90, lobe_deg, late_mm, 90.0), DIALARC_ERR_SEGMENTS);
    ck_assert_int_eq(made_of(90, lobe_deg, flat_mm, 90.0), DIALARC_ERR_LIFT);
    ck_assert_int_eq(dialarc_cam_from_table(NULL, &cam), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cam_from_table(table, NULL), DIALARC_ERR_NULL);
    cam.lobes = 6;
    cam.rise_deg = 20.0;
    ck_assert_int_eq(dialarc_cam_check(&cam), DIALARC_ERR_SEGMENTS);
}
END_TEST

START_TEST(a_table_lives_as_long_as_one_owner)
{
    double lift = UNTOUCHED;
    dialarc_camtable *own = NULL;
    ck_assert_int_eq(dialarc_camtable_from_cam(&law, 90, &own), DIALARC_OK);
    dialarc_camtable *second = NULL, *third = NULL;
    ck_assert_int_eq(dialarc_camtable_share(own, &second), DIALARC_OK);
    ck_assert_int_eq(dialarc_camtable_share(second, &third), DIALARC_OK);
    ck_assert_ptr_eq(third, own);
    ck_assert_int_eq(dialarc_camtable_share(NULL, &third), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_share(own, NULL), DIALARC_ERR_NULL);
    dialarc_camtable_free(own);
    dialarc_camtable_free(own);
    ck_assert_int_eq(dialarc_cam_from_table(own, &cam), DIALARC_OK);
    ck_assert_int_eq(dialarc_cam_lift(&cam, 20.0, &lift), DIALARC_OK);
    dialarc_camtable_free(own);
    cam.lobe_table = table;
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("tabled cam");
    TCase *tc = tcase_create("everywhere");
    tcase_add_checked_fixture(tc, open_bench, close_bench);
    tcase_add_test(tc, lift_and_inverse_are_those_of_the_law);
    tcase_add_test(tc, delivery_and_injection_are_those_of_the_law);
    tcase_add_test(tc, teeth_and_roller_are_those_of_the_law);
    tcase_add_test(tc, what_if_is_that_of_the_law);
    tcase_add_test(tc, a_law_of_the_scca_family_is_one);
    tcase_add_test(tc, tables_that_are_no_lobe_are_refused);
    tcase_add_test(tc, a_table_lives_as_long_as_one_owner);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
