/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The door: setup and sweep become one problem, or are refused. */
#include <math.h>

#include "kit/check_main.h"
#include "record/problem.h"

#define N      12
#define POINTS 900 /* of a table */

static double crank[N], dial[N], room_crank[N], room_lift[N];
static size_t room_row[N];
static const darc_readings room = {room_crank, room_lift, room_row};

/* Twelve readings a degree apart, on multiples of `step`. */
static dialarc_sweep graded(double step)
{
    for (int i = 0; i < N; i++) {
        crank[i] = i - 6.0;
        dial[i] = step * (3 * i + 1);
    }
    return (dialarc_sweep){N, crank, dial, NULL};
}

START_TEST(the_graduation_is_seen)
{
    /* usual graduations of dials, mm and inch: common practice, no source */
    const double steps[] = {0.0254, 0.01, 0.005, 0.002, 0.001};
    const dialarc_setup setup = dialarc_setup_unknown(4);
    darc_problem p;
    for (int k = 0; k < 5; k++) {
        dialarc_sweep s = graded(steps[k]);
        ck_assert_int_eq(darc_problem_make(&setup, NULL, 0.0, &s, &room, &p), DIALARC_OK);
        ck_assert_double_eq(p.noise.step_mm, steps[k]);
        ck_assert_double_eq(p.known.noise.step_mm, 0.01); /* as for the next reading */
    }
    dialarc_sweep s = graded(0.00037);
    ck_assert_int_eq(darc_problem_make(&setup, NULL, 0.0, &s, &room, &p), DIALARC_OK);
    ck_assert_double_eq(p.noise.step_mm, 0.0);
    s = graded(0.01);
    s.n = 7; /* too few to show one: the assumed one stands */
    ck_assert_int_eq(darc_problem_make(&setup, NULL, 0.0, &s, &room, &p), DIALARC_OK);
    ck_assert_double_eq(p.noise.step_mm, 0.01);
}
END_TEST

START_TEST(a_stated_graduation_stays)
{
    dialarc_setup setup = dialarc_setup_unknown(4);
    darc_problem p;
    setup.dial_step_mm = 0.02;
    dialarc_sweep s = graded(0.001);
    ck_assert_int_eq(darc_problem_make(&setup, NULL, 0.0, &s, &room, &p), DIALARC_OK);
    ck_assert_double_eq(p.noise.step_mm, 0.02);
}
END_TEST

START_TEST(the_cam_that_is_given)
{
    dialarc_setup setup = dialarc_setup_unknown(4);
    dialarc_sweep s = graded(0.01);
    darc_problem p;
    setup.cam_lift_mm = 2.2;
    ck_assert_int_eq(darc_problem_make(&setup, NULL, 0.0, &s, &room, &p), DIALARC_OK);
    ck_assert(!p.cam.given); /* a total lift alone: the rest is learned */
    ck_assert_double_eq(p.cam.lift_mean_mm, 2.2);
    ck_assert_double_eq_tol(p.cam.lift_sd_mm, 0.11, 1e-12);
    setup.cam_law = DIALARC_LAW_CYCLOIDAL;
    setup.rise_deg = 40.0;
    setup.top_dwell_deg = 3.0;
    setup.base_dwell_deg = 10.0;
    ck_assert_int_eq(darc_problem_make(&setup, NULL, 0.0, &s, &room, &p), DIALARC_OK);
    ck_assert(p.cam.given && !p.cam.table);
    ck_assert_int_eq(p.cam.law, DIALARC_LAW_CYCLOIDAL);
    ck_assert_double_eq(p.cam.lift_mean_mm, 2.2);
    ck_assert_double_eq_tol(p.cam.lift_sd_mm, 0.11, 1e-12);
    ck_assert_double_eq(p.cam.rise_deg, 40.0);
    ck_assert_double_eq(p.cam.sd_mm, 0.003); /* as assumed */
    ck_assert_double_eq(p.cam.rise_sd_deg, 0.25);
    setup.cam_lift_mm = DIALARC_UNKNOWN; /* 2.0 to 2.8 mm: common practice, no source */
    ck_assert_int_eq(darc_problem_make(&setup, NULL, 0.0, &s, &room, &p), DIALARC_OK);
    ck_assert_double_gt(p.cam.lift_mean_mm - 2.0 * p.cam.lift_sd_mm, 0.0);
    ck_assert_double_gt(p.cam.lift_mean_mm + p.cam.lift_sd_mm, 2.8);
}
END_TEST

/* A harmonic lobe as a table: its flanks begin where 0.2 % of the lift is reached, after
 * 45 acos(1 - 2 x 0.002) / pi degrees. */
START_TEST(a_table_takes_its_place)
{
    double angle[POINTS], lift[POINTS];
    dialarc_camtable *table;
    dialarc_sweep s = graded(0.01);
    const dialarc_setup setup = dialarc_setup_unknown(4);
    darc_problem p;
    for (int i = 0; i < POINTS; i++) {
        angle[i] = 90.0 * i / POINTS;
        lift[i] = 1.0 - cos(3.14159265358979323846 * angle[i] / 45.0);
    }
    ck_assert_int_eq(dialarc_camtable_new(POINTS, angle, lift, 90.0, &table), DIALARC_OK);
    ck_assert_int_eq(darc_problem_make(&setup, table, 0.004, &s, &room, &p), DIALARC_OK);
    ck_assert(p.cam.given && p.cam.table == table);
    ck_assert_double_eq(p.cam.sd_mm, 0.004);
    ck_assert_double_eq_tol(p.cam.table_low_mm, 0.0, 1e-9);
    ck_assert_double_eq_tol(p.cam.table_high_mm, 2.0, 1e-9);
    double near = 45.0 / 3.14159265358979323846 * acos(1.0 - 2.0 * 0.002);
    ck_assert_double_eq_tol(p.cam.rise_deg, 45.0 - near, 1e-3);
    ck_assert_double_eq_tol(p.cam.top_deg, 2.0 * near, 1e-3);
    ck_assert_double_eq_tol(p.cam.base_deg, near, 1e-3);
    dialarc_camtable_free(table);
}
END_TEST

/* Three wheel turns with TDC at 0 in each: the first that the wheel passed is meant, and
 * not the one that was read closest to 0; the order in which it was turned decides. */
START_TEST(a_whole_turn_meets_the_first_tdc)
{
    double angle[24], reading[24], given[24], lift[24];
    size_t row[24];
    const darc_readings wide = {given, lift, row};
    const dialarc_setup setup = dialarc_setup_unknown(4);
    darc_problem p;
    for (int back = 0; back < 2; back++) {
        for (int i = 0; i < 24; i++) {
            double at = -105.0 + 30.0 * i + (i == 11 ? 4.0 : 10.0);
            at = back ? -at : at;
            angle[i] = at - 360.0 * floor(at / 360.0 + 0.5); /* as the wheel shows it */
            reading[i] = 0.01 * i;
        }
        const dialarc_sweep s = {24, angle, reading, NULL};
        ck_assert_int_eq(darc_problem_make_turn(&setup, &s, &wide, &p), DIALARC_OK);
        for (int i = 0; i < 24; i++) {
            double at = -105.0 + 30.0 * i + (i == 11 ? 4.0 : 10.0);
            ck_assert_double_eq_tol(p.record.crank_deg[i], back ? -at : at, 1e-9);
        }
    }
}
END_TEST

/* Of a pump with other lobes, or of none that moves a plunger. */
START_TEST(a_table_that_is_refused)
{
    double angle[POINTS], lift[POINTS];
    dialarc_camtable *table;
    dialarc_sweep s = graded(0.01);
    darc_problem p;
    for (int flat = 0; flat < 2; flat++) {
        dialarc_setup setup = dialarc_setup_unknown(flat ? 4 : 5);
        for (int i = 0; i < POINTS; i++) {
            angle[i] = 90.0 * i / POINTS;
            lift[i] = flat ? 0.0 : sin(3.14159265358979323846 * angle[i] / 90.0);
        }
        ck_assert_int_eq(dialarc_camtable_new(POINTS, angle, lift, 90.0, &table),
                         DIALARC_OK);
        ck_assert_int_eq(darc_problem_make(&setup, table, 0.004, &s, &room, &p),
                         flat ? DIALARC_ERR_LIFT : DIALARC_ERR_SEGMENTS);
        dialarc_camtable_free(table);
    }
}
END_TEST

START_TEST(refusals)
{
    dialarc_setup setup = dialarc_setup_unknown(4);
    dialarc_sweep s = graded(0.01);
    darc_problem p;
    setup.lobes = 17;
    ck_assert_int_eq(darc_problem_make(&setup, NULL, 0.0, &s, &room, &p),
                     DIALARC_ERR_LOBES);
    setup.lobes = 4;
    dial[3] = INFINITY;
    ck_assert_int_eq(darc_problem_make(&setup, NULL, 0.0, &s, &room, &p),
                     DIALARC_ERR_NOT_FINITE);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("problem");
    TCase *c = tcase_create("door");
    tcase_add_test(c, the_graduation_is_seen);
    tcase_add_test(c, a_stated_graduation_stays);
    tcase_add_test(c, the_cam_that_is_given);
    tcase_add_test(c, a_table_takes_its_place);
    tcase_add_test(c, a_whole_turn_meets_the_first_tdc);
    tcase_add_test(c, a_table_that_is_refused);
    tcase_add_test(c, refusals);
    suite_add_tcase(s, c);
    return darc_run(s);
}
