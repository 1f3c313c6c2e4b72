/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Arcs and tangents against a roller that is let down on the drawn profile until it
 * touches: brute force, which knows no formula of the roller's centre.
 */
#include <dialarc/arcs.h>
#include <dialarc/tabled_cam.h>
#include <math.h>

#include "kit/check_main.h"

#define UNTOUCHED 12345.0

static const double pi = 3.14159265358979323846;
/* Invented: a track of 22 mm, a rise of 38 degrees by 2.3 mm. */
static const dialarc_arcs drawn = {22.0, 14.0, 6.0, 7.0};
static const double lift_mm = 2.3, length_deg = 38.0;

/* Height of the profile along the track: base, hollow of the foot radius, ramp of the
 * slope, round of the crest radius, top; drawn from the base on, as a turner would. */
static double profile(double slope, double way, double s)
{
    double foot = drawn.foot_radius_mm, crest = drawn.crest_radius_mm,
           roller = drawn.roller_radius_mm;
    double first = (foot - roller) * sin(slope) + roller * sin(slope); /* its end */
    double last = way - (crest + roller) * sin(slope) + roller * sin(slope);
    if (s <= 0.0)
        return 0.0;
    if (s < first)
        return foot - sqrt(foot * foot - s * s);
    double ramp = foot * (1.0 - cos(slope)) + (s - first) * tan(slope);
    if (s < last)
        return ramp;
    double end = foot * (1.0 - cos(slope)) + (last - first) * tan(slope);
    double middle = last + crest * sin(slope); /* of the round */
    if (s < middle)
        return end - crest * cos(slope) +
               sqrt(crest * crest - (middle - s) * (middle - s));
    return end + crest * (1.0 - cos(slope));
}

/* Height of the centre above that on the base when the roller, over a place, just
 * touches. */
static double let_down(double slope, double way, double at)
{
    double r = drawn.roller_radius_mm, most = 0.0;
    for (int k = -20000; k <= 20000; k++) {
        double off = r * k / 20001.0;
        double centre = profile(slope, way, at + off) + sqrt(r * r - off * off) - r;
        most = fmax(most, centre);
    }
    return most;
}

START_TEST(a_roller_on_the_drawn_flank)
{
    double way = drawn.track_radius_mm * length_deg * pi / 180.0, slope = UNTOUCHED;
    ck_assert_int_eq(dialarc_arcs_slope(&drawn, lift_mm, length_deg, &slope), DIALARC_OK);
    slope *= pi / 180.0;
    ck_assert_double_eq_tol(profile(slope, way, way + 30.0), lift_mm, 1e-12);
    for (int k = 0; k <= 40; k++) {
        dialarc_unit_motion m;
        double u = k / 40.0;
        ck_assert_int_eq(dialarc_arcs_motion(&drawn, lift_mm, length_deg, u, &m),
                         DIALARC_OK);
        ck_assert_double_eq_tol(m.displacement * lift_mm, let_down(slope, way, u * way),
                                2e-7);
    }
}
END_TEST

/* Rate and acceleration against differences of what they are derivatives of. */
START_TEST(derivatives)
{
    const double e = 1e-5;
    for (int k = 1; k < 100; k++) {
        dialarc_unit_motion a, m, b;
        double u = k / 100.0;
        dialarc_arcs_motion(&drawn, lift_mm, length_deg, u - e, &a);
        dialarc_arcs_motion(&drawn, lift_mm, length_deg, u, &m);
        dialarc_arcs_motion(&drawn, lift_mm, length_deg, u + e, &b);
        ck_assert_double_eq_tol((b.displacement - a.displacement) / (2 * e), m.rate,
                                1e-3);
        if (fabs(b.acceleration - a.acceleration) < 1.0) /* not where arc and ramp meet */
            ck_assert_double_eq_tol((b.rate - a.rate) / (2 * e), m.acceleration, 1e-3);
        ck_assert_double_ge(m.rate, 0.0);
    }
}
END_TEST

/* By hand: arcs alike that just meet rise by 2 r (1 - cos t) on 2 r sin t. */
START_TEST(two_arcs_and_hardly_a_ramp)
{
    const double t = 0.3, r = 10.0;
    const dialarc_arcs alike = {180.0 / pi, r, r, 0.0}; /* a millimetre a degree */
    double slope = UNTOUCHED, way = 2.0 * r * sin(t), high = 2.0 * r * (1.0 - cos(t));
    ck_assert_int_eq(dialarc_arcs_slope(&alike, high * (1 - 1e-9), way, &slope), 0);
    ck_assert_double_eq_tol(slope, t * 180.0 / pi, 1e-2);
    dialarc_unit_motion m;
    ck_assert_int_eq(dialarc_arcs_motion(&alike, high * (1 - 1e-9), way, 0.5, &m), 0);
    ck_assert_double_eq_tol(m.displacement, 0.5, 1e-6);
    ck_assert_double_eq_tol(m.rate, tan(t) * way / high, 1e-4);
    ck_assert_int_eq(dialarc_arcs_slope(&alike, high * 1.01, way, &slope),
                     DIALARC_ERR_SEGMENTS);
}
END_TEST

START_TEST(a_cam_of_arcs)
{
    const dialarc_cam cam = {.lobes = 4,
                             .lift_mm = lift_mm,
                             .rise_deg = length_deg,
                             .top_dwell_deg = 3.0,
                             .base_dwell_deg = 10.0};
    dialarc_arcs steep = drawn;
    dialarc_camtable *table = NULL;
    steep.crest_radius_mm = 4.0;
    ck_assert_int_eq(dialarc_camtable_from_arcs(&cam, &drawn, &steep, 1440, &table),
                     DIALARC_OK);
    for (int k = 0; k <= 38; k++) {
        dialarc_cam_motion on;
        dialarc_unit_motion m, fall;
        dialarc_arcs_motion(&drawn, lift_mm, length_deg, k / 38.0, &m);
        ck_assert_int_eq(dialarc_camtable_motion(table, k, &on), DIALARC_OK);
        ck_assert_double_eq_tol(on.lift_mm, lift_mm * m.displacement, 1e-4 * lift_mm);
        dialarc_arcs_motion(&steep, lift_mm, 39.0, k / 39.0, &fall);
        ck_assert_int_eq(dialarc_camtable_motion(table, 80.0 - k, &on), DIALARC_OK);
        ck_assert_double_eq_tol(on.lift_mm, lift_mm * fall.displacement, 1e-4 * lift_mm);
    }
    dialarc_cam made;
    ck_assert_int_eq(dialarc_cam_from_table(table, &made), DIALARC_OK);
    ck_assert_int_eq(made.lobes, 4);
    ck_assert_double_eq_tol(made.lift_mm, lift_mm, 1e-4);
    dialarc_camtable_free(table);
    ck_assert_int_eq(dialarc_camtable_from_arcs(&cam, NULL, &steep, 90, &table),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_from_arcs(&cam, &drawn, &steep, 2, &table),
                     DIALARC_ERR_SIZE);
}
END_TEST

START_TEST(what_cannot_be_drawn)
{
    const double none = (double)NAN;
    const struct {
        dialarc_arcs arcs;
        double lift, length, u;
        dialarc_status status;
    } cases[] = {
        {{0.0, 14.0, 6.0, 7.0}, 2.3, 38.0, 0.5, DIALARC_ERR_LENGTH},
        {{22.0, -1.0, 6.0, 0.0}, 2.3, 38.0, 0.5, DIALARC_ERR_LENGTH},
        {{22.0, 14.0, -6.0, 7.0}, 2.3, 38.0, 0.5, DIALARC_ERR_LENGTH},
        {{22.0, 14.0, 6.0, -7.0}, 2.3, 38.0, 0.5, DIALARC_ERR_LENGTH},
        {{2e9, 14.0, 6.0, 7.0}, 2.3, 38.0, 0.5, DIALARC_ERR_LENGTH},
        {{22.0, 7.0, 6.0, 7.0}, 2.3, 38.0, 0.5, DIALARC_ERR_UNDERCUT},
        {{22.0, 14.0, 6.0, 7.0}, 0.0, 38.0, 0.5, DIALARC_ERR_LIFT},
        {{22.0, 14.0, 6.0, 7.0}, 2.3, 0.0, 0.5, DIALARC_ERR_ANGLE},
        {{22.0, 14.0, 6.0, 7.0}, 2.3, 361.0, 0.5, DIALARC_ERR_ANGLE},
        {{22.0, 14.0, 6.0, 7.0}, 2.3, 38.0, 1.1, DIALARC_ERR_ANGLE},
        {{22.0, 14.0, 6.0, 7.0}, 2.3, 38.0, none, DIALARC_ERR_NOT_FINITE},
        {{22.0, none, 6.0, 7.0}, 2.3, 38.0, 0.5, DIALARC_ERR_NOT_FINITE},
        {{22.0, 14.0, 6.0, 7.0}, 9.0, 20.0, 0.5, DIALARC_ERR_SEGMENTS},
        {{22.0, 90.0, 60.0, 7.0}, 2.3, 38.0, 0.5, DIALARC_ERR_SEGMENTS},
    };
    for (size_t k = 0; k < sizeof cases / sizeof cases[0]; k++) {
        dialarc_unit_motion m = {UNTOUCHED, 0.0, 0.0};
        ck_assert_int_eq(dialarc_arcs_motion(&cases[k].arcs, cases[k].lift,
                                             cases[k].length, cases[k].u, &m),
                         cases[k].status);
        ck_assert_double_eq(m.displacement, UNTOUCHED);
    }
    dialarc_unit_motion m;
    double slope;
    ck_assert_int_eq(dialarc_arcs_motion(NULL, 2.3, 38.0, 0.5, &m), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_arcs_motion(&drawn, 2.3, 38.0, 0.5, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_arcs_slope(NULL, 2.3, 38.0, &slope), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_arcs_slope(&drawn, 2.3, 38.0, NULL), DIALARC_ERR_NULL);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("arcs");
    TCase *c = tcase_create("arcs");
    tcase_add_test(c, a_roller_on_the_drawn_flank);
    tcase_add_test(c, derivatives);
    tcase_add_test(c, two_arcs_and_hardly_a_ramp);
    tcase_add_test(c, a_cam_of_arcs);
    tcase_add_test(c, what_cannot_be_drawn);
    suite_add_tcase(s, c);
    return darc_run(s);
}
