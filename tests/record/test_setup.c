/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/setup.h>
#include <stddef.h>

#include "kit/check_main.h"

/* A full setup of an invented engine. */
static dialarc_setup full_setup(void)
{
    return (dialarc_setup){.lobes = 4,
                           .crank_per_pump = 2.0,
                           .lift_low_mm = 0.85,
                           .lift_high_mm = 0.90,
                           .window_at = DIALARC_WINDOW_AT_MARK,
                           .window_crank_deg = -5.0,
                           .cam_law = DIALARC_LAW_HARMONIC,
                           .cam_lift_mm = 2.2,
                           .rise_deg = 30.0,
                           .top_dwell_deg = 5.0,
                           .base_dwell_deg = 20.0,
                           .cam_sd_mm = 0.004,
                           .rise_sd_deg = 0.3,
                           .angle_sd_deg = 0.2,
                           .wheel_error_deg = 0.2,
                           .tdc_sd_deg = 0.1,
                           .dial_sd_mm = 0.003,
                           .dial_step_mm = 0.01,
                           .dial_turn_mm = 1.0,
                           .dial_sense = 1,
                           .dial_hysteresis_mm = 0.003,
                           .dial_error_mm = 0.003,
                           .turned = DIALARC_TURNED_BODY,
                           .turn_back = DIALARC_TURN_BACK_FORBIDDEN,
                           .firing_tdc = DIALARC_FIRING_TDC_NOT_SEEN,
                           .body_radius_mm = 75.0,
                           .sprocket_teeth = 40,
                           .sprocket_radius_mm = 60.0,
                           .rotation = DIALARC_ROTATION_CW};
}

typedef struct field {
    size_t offset;
    dialarc_status status; /* when the field is out of range */
    double bad;            /* just out of range */
    double good;           /* just inside */
} field;

#define AT(name) offsetof(dialarc_setup, name)

static const field fields[] = {
    {AT(crank_per_pump), DIALARC_ERR_RATIO, 0.0, 1e-9},
    {AT(lift_low_mm), DIALARC_ERR_WINDOW, -1e-9, 0.0},
    {AT(lift_low_mm), DIALARC_ERR_WINDOW, 0.90, 0.8999},
    {AT(lift_high_mm), DIALARC_ERR_WINDOW, 0.85, 0.8501},
    {AT(window_crank_deg), DIALARC_ERR_ANGLE, 180.001, 180.0},
    {AT(window_crank_deg), DIALARC_ERR_ANGLE, -180.001, -180.0},
    {AT(cam_lift_mm), DIALARC_ERR_WINDOW, 0.85, 0.8501},
    {AT(cam_lift_mm), DIALARC_ERR_LIFT, 0.0, 0.8501},
    {AT(rise_deg), DIALARC_ERR_SEGMENTS, 0.0, 1e-9},
    {AT(rise_deg), DIALARC_ERR_SEGMENTS, 65.0, 64.999},
    {AT(top_dwell_deg), DIALARC_ERR_SEGMENTS, -1e-9, 0.0},
    {AT(top_dwell_deg), DIALARC_ERR_SEGMENTS, 40.0, 39.999},
    {AT(base_dwell_deg), DIALARC_ERR_SEGMENTS, -1e-9, 0.0},
    {AT(base_dwell_deg), DIALARC_ERR_SEGMENTS, 55.0, 54.999},
    {AT(cam_blend), DIALARC_ERR_BLEND, -1e-9, 0.0},
    {AT(cam_blend), DIALARC_ERR_BLEND, 0.51, 0.5},
    {AT(cam_sd_mm), DIALARC_ERR_SD, -1e-9, 0.0},
    {AT(rise_sd_deg), DIALARC_ERR_SD, -1e-9, 0.0},
    {AT(angle_sd_deg), DIALARC_ERR_SD, -1e-9, 0.0},
    {AT(wheel_error_deg), DIALARC_ERR_ANGLE, -1e-9, 0.0},
    {AT(tdc_sd_deg), DIALARC_ERR_SD, -1e-9, 0.0},
    {AT(dial_sd_mm), DIALARC_ERR_SD, -1e-9, 0.0},
    {AT(dial_step_mm), DIALARC_ERR_DIAL, -1e-9, 0.0},
    {AT(dial_step_mm), DIALARC_ERR_DIAL, 1.0, 0.999},
    {AT(dial_turn_mm), DIALARC_ERR_DIAL, 0.0, 0.0101},
    {AT(dial_hysteresis_mm), DIALARC_ERR_DIAL, -1e-9, 0.0},
    {AT(dial_error_mm), DIALARC_ERR_DIAL, -1e-9, 0.0},
    {AT(body_radius_mm), DIALARC_ERR_LENGTH, 0.0, 1e-9},
    {AT(sprocket_radius_mm), DIALARC_ERR_LENGTH, 0.0, 1e-9},
};

#define FIELDS ((int)(sizeof fields / sizeof fields[0]))

static dialarc_status check_with(size_t offset, double value)
{
    dialarc_setup s = full_setup();
    *(double *)(void *)((char *)&s + offset) = value;
    return dialarc_setup_check(&s);
}

START_TEST(a_full_setup_is_usable)
{
    dialarc_setup s = full_setup();
    ck_assert_int_eq(dialarc_setup_check(&s), DIALARC_OK);
    ck_assert_int_eq(dialarc_setup_check(NULL), DIALARC_ERR_NULL);
}
END_TEST

START_TEST(lobes_alone_are_enough)
{
    for (int lobes = -1; lobes <= 18; lobes++) {
        dialarc_setup s = dialarc_setup_unknown(lobes);
        ck_assert_int_eq(s.lobes, lobes);
        ck_assert_int_eq(dialarc_setup_check(&s),
                         lobes >= 1 && lobes <= 16 ? DIALARC_OK : DIALARC_ERR_LOBES);
        ck_assert_int_eq(dialarc_setup_cam_known(&s), 0);
    }
}
END_TEST

START_TEST(an_unknown_setup_knows_nothing)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    for (int i = 0; i < FIELDS; i++)
        ck_assert_double_nan(*(double *)(void *)((char *)&s + fields[i].offset));
    ck_assert_int_eq(s.cam_law, DIALARC_LAW_UNKNOWN);
    ck_assert_int_eq(s.rotation, DIALARC_ROTATION_UNKNOWN);
    ck_assert_int_eq(s.window_at, DIALARC_WINDOW_AT_UNKNOWN);
    ck_assert_int_eq(s.turned, DIALARC_TURNED_UNKNOWN);
    ck_assert_int_eq(s.turn_back, DIALARC_TURN_BACK_UNKNOWN);
    ck_assert_int_eq(s.firing_tdc, DIALARC_FIRING_TDC_UNKNOWN);
    ck_assert_int_eq(s.dial_sense, 0);
    ck_assert_int_eq(s.sprocket_teeth, 0);
}
END_TEST

START_TEST(each_field_has_its_range)
{
    const field *f = &fields[_i];
    ck_assert_int_eq(check_with(f->offset, f->bad), f->status);
    ck_assert_int_eq(check_with(f->offset, f->good), DIALARC_OK);
    ck_assert_int_eq(check_with(f->offset, (double)INFINITY), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(check_with(f->offset, -(double)INFINITY), DIALARC_ERR_NOT_FINITE);
}
END_TEST

/* From what no engine has come sums that overflow or vanish. */
START_TEST(extremes_are_refused)
{
    const double large[] = {1.0000001e9, 1e42, 1e300, -1e300};
    const double small[] = {9e-10, 1e-300, 5e-324};
    size_t at = fields[_i].offset;
    int difference = at == AT(window_crank_deg) || at == AT(lift_low_mm) ||
                     at == AT(top_dwell_deg) || at == AT(base_dwell_deg);
    for (size_t k = 0; k < sizeof large / sizeof large[0]; k++)
        ck_assert_int_eq(check_with(at, large[k]), DIALARC_ERR_RANGE);
    for (size_t k = 0; k < sizeof small / sizeof small[0]; k++)
        ck_assert_int_eq(check_with(at, small[k]),
                         difference ? DIALARC_OK : DIALARC_ERR_RANGE);
}
END_TEST

START_TEST(most_fields_may_be_unknown)
{
    const size_t offset = fields[_i].offset;
    dialarc_status expected = DIALARC_OK;
    if (offset == AT(lift_low_mm) || offset == AT(lift_high_mm))
        expected = DIALARC_ERR_WINDOW; /* one limit without the other */
    if (offset == AT(rise_deg))
        expected = DIALARC_ERR_SEGMENTS; /* a law without its rise */
    ck_assert_int_eq(check_with(offset, DIALARC_UNKNOWN), expected);
}
END_TEST

START_TEST(choices_are_those_of_the_list)
{
    for (int v = -3; v <= DIALARC_LAW_COUNT + 1; v++) {
        dialarc_setup law = full_setup(), sense = full_setup(), teeth = full_setup(),
                      rotation = full_setup(), at = full_setup(), turned = full_setup(),
                      back = full_setup(), firing = full_setup();
        int sign = v >= -1 && v <= 1;
        law.cam_law = (dialarc_law)v;
        sense.dial_sense = v;
        teeth.sprocket_teeth = v;
        rotation.rotation = (dialarc_rotation)v;
        at.window_at = (dialarc_window_at)v;
        turned.turned = (dialarc_turned)v;
        back.turn_back = (dialarc_turn_back)v;
        firing.firing_tdc = (dialarc_firing_tdc)v;
        ck_assert_int_eq(dialarc_setup_check(&law),
                         v >= 0 && v < DIALARC_LAW_COUNT ? DIALARC_OK : DIALARC_ERR_LAW);
        law.cam_law = DIALARC_LAW_HARMONIC;
        law.cam_fall_law = (dialarc_law)v;
        ck_assert_int_eq(dialarc_setup_check(&law),
                         v >= 0 && v < DIALARC_LAW_COUNT ? DIALARC_OK : DIALARC_ERR_LAW);
        ck_assert_int_eq(dialarc_setup_check(&sense),
                         sign ? DIALARC_OK : DIALARC_ERR_DIAL);
        ck_assert_int_eq(dialarc_setup_check(&teeth),
                         v >= 0 ? DIALARC_OK : DIALARC_ERR_TEETH);
        ck_assert_int_eq(dialarc_setup_check(&rotation),
                         sign ? DIALARC_OK : DIALARC_ERR_DIRECTION);
        dialarc_status chosen = v >= 0 && v <= 2 ? DIALARC_OK : DIALARC_ERR_CHOICE;
        ck_assert_int_eq(dialarc_setup_check(&at), chosen);
        ck_assert_int_eq(dialarc_setup_check(&turned), chosen);
        ck_assert_int_eq(dialarc_setup_check(&back), chosen);
        ck_assert_int_eq(dialarc_setup_check(&firing), chosen);
    }
}
END_TEST

START_TEST(segments_must_leave_room_for_the_fall_of_any_pump)
{
    for (int lobes = 1; lobes <= 16; lobes++) {
        dialarc_setup s = dialarc_setup_unknown(lobes);
        s.rise_deg = 0.5 * 360.0 / lobes;
        s.base_dwell_deg = 0.499 * 360.0 / lobes;
        ck_assert_int_eq(dialarc_setup_check(&s), DIALARC_OK);
        s.base_dwell_deg = 0.501 * 360.0 / lobes;
        ck_assert_int_eq(dialarc_setup_check(&s), DIALARC_ERR_SEGMENTS);
    }
}
END_TEST

START_TEST(cam_is_known_from_law_and_segments)
{
    dialarc_setup s = full_setup();
    ck_assert_int_eq(dialarc_setup_cam_known(NULL), 0);
    ck_assert_int_eq(dialarc_setup_cam_known(&s), 1);
    s.cam_lift_mm = DIALARC_UNKNOWN;
    ck_assert_int_eq(dialarc_setup_cam_known(&s), 1);
    const size_t needed[] = {AT(rise_deg), AT(top_dwell_deg), AT(base_dwell_deg)};
    for (size_t i = 0; i < 3; i++) {
        s = full_setup();
        *(double *)(void *)((char *)&s + needed[i]) = DIALARC_UNKNOWN;
        ck_assert_int_eq(dialarc_setup_cam_known(&s), 0);
    }
    s = full_setup();
    s.cam_law = DIALARC_LAW_UNKNOWN;
    ck_assert_int_eq(dialarc_setup_cam_known(&s), 0);
    s.cam_fall_law = DIALARC_LAW_CYCLOIDAL; /* of half a cam nothing is made */
    ck_assert_int_eq(dialarc_setup_check(&s), DIALARC_ERR_LAW);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("setup");
    TCase *tc = tcase_create("check");
    tcase_add_test(tc, a_full_setup_is_usable);
    tcase_add_test(tc, lobes_alone_are_enough);
    tcase_add_test(tc, an_unknown_setup_knows_nothing);
    tcase_add_loop_test(tc, each_field_has_its_range, 0, FIELDS);
    tcase_add_loop_test(tc, extremes_are_refused, 0, FIELDS);
    tcase_add_loop_test(tc, most_fields_may_be_unknown, 0, FIELDS);
    tcase_add_test(tc, choices_are_those_of_the_list);
    tcase_add_test(tc, segments_must_leave_room_for_the_fall_of_any_pump);
    tcase_add_test(tc, cam_is_known_from_law_and_segments);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
