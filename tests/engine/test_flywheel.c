/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Source: the side of a regular polygon in a circle, elementary geometry. */
#include <dialarc/angle.h>
#include <dialarc/flywheel.h>
#include <math.h>

#include "kit/check_main.h"

#define UNTOUCHED 12345.0

START_TEST(chords_are_sides_of_polygons)
{
    const double angle[] = {60.0, 90.0, 180.0, 120.0};
    const double side[] = {1.0, sqrt(2.0), 2.0, sqrt(3.0)};
    for (int i = 0; i < 4; i++) {
        double chord = UNTOUCHED, back = UNTOUCHED;
        ck_assert_int_eq(dialarc_flywheel_chord(angle[i], 140.0, &chord), DIALARC_OK);
        ck_assert_double_eq_tol(chord, 140.0 * side[i], 1e-12);
        ck_assert_int_eq(dialarc_flywheel_angle(chord, 140.0, &back), DIALARC_OK);
        ck_assert_double_eq_tol(back, angle[i], 1e-5); /* asin is steep at 180 */
        ck_assert_int_eq(dialarc_flywheel_chord(-angle[i], 140.0, &back), DIALARC_OK);
        ck_assert_double_eq(back, -chord);
    }
}
END_TEST

/* Beside the arc: shorter, by angle^2 / 24 of itself where that is small. */
START_TEST(a_chord_is_shorter_than_its_arc)
{
    double chord = UNTOUCHED, arc = UNTOUCHED, rad = 20.0 * acos(-1.0) / 180.0;
    ck_assert_int_eq(dialarc_flywheel_chord(20.0, 140.0, &chord), DIALARC_OK);
    ck_assert_int_eq(dialarc_angle_rim_arc(20.0, 140.0, &arc), DIALARC_OK);
    ck_assert_double_eq_tol(1.0 - chord / arc, rad * rad / 24.0, 1e-5);
}
END_TEST

START_TEST(what_cannot_be_is_refused)
{
    double out = UNTOUCHED;
    ck_assert_int_eq(dialarc_flywheel_chord(10, 140, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_flywheel_chord(181, 140, &out), DIALARC_ERR_ANGLE);
    ck_assert_int_eq(dialarc_flywheel_chord(10, 0, &out), DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_flywheel_chord(170, 1.7e308, &out), DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_flywheel_chord(NAN, 140, &out), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_flywheel_angle(10, 140, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_flywheel_angle(281, 140, &out), DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_flywheel_angle(10, -1, &out), DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_flywheel_angle(10, INFINITY, &out), DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(out, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("flywheel");
    TCase *tc = tcase_create("chord and angle");
    tcase_add_test(tc, chords_are_sides_of_polygons);
    tcase_add_test(tc, a_chord_is_shorter_than_its_arc);
    tcase_add_test(tc, what_cannot_be_is_refused);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
