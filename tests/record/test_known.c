/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Blanks of a setup become numbers; what is stated stays as it is. */
#include <math.h>

#include "kit/check_main.h"
#include "record/known.h"

/* Common practice, no source; hysteresis: JIS B 7503:2011 allows 3 to 5 micrometres. */
START_TEST(what_is_assumed)
{
    const dialarc_setup blank = dialarc_setup_unknown(4);
    darc_known k = darc_known_of(&blank);
    ck_assert_int_eq(k.lobes, 4);
    ck_assert_double_eq(k.crank_per_pump, 2.0);
    ck_assert(!k.firing_tdc_seen);
    ck_assert_double_eq(k.dial.sense, 1.0);
    ck_assert_double_eq(k.noise.angle_sd_deg, 0.25);
    ck_assert_double_eq(k.noise.tdc_sd_deg, 0.5);
    ck_assert_double_eq(k.noise.dial_sd_mm, 0.003);
    ck_assert_double_eq(k.noise.step_mm, 0.01);
    ck_assert_double_eq(k.noise.turn_mm, 1.0);
    ck_assert_double_eq(k.noise.hysteresis_max_mm, 0.005);
    ck_assert_double_eq(k.noise.wheel_error_deg, 0.25);
    ck_assert_double_eq(k.noise.dial_askew_sd, 0.004);
    ck_assert(k.cam_sd_mm == 0.003 && k.rise_sd_deg == 0.25);
    ck_assert(!k.step_stated && !k.has_window && !k.has_shape && !k.has_lift);
    ck_assert(!k.has_teeth && !k.has_radius);
}
END_TEST

START_TEST(what_is_stated)
{
    dialarc_setup s = {.lobes = 6,
                       .crank_per_pump = 1.0,
                       .lift_low_mm = 0.80,
                       .lift_high_mm = 0.84,
                       .cam_law = DIALARC_LAW_POLY345,
                       .cam_lift_mm = 2.2,
                       .rise_deg = 25.0,
                       .top_dwell_deg = 2.0,
                       .base_dwell_deg = 8.0,
                       .cam_sd_mm = 0.004,
                       .rise_sd_deg = 0.3,
                       .angle_sd_deg = 0.0,
                       .wheel_error_deg = 0.2,
                       .tdc_sd_deg = 0.0,
                       .dial_sd_mm = 0.0,
                       .dial_step_mm = 0.0,
                       .dial_turn_mm = 0.2,
                       .dial_sense = -1,
                       .dial_hysteresis_mm = 0.0,
                       .dial_error_mm = 0.002,
                       .body_radius_mm = 75.0,
                       .sprocket_teeth = 40,
                       .sprocket_radius_mm = 60.0,
                       .rotation = DIALARC_ROTATION_CCW};
    darc_known k = darc_known_of(&s);
    ck_assert_double_eq(k.crank_per_pump, 1.0);
    ck_assert_double_eq(k.dial.sense, -1.0);
    ck_assert_double_eq(k.noise.angle_sd_deg, 0.0); /* 0 is stated: exact */
    ck_assert_double_eq(k.noise.tdc_sd_deg, 0.0);
    ck_assert_double_gt(k.noise.dial_sd_mm, 0.0); /* but no weight is infinite */
    ck_assert_double_lt(k.noise.dial_sd_mm, 1e-4);
    ck_assert_double_eq(k.noise.step_mm, 0.0);
    ck_assert_double_eq(k.noise.turn_mm, 0.2);
    ck_assert_double_eq(k.noise.hysteresis_max_mm, 0.0);
    ck_assert_double_eq(k.noise.wheel_error_deg, 0.2);
    ck_assert_double_eq(k.noise.dial_error_mm, 0.002);
    ck_assert_double_eq(k.noise.dial_askew_sd, 0.0); /* which is part of it */
    ck_assert(k.cam_sd_mm == 0.004 && k.rise_sd_deg == 0.3);
    ck_assert(k.step_stated && k.has_window && k.has_shape && k.has_lift);
    ck_assert(k.has_teeth && k.has_radius);
    ck_assert_double_eq(k.low_mm, 0.80);
    ck_assert_double_eq(k.high_mm, 0.84);
    ck_assert_int_eq(k.cam.lobes, 6);
    ck_assert_int_eq(k.cam.law, DIALARC_LAW_POLY345);
    ck_assert_double_eq(k.cam.lift_mm, 2.2);
    ck_assert_double_eq(k.cam.rise_deg, 25.0);
    ck_assert_double_eq(k.cam.top_dwell_deg, 2.0);
    ck_assert_double_eq(k.cam.base_dwell_deg, 8.0);
    ck_assert_int_eq(k.sprocket_teeth, 40);
    ck_assert_double_eq(k.sprocket_radius_mm, 60.0);
    ck_assert_int_eq(k.rotation, DIALARC_ROTATION_CCW);
}
END_TEST

/* Half of the span within one turn that refdata/dial_limits.csv has for dials of a range
 * of 5 mm: JIS B 7503:2011, 10 um for 0.01 mm, 6 um for 0.001 mm. */
START_TEST(error_of_a_dial)
{
    const double steps[] = {0.0, 0.0005, 0.001, 0.002, 0.00254, 0.005, 0.01, 0.0254};
    const double error[] = {0.003, 0.003, 0.003, 0.003, 0.005, 0.005, 0.005, 0.005};
    for (int k = 0; k < 8; k++) {
        dialarc_setup s = dialarc_setup_unknown(4);
        s.dial_step_mm = steps[k];
        ck_assert_double_eq_tol(darc_known_of(&s).noise.dial_error_mm, error[k], 1e-17);
    }
    const dialarc_setup blank = dialarc_setup_unknown(4);
    ck_assert_double_eq_tol(darc_known_of(&blank).noise.dial_error_mm, 0.005, 1e-17);
}
END_TEST

/* A law without its dwells is no shape. */
START_TEST(half_a_cam)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.cam_law = DIALARC_LAW_HARMONIC;
    s.rise_deg = 40.0;
    s.cam_lift_mm = 2.0;
    darc_known k = darc_known_of(&s);
    ck_assert(!k.has_shape && k.has_lift);
}
END_TEST

START_TEST(sd_of_a_reading)
{
    const darc_noise noise = {.dial_sd_mm = 0.003, .step_mm = 0.01};
    /* resolution 0.01 mm: 0.01/sqrt(12), JCGM 100:2008 F.2.2.1 */
    ck_assert_double_eq_tol(darc_reading_sd(&noise), hypot(0.003, 0.002886751345948129),
                            1e-17);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("known");
    TCase *c = tcase_create("known");
    tcase_add_test(c, what_is_assumed);
    tcase_add_test(c, what_is_stated);
    tcase_add_test(c, error_of_a_dial);
    tcase_add_test(c, half_a_cam);
    tcase_add_test(c, sd_of_a_reading);
    suite_add_tcase(s, c);
    return darc_run(s);
}
