/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/drive.h>
#include <dialarc/tabled_cam.h>
#include <dialarc/whatif.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/simulate.h"

#define PI       3.14159265358979323846
#define RISE_DEG 40.0
#define TOTAL_MM 2.2

static dialarc_setup shop(void)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.lift_low_mm = 0.85;
    s.lift_high_mm = 0.90;
    s.cam_law = DIALARC_LAW_HARMONIC;
    s.cam_lift_mm = TOTAL_MM;
    s.rise_deg = RISE_DEG;
    s.top_dwell_deg = 0.0;
    s.base_dwell_deg = 5.0;
    s.tdc_sd_deg = 0.2;
    s.dial_sd_mm = 0.003;
    s.dial_step_mm = 0.01;
    s.dial_hysteresis_mm = 0.004;
    s.sprocket_teeth = 44;
    return s;
}

static dialarc_whatif usual(void)
{
    dialarc_setup s = shop();
    dialarc_whatif w;
    ck_assert_int_eq(dialarc_whatif_from_setup(&s, &w), DIALARC_OK);
    return w;
}

static dialarc_outcome evaluate(const dialarc_whatif *w)
{
    dialarc_outcome o = {NAN, NAN};
    ck_assert_int_eq(dialarc_whatif_evaluate(w, &o), DIALARC_OK);
    return o;
}

/* Harmonic cam, written anew. */
static double lift_at(double pump_deg)
{
    return 0.5 * TOTAL_MM * (1.0 - cos(PI * pump_deg / RISE_DEG));
}

static double angle_at(double lift)
{
    return RISE_DEG / PI * acos(1.0 - 2.0 * lift / TOTAL_MM);
}

/* --- one change at a time ----------------------------------------------------------- */

START_TEST(a_setup_aims_at_the_middle)
{
    dialarc_whatif w = usual();
    dialarc_outcome o = evaluate(&w);
    ck_assert_double_eq_tol(w.target_lift_mm, 0.875, 1e-15);
    ck_assert_double_eq_tol(w.input[DIALARC_WHATIF_READING].centre, 0.873, 1e-15);
    ck_assert_double_eq_tol(o.lift_mm, 0.875, 1e-13);
    ck_assert_double_eq_tol(o.advance_crank_deg, 0.0, 1e-12);
}
END_TEST

/* Each change alone, against the geometry written out. */
START_TEST(changes_do_what_geometry_says)
{
    const double t = angle_at(0.875), r = 0.873, rad = PI / 180.0;
    const struct {
        dialarc_whatif_input input;
        double change, pump_deg; /* pump at true TDC afterwards */
    } cases[] = {
        {DIALARC_WHATIF_READING, 0.01, angle_at(0.885)},
        {DIALARC_WHATIF_TDC_MARK, 0.5, t - 0.25}, /* mark late: set too late */
        {DIALARC_WHATIF_TDC_MARK, -1.0, t + 0.5},
        {DIALARC_WHATIF_SLACK, 3.0, t - 1.5},
        {DIALARC_WHATIF_SHIFT, -0.02, angle_at(0.855)},
        {DIALARC_WHATIF_TILT, 5.0, angle_at(r * cos(5.0 * rad) + 0.002)},
        {DIALARC_WHATIF_TILT, -5.0, angle_at(r * cos(5.0 * rad) + 0.002)},
        {DIALARC_WHATIF_SCALE, 0.01, angle_at(r * 1.01 + 0.002)},
        {DIALARC_WHATIF_HYSTERESIS, 0.003, angle_at(0.878)},
        {DIALARC_WHATIF_STRETCH, -0.8, t - 0.4},
        {DIALARC_WHATIF_TEETH, 1.0, t + 8.181818181818182}, /* 360/44, recomputed */
        {DIALARC_WHATIF_TEETH, -1.0, t - 8.181818181818182},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        dialarc_whatif w = usual();
        w.input[cases[i].input].centre += cases[i].change;
        dialarc_outcome o = evaluate(&w);
        ck_assert_double_eq_tol(o.lift_mm, lift_at(cases[i].pump_deg), 1e-12);
        ck_assert_double_eq_tol(o.advance_crank_deg, 2.0 * (cases[i].pump_deg - t),
                                1e-11);
    }
    /* A point contact has the cosine the other way round. */
    dialarc_whatif w = usual();
    w.contact = DIALARC_CONTACT_POINT;
    w.input[DIALARC_WHATIF_TILT].centre = 5.0;
    ck_assert_double_eq_tol(evaluate(&w).lift_mm, r / cos(5.0 * rad) + 0.002, 1e-12);
}
END_TEST

START_TEST(the_ratio_turns_pump_into_crank_degrees)
{
    dialarc_whatif w = usual();
    w.input[DIALARC_WHATIF_RATIO].centre = 1.0;
    w.input[DIALARC_WHATIF_TDC_MARK].centre = 0.5;
    dialarc_outcome o = evaluate(&w);
    ck_assert_double_eq_tol(o.lift_mm, lift_at(angle_at(0.875) - 0.5), 1e-12);
    ck_assert_double_eq_tol(o.advance_crank_deg, -0.5, 1e-11);
}
END_TEST

/*
 * A cam worn by 3 %: to bring it to 0.875 mm the pump is turned to where the cam as made
 * has 0.875 / 0.97 mm. Set so, the lift is right and the pump early; its rate there is
 * 0.97 times that of a new cam. By the harmonic law written out above.
 */
START_TEST(a_worn_cam_set_to_the_lift_of_a_new_one_is_early)
{
    dialarc_whatif w = usual();
    w.input[DIALARC_WHATIF_WEAR].centre = 0.03;
    dialarc_outcome o = evaluate(&w);
    double early = angle_at(0.875 / 0.97) - angle_at(0.875);
    ck_assert_double_eq_tol(o.lift_mm, 0.875, 1e-12);
    ck_assert_double_eq_tol(o.advance_crank_deg, 2.0 * early, 1e-11);
    ck_assert_double_gt(o.advance_crank_deg, 0.5);
    w.input[DIALARC_WHATIF_TDC_MARK].centre = 1.0;
    o = evaluate(&w);
    ck_assert_double_eq_tol(o.lift_mm, 0.97 * lift_at(angle_at(0.875 / 0.97) - 0.5),
                            1e-12);
}
END_TEST

/* One sign for stretch: what dialarc_drive_stretch() gives goes straight in. */
START_TEST(the_stretch_of_a_drive_makes_the_pump_late)
{
    const dialarc_stage belt = {24, 48, 0, 9.525, 0.0, 0.3};
    dialarc_whatif w = usual();
    ck_assert_int_eq(
        dialarc_drive_stretch(1, &belt, &w.input[DIALARC_WHATIF_STRETCH].centre),
        DIALARC_OK);
    /* 0.3 mm of 24 teeth of 9.525 mm */
    ck_assert_double_eq_tol(evaluate(&w).advance_crank_deg, -360.0 * 0.3 / (24.0 * 9.525),
                            1e-11);
}
END_TEST

START_TEST(inputs_have_names)
{
    ck_assert_str_eq(dialarc_whatif_name(DIALARC_WHATIF_TDC_MARK), "tdc_mark_crank_deg");
    for (int a = 0; a < DIALARC_WHATIF_COUNT; a++)
        for (int b = 0; b < a; b++)
            ck_assert_str_ne(dialarc_whatif_name((dialarc_whatif_input)a),
                             dialarc_whatif_name((dialarc_whatif_input)b));
    ck_assert_str_eq(dialarc_whatif_name(DIALARC_WHATIF_COUNT), "unknown");
    ck_assert_str_eq(dialarc_whatif_name((dialarc_whatif_input)-1), "unknown");
}
END_TEST

/* --- sensitivities ------------------------------------------------------------------ */

/* Central difference of fourth order. */
static dialarc_outcome difference(dialarc_whatif w, int i, double h)
{
    static const double weights[] = {1.0, -8.0, 8.0, -1.0}, steps[] = {-2, -1, 1, 2};
    double centre = w.input[i].centre;
    dialarc_outcome sum = {0.0, 0.0};
    for (int k = 0; k < 4; k++) {
        w.input[i].centre = centre + steps[k] * h;
        dialarc_outcome o = evaluate(&w);
        sum.lift_mm += weights[k] * o.lift_mm / (12.0 * h);
        sum.advance_crank_deg += weights[k] * o.advance_crank_deg / (12.0 * h);
    }
    return sum;
}

START_TEST(slopes_are_derivatives)
{
    sim_random r;
    sim_seed(&r, 9);
    for (int k = 0; k < 300; k++) {
        dialarc_whatif w = usual();
        w.contact = k % 2 ? DIALARC_CONTACT_POINT : DIALARC_CONTACT_FLAT;
        w.input[DIALARC_WHATIF_READING].centre = sim_uniform(&r, 0.5, 1.3);
        w.input[DIALARC_WHATIF_TDC_MARK].centre = sim_uniform(&r, -1.0, 1.0);
        w.input[DIALARC_WHATIF_SLACK].centre = sim_uniform(&r, 0.1, 2.0);
        w.input[DIALARC_WHATIF_SHIFT].centre = sim_uniform(&r, -0.02, 0.02);
        w.input[DIALARC_WHATIF_TILT].centre = sim_uniform(&r, -8.0, 8.0);
        w.input[DIALARC_WHATIF_SCALE].centre = sim_uniform(&r, -0.02, 0.02);
        w.input[DIALARC_WHATIF_STRETCH].centre = sim_uniform(&r, -1.0, -0.1);
        w.input[DIALARC_WHATIF_WEAR].centre = sim_uniform(&r, 0.01, 0.2);
        w.input[DIALARC_WHATIF_TEETH].centre = sim_uniform(&r, -0.5, 0.5);
        w.input[DIALARC_WHATIF_RATIO].centre = sim_uniform(&r, 0.5, 2.5);
        dialarc_outcome slope[DIALARC_WHATIF_COUNT];
        ck_assert_int_eq(dialarc_whatif_sensitivity(&w, slope), DIALARC_OK);
        for (int i = 0; i < DIALARC_WHATIF_COUNT; i++) {
            dialarc_outcome d = difference(w, i, 1e-3);
            double most = fmax(1.0, fabs(slope[i].advance_crank_deg));
            ck_assert_double_eq_tol(slope[i].lift_mm, d.lift_mm, 1e-8 * most);
            ck_assert_double_eq_tol(slope[i].advance_crank_deg, d.advance_crank_deg,
                                    1e-8 * most);
        }
    }
}
END_TEST

/* --- both ways of propagation ------------------------------------------------------- */

static dialarc_whatif_result propagate(const dialarc_whatif *w)
{
    dialarc_whatif_result r;
    ck_assert_int_eq(dialarc_whatif_propagate(w, 100000, 11, &r), DIALARC_OK);
    return r;
}

START_TEST(both_agree_where_the_chain_is_linear)
{
    dialarc_whatif w = usual();
    dialarc_whatif_result r = propagate(&w);
    /* what the decision assumes, written out: the ways of the shift, and the rate of the
     * cam at 0.875 mm */
    double scatter = 1.5 * 0.005 * 0.005;
    double shift = 0.44 * (0.014 * 0.014 + scatter) + 0.42 * (0.015 * 0.015 + scatter) +
                   0.14 * (0.014 * 0.014 + 0.003 * 0.003);
    double rate =
        TOTAL_MM / RISE_DEG * 0.5 * PI * sin(PI * angle_at(0.875) / RISE_DEG) / 2.0;
    double variance = 2.0 * (0.003 * 0.003 + 0.01 * 0.01 / 12.0) + pow(0.2 * rate, 2) +
                      0.004 * 0.004 / 12.0 + shift;
    ck_assert_double_eq_tol(r.sd.lift_mm, sqrt(variance), 1e-5);
    ck_assert_double_eq_tol(r.sd.advance_crank_deg, sqrt(variance) / rate, 1e-3);
    /* 0.9 %: four standard errors of 10^5 trials */
    ck_assert_double_eq_tol(r.lift_mm.sd / r.sd.lift_mm, 1.0, 0.009);
    ck_assert_double_eq_tol(r.advance_crank_deg.sd / r.sd.advance_crank_deg, 1.0, 0.009);
    ck_assert_double_eq_tol(r.lift_mm.mean, r.value.lift_mm,
                            4.0 * r.sd.lift_mm / sqrt(1e5));
    ck_assert_double_eq_tol(0.5 * (r.lift_mm.high - r.lift_mm.low), 1.96 * r.sd.lift_mm,
                            0.03 * r.sd.lift_mm);
}
END_TEST

/* A tilt of either sign takes lift away: nothing to first order, a shift in truth. */
START_TEST(they_differ_where_it_is_not)
{
    dialarc_whatif w = usual();
    for (int i = 0; i < DIALARC_WHATIF_COUNT; i++)
        w.input[i].spread = 0.0;
    w.input[DIALARC_WHATIF_TILT].spread = 5.0;
    dialarc_whatif_result r = propagate(&w);
    double s = 5.0 * PI / 180.0,
           mean = 0.873 * exp(-0.5 * s * s); /* of cos of a normal */
    ck_assert_double_eq_tol(r.sd.lift_mm, 0.0, 1e-12);
    ck_assert_double_eq_tol(r.lift_mm.mean, mean + 0.002, 1e-4);
    double square = 0.873 * 0.873 * 0.5 * (1.0 + exp(-2.0 * s * s));
    ck_assert_double_eq_tol(r.lift_mm.sd, sqrt(square - mean * mean), 1e-4);
    ck_assert_double_gt(r.lift_mm.sd, 0.004);
    ck_assert_double_le(r.lift_mm.high, 0.875 + 1e-12);
}
END_TEST

START_TEST(seeds_decide_every_bit)
{
    dialarc_whatif w = usual();
    dialarc_whatif_result a = propagate(&w), b = propagate(&w);
    ck_assert_int_eq(memcmp(&a, &b, sizeof a), 0);
}
END_TEST

/* The cam of the setup, handed over: the same case. Its table: all but the same lift. */
START_TEST(a_case_of_another_cam)
{
    dialarc_setup s = shop(), blank = s;
    dialarc_whatif w = usual(), same, tabled;
    dialarc_camtable *table = NULL;
    dialarc_cam cam;
    blank.cam_law = DIALARC_LAW_UNKNOWN;
    blank.rise_deg = blank.cam_lift_mm = DIALARC_UNKNOWN;
    ck_assert_int_eq(dialarc_whatif_from_cam(&blank, &w.cam, &same), DIALARC_OK);
    ck_assert_int_eq(memcmp(&w.input, &same.input, sizeof w.input), 0);
    dialarc_outcome a = evaluate(&w), b = evaluate(&same);
    ck_assert_int_eq(memcmp(&a, &b, sizeof a), 0);
    ck_assert_int_eq(dialarc_camtable_from_cam(&w.cam, 720, &table), DIALARC_OK);
    ck_assert_int_eq(dialarc_cam_from_table(table, &cam), DIALARC_OK);
    ck_assert_int_eq(dialarc_whatif_from_cam(&blank, &cam, &tabled), DIALARC_OK);
    tabled.input[DIALARC_WHATIF_TDC_MARK].centre = 0.5;
    w.input[DIALARC_WHATIF_TDC_MARK].centre = 0.5;
    a = evaluate(&w);
    b = evaluate(&tabled);
    ck_assert_double_eq_tol(a.lift_mm, b.lift_mm, 1e-6);
    dialarc_camtable_free(table);
    cam = w.cam;
    cam.lobes++;
    ck_assert_int_eq(dialarc_whatif_from_cam(&s, &cam, &same), DIALARC_ERR_LOBES);
    ck_assert_int_eq(dialarc_whatif_from_cam(NULL, &cam, &same), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_whatif_from_cam(&s, NULL, &same), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_whatif_from_cam(&s, &cam, NULL), DIALARC_ERR_NULL);
}
END_TEST

/* --- refusals ----------------------------------------------------------------------- */

START_TEST(setups_that_lack_something_are_refused)
{
    dialarc_setup s = shop();
    dialarc_whatif w;
    ck_assert_int_eq(dialarc_whatif_from_setup(NULL, &w), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_whatif_from_setup(&s, NULL), DIALARC_ERR_NULL);
    s.lobes = 0;
    ck_assert_int_eq(dialarc_whatif_from_setup(&s, &w), DIALARC_ERR_LOBES);
    s = shop(), s.cam_law = DIALARC_LAW_UNKNOWN;
    ck_assert_int_eq(dialarc_whatif_from_setup(&s, &w), DIALARC_ERR_LAW);
    s = shop(), s.cam_lift_mm = DIALARC_UNKNOWN;
    ck_assert_int_eq(dialarc_whatif_from_setup(&s, &w), DIALARC_ERR_LIFT);
    s = shop(), s.lift_low_mm = s.lift_high_mm = DIALARC_UNKNOWN;
    ck_assert_int_eq(dialarc_whatif_from_setup(&s, &w), DIALARC_ERR_WINDOW);
    /* Less than a lobe when added up, all of it when taken off: rounding. */
    s = shop(), s.lobes = 6, s.rise_deg = 14.3, s.top_dwell_deg = 34.42;
    s.base_dwell_deg = 11.279999999999996;
    ck_assert_int_eq(dialarc_setup_check(&s), DIALARC_ERR_SEGMENTS);
    ck_assert_int_eq(dialarc_whatif_from_setup(&s, &w), DIALARC_ERR_SEGMENTS);
}
END_TEST

START_TEST(impossible_cases_are_refused)
{
    const struct {
        dialarc_whatif_input input;
        double value;
        dialarc_status status;
    } cases[] = {{DIALARC_WHATIF_READING, -0.1, DIALARC_ERR_LIFT},
                 {DIALARC_WHATIF_READING, 2.5, DIALARC_ERR_LIFT},
                 {DIALARC_WHATIF_RATIO, 0.0, DIALARC_ERR_RATIO},
                 {DIALARC_WHATIF_TILT, 90.0, DIALARC_ERR_ANGLE},
                 {DIALARC_WHATIF_SHIFT, NAN, DIALARC_ERR_NOT_FINITE},
                 {DIALARC_WHATIF_STRETCH, INFINITY, DIALARC_ERR_NOT_FINITE},
                 {DIALARC_WHATIF_STRETCH, 0.1, DIALARC_ERR_SLACK},
                 {DIALARC_WHATIF_SLACK, -0.1, DIALARC_ERR_SLACK},
                 {DIALARC_WHATIF_HYSTERESIS, -0.001, DIALARC_ERR_DIAL},
                 {DIALARC_WHATIF_SCALE, -1.0, DIALARC_ERR_DIAL},
                 {DIALARC_WHATIF_WEAR, -0.01, DIALARC_ERR_FRACTION},
                 {DIALARC_WHATIF_WEAR, 1.0, DIALARC_ERR_FRACTION},
                 /* 0.66 mm are left of 2.2 */
                 {DIALARC_WHATIF_WEAR, 0.7, DIALARC_ERR_LIFT}};
    dialarc_outcome o = {-7.0, -7.0}, slope[DIALARC_WHATIF_COUNT];
    dialarc_whatif_result r;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        dialarc_whatif w = usual();
        w.input[cases[i].input].centre = cases[i].value;
        ck_assert_int_eq(dialarc_whatif_evaluate(&w, &o), cases[i].status);
        ck_assert_int_eq(dialarc_whatif_sensitivity(&w, slope), cases[i].status);
        ck_assert_int_eq(dialarc_whatif_propagate(&w, 1000, 1, &r), cases[i].status);
    }
    dialarc_whatif w = usual();
    ck_assert_int_eq(dialarc_whatif_evaluate(NULL, &o), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_whatif_evaluate(&w, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_whatif_sensitivity(NULL, slope), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_whatif_sensitivity(&w, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_whatif_propagate(NULL, 1000, 1, &r), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_whatif_propagate(&w, 1000, 1, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_whatif_propagate(&w, 10, 1, &r), DIALARC_ERR_SIZE);
    w.pump_teeth = 0; /* no teeth are known ... */
    ck_assert_int_eq(dialarc_whatif_evaluate(&w, &o), DIALARC_OK);
    w.input[DIALARC_WHATIF_TEETH].centre = 1.0; /* ... so none can be jumped */
    ck_assert_int_eq(dialarc_whatif_evaluate(&w, &o), DIALARC_ERR_TEETH);
    w = usual(), w.cam.lobes = 0;
    ck_assert_int_eq(dialarc_whatif_evaluate(&w, &o), DIALARC_ERR_LOBES);
    w = usual(), w.target_lift_mm = 3.0;
    ck_assert_int_eq(dialarc_whatif_evaluate(&w, &o), DIALARC_ERR_LIFT);
    w = usual(), w.contact = (dialarc_contact)2;
    ck_assert_int_eq(dialarc_whatif_evaluate(&w, &o), DIALARC_ERR_DIAL);
    w = usual(), w.input[DIALARC_WHATIF_SHIFT].spread = -1.0;
    ck_assert_int_eq(dialarc_whatif_propagate(&w, 1000, 1, &r), DIALARC_ERR_SD);
    /* Cases some of whose trials leave the cam, or most, and one on the flat foot. */
    w = usual(), w.input[DIALARC_WHATIF_SHIFT].spread = 1.0;
    ck_assert_int_eq(dialarc_whatif_propagate(&w, 1000, 1, &r), DIALARC_OK);
    ck_assert(r.lift_mm.refused > 0.2 && r.advance_crank_deg.refused > 0.2);
    w.input[DIALARC_WHATIF_SHIFT].spread = 9.0;
    ck_assert_int_eq(dialarc_whatif_propagate(&w, 1000, 1, &r), DIALARC_ERR_NO_SOLUTION);
    w = usual(), w.input[DIALARC_WHATIF_READING].centre = -0.002;
    ck_assert_int_eq(dialarc_whatif_sensitivity(&w, slope), DIALARC_ERR_NO_SOLUTION);
}
END_TEST

/* The lobe as it is now, beside that as it was made: the same as wear of all of it. */
START_TEST(a_cam_that_has_been_measured_anew)
{
    dialarc_whatif w = usual(), now = usual();
    w.input[DIALARC_WHATIF_WEAR].centre = 0.03;
    now.cam_now = now.cam;
    now.cam_now.lift_mm *= 0.97;
    dialarc_outcome by_wear = evaluate(&w), by_cam = evaluate(&now);
    ck_assert_double_eq_tol(by_cam.advance_crank_deg, by_wear.advance_crank_deg, 1e-12);
    ck_assert_double_eq_tol(by_cam.lift_mm, by_wear.lift_mm, 1e-12);
    ck_assert(by_cam.advance_crank_deg > 0.5);
    now.cam_now.rise_deg = -1.0;
    ck_assert_int_eq(dialarc_whatif_evaluate(&now, &by_cam), DIALARC_ERR_SEGMENTS);
}
END_TEST

START_TEST(changes_go_by_name_and_add_up)
{
    dialarc_whatif w = usual(), by_hand = usual();
    by_hand.input[DIALARC_WHATIF_TDC_MARK].centre += 0.5;
    by_hand.input[DIALARC_WHATIF_TEETH].centre += 1.0;
    ck_assert_int_eq(dialarc_whatif_change(&w, "tdc_mark_crank_deg", 0.5, &w), 0);
    ck_assert_int_eq(dialarc_whatif_change(&w, "teeth", 1.0, &w), 0);
    ck_assert_double_eq(evaluate(&w).lift_mm, evaluate(&by_hand).lift_mm);
    for (int i = 0; i < DIALARC_WHATIF_COUNT; i++) {
        const char *name = dialarc_whatif_name((dialarc_whatif_input)i);
        by_hand = usual();
        ck_assert_int_eq(dialarc_whatif_change(&by_hand, name, 0.25, &w), DIALARC_OK);
        ck_assert_double_eq(w.input[i].centre, by_hand.input[i].centre + 0.25);
    }
    ck_assert_int_eq(dialarc_whatif_change(&w, "tdc", 0.5, &w), DIALARC_ERR_CHOICE);
    ck_assert_int_eq(dialarc_whatif_change(&w, "teeth", NAN, &w), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_whatif_change(NULL, "teeth", 1, &w), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_whatif_change(&w, NULL, 1, &w), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_whatif_change(&w, "teeth", 1, NULL), DIALARC_ERR_NULL);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("whatif");
    TCase *tc = tcase_create("changes");
    tcase_add_test(tc, a_setup_aims_at_the_middle);
    tcase_add_test(tc, changes_do_what_geometry_says);
    tcase_add_test(tc, the_ratio_turns_pump_into_crank_degrees);
    tcase_add_test(tc, a_worn_cam_set_to_the_lift_of_a_new_one_is_early);
    tcase_add_test(tc, the_stretch_of_a_drive_makes_the_pump_late);
    tcase_add_test(tc, inputs_have_names);
    tcase_add_test(tc, a_cam_that_has_been_measured_anew);
    tcase_add_test(tc, changes_go_by_name_and_add_up);
    suite_add_tcase(suite, tc);
    tc = tcase_create("uncertainty");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, slopes_are_derivatives);
    tcase_add_test(tc, both_agree_where_the_chain_is_linear);
    tcase_add_test(tc, they_differ_where_it_is_not);
    tcase_add_test(tc, seeds_decide_every_bit);
    suite_add_tcase(suite, tc);
    tc = tcase_create("refusals");
    tcase_add_test(tc, a_case_of_another_cam);
    tcase_add_test(tc, setups_that_lack_something_are_refused);
    tcase_add_test(tc, impossible_cases_are_refused);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
