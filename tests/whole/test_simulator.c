/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The simulator's faults and slips are what they say: the families of calibrate_real mean
 * nothing otherwise. Expected values are recomputed from the words in simulate.h.
 */
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"
#include "kit/simulate_shape.h"
#include "kit/simulate_slips.h"

#define PI 3.14159265358979323846

static sim_sweep sweep;
static sim_sheet sheet;

/* Four lobes of a harmonic cam, foot 40 crank degrees before TDC, forward from there to
 * the top in steps of 2, with an instrument and a drive without any error. */
static sim_job clean_job(void)
{
    return (sim_job){.cam = {.lobes = 4, .lift_mm = 2.4, .rise_deg = 40, .base_deg = 10},
                     .crank_per_pump = 2,
                     .foot_crank_deg = -40,
                     .start_deg = -40,
                     .end_deg = 40,
                     .step_deg = 2,
                     .dial_turn_mm = 1};
}

static double lift_at(const sim_job *j, double crank_deg)
{
    return sim_lift(&j->cam, (crank_deg - j->foot_crank_deg) / j->crank_per_pump);
}

static void run(const sim_job *job)
{
    sim_random r;
    sim_seed(&r, 7);
    sim_run(job, &r, &sweep);
}

START_TEST(a_clean_dial_shows_the_lift)
{
    sim_job j = clean_job();
    run(&j);
    ck_assert_uint_eq(sweep.n, 41);
    for (size_t i = 0; i < sweep.n; i++)
        ck_assert_double_eq_tol(sweep.dial_mm[i], lift_at(&j, sweep.crank_deg[i]), 1e-12);
    ck_assert_double_eq_tol(sweep.lift_tdc_mm, 1.2, 1e-12); /* half the rise of 80 */
}
END_TEST

START_TEST(dial_at_its_stop_and_off_the_plunger)
{
    sim_job j = clean_job();
    j.off_mm = 0.1;
    j.faults.stop_mm = 0.8;
    run(&j);
    for (size_t i = 0; i < sweep.n; i++)
        ck_assert_double_eq_tol(sweep.dial_mm[i],
                                fmin(fmax(lift_at(&j, sweep.crank_deg[i]), 0.1), 0.8),
                                1e-12);
}
END_TEST

START_TEST(errors_of_the_dial)
{
    sim_job j = clean_job();
    j.faults.scale = 0.01;
    j.faults.turn_error_mm = 0.005;
    j.faults.turn_phase = 0.5;
    run(&j);
    for (size_t i = 0; i < sweep.n; i++) {
        double lift = lift_at(&j, sweep.crank_deg[i]);
        double turned = lift + 0.005 * sin(2 * PI * lift + 0.5);
        ck_assert_double_eq_tol(sweep.dial_mm[i], 1.01 * turned, 1e-12);
    }
    ck_assert_double_eq_tol(sweep.lift_tdc_mm, 1.2, 1e-12); /* the truth stays */
}
END_TEST

START_TEST(wheel_that_is_not_centred)
{
    sim_job j = clean_job();
    j.faults.wheel_error_deg = 0.5;
    j.faults.wheel_phase = 1.0;
    j.tdc_error_deg = 0.25;
    run(&j);
    for (size_t i = 0; i < sweep.n; i++) {
        double marked = -40 + 2 * (double)i - 0.25;
        double off = 0.5 * (sin(marked * PI / 180 + 1.0) - sin(1.0));
        ck_assert_double_eq_tol(sweep.crank_deg[i], marked + off, 1e-12);
        ck_assert_double_eq_tol(sweep.dial_mm[i], lift_at(&j, -40 + 2 * (double)i),
                                1e-12);
    }
}
END_TEST

/* The harmonic cam rises at pi/2 times its mean rate at TDC, so a windup of 1 degree at
 * twice that is pi/4 degrees there, and as much more as the rate there is less. */
START_TEST(drive_that_is_wound_up)
{
    sim_job j = clean_job();
    j.faults.windup_deg = 1.0;
    run(&j);
    double rate = PI / 2 * 2.4 / 80; /* mm per crank degree */
    ck_assert_double_eq_tol(sweep.lift_tdc_mm, 1.2 - rate * PI / 4, 1e-4);
    ck_assert_double_eq_tol(sweep.dial_mm[20], sweep.lift_tdc_mm, 1e-6);
    ck_assert_double_eq_tol(sweep.dial_mm[40], 2.4, 1e-4); /* none at the top */
}
END_TEST

START_TEST(slack_that_varies)
{
    sim_job j = clean_job();
    j.two_way = 1;
    j.slack_deg = 4;
    j.faults.slack_share = 0.25;
    j.faults.slack_phase = 0.3;
    run(&j);
    for (size_t i = 45; i < sweep.n; i++) { /* once it is taken up */
        double crank = sweep.crank_deg[i];
        double slack = 4 * (1 + 0.25 * sin(crank * PI / 360 + 0.3));
        ck_assert_double_eq_tol(sweep.dial_mm[i], lift_at(&j, crank + slack), 2e-4);
    }
}
END_TEST

START_TEST(zero_that_creeps)
{
    sim_job j = clean_job();
    j.faults.creep_mm = 0.02;
    run(&j);
    for (size_t i = 0; i < sweep.n; i++)
        ck_assert_double_eq_tol(sweep.dial_mm[i] - lift_at(&j, sweep.crank_deg[i]),
                                0.02 * (1 - exp(-(double)i / 8)), 1e-12);
}
END_TEST

/* Turned back within the slack: the plunger stays where it was taken to. */
START_TEST(readings_approached_from_beyond)
{
    double beyond[41] = {[10] = 1.5, [20] = 3};
    sim_job j = clean_job();
    j.slack_deg = 2;
    j.faults.overshoot_deg = beyond;
    run(&j);
    for (size_t i = 0; i < sweep.n; i++) {
        double crank = sweep.crank_deg[i] + fmin(beyond[i], 2);
        ck_assert_double_eq_tol(sweep.dial_mm[i], lift_at(&j, crank), 1e-12);
    }
}
END_TEST

START_TEST(one_reading_of_the_wheel_a_stand)
{
    static const double path[6] = {-40, -40, -40, -20, -20, -20};
    sim_job j = clean_job();
    j.path_deg = path;
    j.path_n = 6;
    j.angle_sd_deg = 0.3;
    j.dial_sd_mm = 0.003;
    j.faults.one_stand = 1;
    run(&j);
    ck_assert_double_eq(sweep.crank_deg[0], sweep.crank_deg[2]);
    ck_assert_double_eq(sweep.crank_deg[3], sweep.crank_deg[5]);
    ck_assert_double_ne(sweep.crank_deg[3] - sweep.crank_deg[0], 20.0);
    ck_assert_double_ne(sweep.dial_mm[0], sweep.dial_mm[1]);
}
END_TEST

START_TEST(wear_is_off_the_rise_alone)
{
    sim_cam whole = clean_job().cam, worn = whole;
    worn.wear_mm = 0.02;
    ck_assert_double_eq_tol(sim_lift(&whole, 20) - sim_lift(&worn, 20), 0.02, 1e-12);
    ck_assert_double_eq_tol(sim_lift(&worn, 0), 0, 1e-12);
    ck_assert_double_eq_tol(sim_lift(&worn, 40), 2.4, 1e-12);
    ck_assert_double_eq(sim_lift(&worn, 60), sim_lift(&whole, 60));
}
END_TEST

/* --- slips ------------------------------------------------------------------------- */

static void write_four(sim_slip slip)
{
    memset(&sweep, 0, sizeof sweep);
    sweep.n = 5;
    for (size_t i = 0; i < 5; i++) {
        sweep.crank_deg[i] = 10 - 5 * fabs((double)i - 2);
        sweep.dial_mm[i] = 0.254 * (double)i;
    }
    sim_write(&sweep, 3, slip, &sheet);
}

static void expect_row(size_t row, double crank_deg, double dial_mm, int direction)
{
    ck_assert_double_eq_tol(sheet.crank_deg[row], crank_deg, 1e-12);
    ck_assert_double_eq_tol(sheet.dial_mm[row], dial_mm, 1e-12);
    ck_assert_int_eq(sheet.direction[row], direction);
}

START_TEST(rows_in_another_order)
{
    write_four(SIM_BOTTOM_TO_TOP);
    expect_row(0, 0, 4 * 0.254, -1);
    expect_row(4, 0, 0, 1);
    ck_assert_int_eq(sheet.has_directions, 0);
    write_four(SIM_BY_ANGLE);
    expect_row(0, 0, 0, 1);
    expect_row(1, 0, 4 * 0.254, -1);
    expect_row(4, 10, 2 * 0.254, 1);
    ck_assert_int_eq(sheet.has_directions, 1);
    write_four(SIM_EXCHANGED);
    expect_row(0, 0, 0, -1);
    expect_row(4, 0, 4 * 0.254, 1);
}
END_TEST

START_TEST(other_units)
{
    write_four(SIM_INCHES);
    expect_row(2, 10, 0.02, 1);
    write_four(SIM_CENTIMETRES);
    expect_row(2, 10, 0.0508, 1);
}
END_TEST

START_TEST(rows_copied)
{
    write_four(SIM_PASTED_TWICE);
    ck_assert_uint_eq(sheet.n, 10);
    expect_row(8, 5, 3 * 0.254, -1);
    write_four(SIM_BACK_COPIED);
    ck_assert_uint_eq(sheet.n, 5);
    expect_row(3, 5, 0.254, 1);
    expect_row(4, 0, 0, 1);
}
END_TEST

/* --- shapes ------------------------------------------------------------------------ */

START_TEST(a_law_lies_nearest_to_itself)
{
    for (int law = 0; law < SIM_LAWS; law++) {
        sim_shape s;
        for (int k = 0; k < SIM_SHAPE; k++)
            s.lift[k] = sim_law(law, 0.25, (k / (SIM_SHAPE - 1.0) - 0.05) / 0.9);
        sim_nearest n = sim_nearest_law(&s);
        ck_assert_int_eq(n.law, law);
        ck_assert_double_lt(n.gap, 1e-3);
        ck_assert_double_eq_tol(n.begin, 0.05, 2e-3);
        ck_assert_double_eq_tol(n.length, 0.9, 4e-3);
    }
}
END_TEST

START_TEST(drawn_shapes_rise_and_keep_away_from_the_laws)
{
    sim_random r;
    sim_seed(&r, 3);
    for (int i = 0; i < 20; i++) {
        sim_shape s = sim_draw_shape(&r, 0.01, 0.02);
        ck_assert_double_eq(s.lift[0], 0.0);
        ck_assert_double_eq_tol(s.lift[SIM_SHAPE - 1], 1.0, 1e-9);
        for (int k = 1; k < SIM_SHAPE; k++)
            ck_assert_double_gt(s.lift[k], s.lift[k - 1] - 2e-4);
        double gap = sim_nearest_law(&s).gap;
        ck_assert(gap >= 0.01 && gap <= 0.02);
    }
}
END_TEST

/* The table rises over 68 degrees to 8.89 mm and falls over 72.5. */
START_TEST(both_flanks_of_a_table)
{
    double angle[400], lift[400];
    refdata *table = refdata_open("valve_lift_data.csv");
    size_t n = refdata_rows(table);
    ck_assert_uint_le(n, 400);
    for (size_t row = 0; row < n; row++) {
        angle[row] = refdata_number(table, row, "cam_deg");
        lift[row] = refdata_number(table, row, "lift_mm");
    }
    refdata_close(table);
    sim_shape rise, fall;
    double ratio = sim_table_shapes(n, angle, lift, &rise, &fall);
    ck_assert_double_eq_tol(ratio, 68.0 / 72.5, 1e-12);
    ck_assert_double_eq_tol(rise.lift[(SIM_SHAPE - 1) / 4], lift[34] / 8.89, 1e-12);
    ck_assert_double_eq_tol(fall.lift[SIM_SHAPE - 1], 1.0, 1e-12);
    ck_assert_double_eq_tol(fall.lift[0], 0.0, 1e-12);
    ck_assert(sim_nearest_law(&rise).gap > 0.01);
}
END_TEST

START_TEST(a_table_without_a_lobe)
{
    static const double angle[3] = {0, 1, 2}, lift[3] = {0, 1, 2};
    sim_shape rise, fall;
    ck_assert_double_eq(sim_table_shapes(3, angle, lift, &rise, &fall), 0.0);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("simulator");
    TCase *faults = tcase_create("faults");
    tcase_add_test(faults, a_clean_dial_shows_the_lift);
    tcase_add_test(faults, dial_at_its_stop_and_off_the_plunger);
    tcase_add_test(faults, errors_of_the_dial);
    tcase_add_test(faults, wheel_that_is_not_centred);
    tcase_add_test(faults, drive_that_is_wound_up);
    tcase_add_test(faults, slack_that_varies);
    tcase_add_test(faults, zero_that_creeps);
    tcase_add_test(faults, readings_approached_from_beyond);
    tcase_add_test(faults, one_reading_of_the_wheel_a_stand);
    tcase_add_test(faults, wear_is_off_the_rise_alone);
    suite_add_tcase(s, faults);
    TCase *slips = tcase_create("slips");
    tcase_add_test(slips, rows_in_another_order);
    tcase_add_test(slips, other_units);
    tcase_add_test(slips, rows_copied);
    suite_add_tcase(s, slips);
    TCase *shapes = tcase_create("shapes");
    tcase_add_test(shapes, a_law_lies_nearest_to_itself);
    tcase_add_test(shapes, drawn_shapes_rise_and_keep_away_from_the_laws);
    tcase_add_test(shapes, both_flanks_of_a_table);
    tcase_add_test(shapes, a_table_without_a_lobe);
    suite_add_tcase(s, shapes);
    return darc_run(s);
}
