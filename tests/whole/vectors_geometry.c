/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Vectors: words and angles, the cam, the engine, the dial. */
#include "whole/vectors.h"

enum { MANY = 9 };

static double out[MANY];

static const double turn[MANY] = {-370.25, -45, 0, 0.1, 12.5, 44.9, 89.99, 123.4, 1000};

void vectors_words(void)
{
    const char *units = "refdata/units.csv", *angle = "refdata/angle.csv";
#define UNIT(name, value)                                                                \
    vector_begin(#name, units);                                                          \
    vector_number(value);                                                                \
    vector_put("1", dialarc_##name(value))
    UNIT(mm_from_in, 1.1);
    UNIT(in_from_mm, 2.2);
    UNIT(n_from_lbf, 3.3);
    UNIT(lbf_from_n, 4.4);
    UNIT(nm_from_lbf_ft, 5.5);
    UNIT(lbf_ft_from_nm, 6.6);
    UNIT(nm_from_lbf_in, 7.7);
    UNIT(lbf_in_from_nm, 8.8);
    UNIT(pa_from_bar, 9.9);
    UNIT(bar_from_pa, 1234.5);
    UNIT(k_from_celsius, -17.8);
    UNIT(celsius_from_k, 300.1);
    units = "refdata/older_units.csv";
    UNIT(nm_from_kgf_m, 2.5);
    UNIT(kgf_m_from_nm, 25.0);
    UNIT(nm_from_kgf_cm, 250.0);
    UNIT(kgf_cm_from_nm, 25.0);
    UNIT(pa_from_psi, 14.5);
    UNIT(psi_from_pa, 1e5);
    UNIT(celsius_from_fahrenheit, 77.0);
    UNIT(fahrenheit_from_celsius, 85.0);
    units = "refdata/units.csv";
    UNIT(rad_from_deg, 33.3);
    UNIT(deg_from_rad, 0.7);
    for (int i = 0; i < MANY; i++) {
        NUMBER(angle, angle_wrap, turn[i], 360.0);
        NUMBER(angle, angle_wrap_signed, turn[i], 720.0);
        NUMBER(angle, angle_difference, turn[i], 10.0, 360.0);
    }
    NUMBER(angle, angle_rim_arc, 7.3, 61.5);
    NUMBER(angle, angle_from_rim_arc, 1.7, 61.5);
    NUMBER("tests/engine/test_flywheel.c", flywheel_chord, 12.5, 140.0);
    NUMBER("tests/engine/test_flywheel.c", flywheel_angle, 30.5, 140.0);
    NUMBER("tests/engine/test_drive.c", drive_warming, 180.0, 65.0, 2.3e-5, 0.5e-5);
    NUMBER(angle, angle_rate_from_speed, 812.5);
    NUMBER(angle, angle_speed_from_rate, 4711.0);
/* A function whose result is an array; what follows gives the arguments and calls it. */
#define ARRAY(source, function, ...)                                                     \
    vector_begin(#function, source);                                                     \
    __VA_ARGS__;                                                                         \
    vector_put_all("1", MANY, out)
    ARRAY(angle, angle_wrap_array, vector_numbers(MANY, turn), vector_number(90),
          vector_must(dialarc_angle_wrap_array(MANY, turn, 90, out)));
    ARRAY(angle, angle_wrap_signed_array, vector_numbers(MANY, turn), vector_number(90),
          vector_must(dialarc_angle_wrap_signed_array(MANY, turn, 90, out)));
    ARRAY(angle, angle_pump_from_crank, vector_numbers(MANY, turn), vector_number(2),
          vector_must(dialarc_angle_pump_from_crank(MANY, turn, 2, out)));
    ARRAY(angle, angle_crank_from_pump, vector_numbers(MANY, turn), vector_number(2.5),
          vector_must(dialarc_angle_crank_from_pump(MANY, turn, 2.5, out)));
}

static void cam_calls(const dialarc_cam *cam)
{
    const char *source = "tests/cam/test_cam.c";
    const double height[MANY] = {0.01, 0.1, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 1.75};
    double fall;
    for (int i = 0; i < MANY; i++) {
        NUMBER(source, cam_lift, cam, turn[i]);
        NUMBER(source, cam_rate, cam, turn[i]);
        NUMBER(source, cam_acceleration, cam, turn[i]);
        NUMBER(source, cam_angle_at_lift, cam, height[i], DIALARC_FLANK_RISING);
    }
    RECORD(source, fall, cam_fall_deg, cam);
    vector_put("1", fall);
    ARRAY(source, cam_lift_array, vector_object(cam), vector_numbers(MANY, turn),
          vector_must(dialarc_cam_lift_array(cam, MANY, turn, out)));
    ARRAY(source, cam_rate_array, vector_object(cam), vector_numbers(MANY, turn),
          vector_must(dialarc_cam_rate_array(cam, MANY, turn, out)));
    ARRAY(source, cam_acceleration_array, vector_object(cam), vector_numbers(MANY, turn),
          vector_must(dialarc_cam_acceleration_array(cam, MANY, turn, out)));
    ARRAY(source, cam_angle_at_lift_array, vector_object(cam),
          vector_numbers(MANY, height), vector_whole(DIALARC_FLANK_FALLING),
          vector_must(dialarc_cam_angle_at_lift_array(cam, MANY, height,
                                                      DIALARC_FLANK_FALLING, out)));
}

static void make_cam(const dialarc_cam *cam, const char *name)
{
    vector_begin("Cam", "");
    vector_keep(cam, name);
    vector_set(name, "lobes", cam->lobes);
    vector_set(name, "lift_mm", cam->lift_mm);
    vector_set(name, "rise_deg", cam->rise_deg);
    vector_set(name, "top_dwell_deg", cam->top_dwell_deg);
    vector_set(name, "base_dwell_deg", cam->base_dwell_deg);
    vector_set(name, "law", cam->law);
    vector_set(name, "fall_law", cam->fall_law);
    vector_set(name, "blend", cam->blend);
}

static void camtable_calls(const dialarc_cam *cam)
{
    const char *source = "tests/cam/test_camtable.c";
    const double lost[MANY] = {0.001, 0.002, 0.003, 0.002, 0.001, 0, 0.001, 0.002, 0.001};
    static dialarc_camtable *table;
    dialarc_cam_motion motion;
    dialarc_camwear wear;
    double shift[MANY], angle, period, low, high;
    RECORD(source, table, camtable_from_cam, cam, 180);
    vector_keep(table, "table");
    RECORD(source, motion, camtable_motion, table, 21.7);
    FIELD(motion, lift_mm);
    FIELD(motion, rate_mm_per_pump_deg);
    FIELD(motion, acceleration_mm_per_pump_deg2);
    RECORD(source, angle, camtable_angle_at_lift, table, 0.9, 1, 20.0);
    vector_put("1", angle);
    vector_begin("camtable_range", source);
    vector_object(table);
    vector_must(dialarc_camtable_range(table, &period, &low, &high));
    vector_put("1", period);
    vector_put("2", low);
    vector_put("3", high);
    ARRAY(source, camtable_lift_array, vector_object(table), vector_numbers(MANY, turn),
          vector_must(dialarc_camtable_lift_array(table, MANY, turn, out)));
    ARRAY("tests/cam/test_camcompare.c", camcompare_array, vector_object(table),
          vector_object(table), vector_whole(1), vector_number(0.001),
          vector_numbers(MANY, lost),
          vector_must(
              dialarc_camcompare_array(table, table, 1, 0.001, MANY, lost, out, shift)));
    vector_put_all("2", MANY, shift);
    RECORD("tests/cam/test_camcompare.c", wear, camcompare_summary, table, table, 1, 0,
           0.003);
    FIELD(wear, total_lift_lost_mm);
    FIELD(wear, greatest_loss_mm);
    FIELD(wear, greatest_loss_u_mm);
    FIELD(wear, probability_chance);
    FIELD(wear, rising_shift_u_pump_deg);
}

/* A table of points that err, and how far to trust it. */
static void smooth_calls(const dialarc_cam *cam)
{
    enum { POINTS = 45 };
    const char *source = "tests/cam/test_camsmooth.c";
    static dialarc_camtable *smooth;
    double pump_deg[POINTS], lift_mm[POINTS];
    dialarc_smoothing smoothing;
    dialarc_cam_motion sd;
    for (int i = 0; i < POINTS; i++)
        pump_deg[i] = 2.0 * i;
    vector_must(dialarc_cam_lift_array(cam, POINTS, pump_deg, lift_mm));
    for (int i = 0; i < POINTS; i++)
        lift_mm[i] += 0.001 * (i * 7 % 5 - 2);
    vector_begin("camtable_smooth", "");
    vector_numbers(POINTS, pump_deg);
    vector_numbers(POINTS, lift_mm);
    vector_number(90);
    vector_number(0.0015);
    vector_must(dialarc_camtable_smooth(POINTS, pump_deg, lift_mm, 90, 0.0015, &smooth));
    vector_keep(smooth, "smooth");
    RECORD(source, smoothing, camtable_smoothing, smooth);
    FIELD(smoothing, point_sd_mm);
    FIELD(smoothing, parameters);
    FIELD(smoothing, misfit);
    RECORD(source, sd, camtable_motion_sd, smooth, 21.7);
    FIELD(sd, lift_mm);
    FIELD(sd, rate_mm_per_pump_deg);
    FIELD(sd, acceleration_mm_per_pump_deg2);
}

/* A table as a cam, and a table of the SCCA family. */
static void tabled_calls(const dialarc_cam *shape)
{
    const char *source = "tests/cam/test_tabled_cam.c";
    static const dialarc_scca family = {0.3, 0.2, 0.5};
    const double lifts[] = {0.75, 0.88, 0.92};
    static dialarc_camtable *made;
    static dialarc_cam tabled;
    double angle, lift;
    MAKE(Scca, family);
    SET(family, sine);
    SET(family, constant);
    SET(family, cosine);
    RECORD(source, made, camtable_from_scca, shape, &family, &family, 180);
    vector_keep(made, "made");
    static const dialarc_arcs arcs = {22.0, 14.0, 6.0, 7.0};
    static dialarc_camtable *drawn;
    double slope;
    dialarc_unit_motion motion;
    MAKE(Arcs, arcs);
    SET(arcs, track_radius_mm);
    SET(arcs, foot_radius_mm);
    SET(arcs, crest_radius_mm);
    SET(arcs, roller_radius_mm);
    RECORD("tests/cam/test_arcs.c", slope, arcs_slope, &arcs, 2.3, 38.0);
    vector_put("1", slope);
    RECORD("tests/cam/test_arcs.c", motion, arcs_motion, &arcs, 2.3, 38.0, 0.3);
    FIELD(motion, displacement);
    FIELD(motion, rate);
    FIELD(motion, acceleration);
    RECORD("tests/cam/test_arcs.c", drawn, camtable_from_arcs, shape, &arcs, &arcs, 180);
    vector_keep(drawn, "drawn");
    RECORD(source, tabled, cam_from_table, made);
    vector_keep(&tabled, "tabled");
    RECORD(source, lift, cam_lift, &tabled, 21.7);
    vector_put("1", lift);
    RECORD(source, angle, cam_angle_at_lift, &tabled, 0.9, 1);
    vector_put("1", angle);
    NUMBER(source, delivery_start, &tabled, 2.0, 0.3, 0.9);
    vector_begin("timing_shift_advance", "tests/cam/test_timing_shift.c");
    vector_object(shape);
    vector_words("2 0.9");
    vector_numbers(3, lifts);
    vector_must(dialarc_timing_shift_advance(shape, 2, 0.9, 3, lifts, out));
    vector_put_all("1", 3, out);
    vector_begin("timing_shift_lift", "tests/cam/test_timing_shift.c");
    vector_object(shape);
    vector_words("2 -1");
    vector_numbers(3, lifts);
    vector_must(dialarc_timing_shift_lift(shape, 2, -1, 3, lifts, out));
    vector_put_all("1", 3, out);
}

static void follower_calls(const dialarc_cam *cam)
{
    static const dialarc_follower follower = {40, 6};
    const double lift[] = {0.1, 0.5, 1.5}, rate[] = {0.02, 0.05, 0.01};
    const char *source = "refdata/follower.csv";
    double surface[3];
    dialarc_curvature curvature;
    dialarc_follower_survey survey;
    MAKE(Follower, follower);
    SET(follower, radius_mm);
    SET(follower, roller_mm);
    NUMBER(source, follower_pressure, &follower, 0.05);
    RECORD(source, curvature, follower_curvature, &follower, 0.05, 0.001);
    FIELD(curvature, pitch_per_mm);
    FIELD(curvature, surface_per_mm);
    RECORD(source, survey, follower_survey_cam, &follower, cam);
    FIELD(survey, rising_pressure_deg);
    FIELD(survey, crest_radius_mm);
    vector_begin("follower_surface", source);
    vector_object(&follower);
    vector_numbers(3, turn + 4);
    vector_numbers(3, lift);
    vector_numbers(3, rate);
    vector_must(
        dialarc_follower_surface(&follower, 3, turn + 4, lift, rate, out, surface));
    vector_put_all("1", 3, out);
    vector_put_all("2", 3, surface);
    vector_begin("follower_pitch", source);
    vector_object(&follower);
    vector_numbers(3, turn + 4);
    vector_numbers(3, lift);
    vector_numbers(3, rate);
    vector_must(dialarc_follower_pitch(&follower, 3, turn + 4, lift, rate, out, surface));
    vector_put_all("1", 3, out);
    vector_put_all("2", 3, surface);
}

static void law_calls(void)
{
    for (dialarc_law law = DIALARC_LAW_HARMONIC; law < DIALARC_LAW_COUNT; law++) {
        dialarc_unit_motion motion;
        dialarc_law_peaks peaks;
        double blend = law >= DIALARC_LAW_CONSTANT_RATE_HARMONIC ? 0.2 : 0.0;
        if (law == DIALARC_LAW_CONSTANT_RATE)
            continue;
        RECORD("refdata/law_displacements.csv", motion, law_motion, law, blend, 0.3);
        FIELD(motion, displacement);
        FIELD(motion, rate);
        FIELD(motion, acceleration);
        RECORD("refdata/law_peaks.csv", peaks, law_peak_factors, law, blend);
        FIELD(peaks, rate);
        FIELD(peaks, acceleration);
        FIELD(peaks, jerk);
    }
    static const dialarc_scca scca = {0.25, 0.5, 0.25};
    dialarc_unit_motion motion;
    MAKE(Scca, scca);
    SET(scca, sine);
    SET(scca, constant);
    SET(scca, cosine);
    RECORD("refdata/scca_peaks.csv", motion, scca_motion, &scca, 0.3);
    FIELD(motion, displacement);
    FIELD(motion, rate);
    FIELD(motion, acceleration);
    dialarc_law_peaks peaks;
    RECORD("refdata/scca_peaks.csv", peaks, scca_peak_factors, &scca);
    FIELD(peaks, rate);
    FIELD(peaks, acceleration);
    FIELD(peaks, jerk);
}

void vectors_cam(void)
{
    static const dialarc_cam cams[] = {
        {4, 2.2, 38, 2, 10, DIALARC_LAW_POLY345, DIALARC_LAW_UNKNOWN, 0, NULL},
        {6, 2.0, 27.5, 1.5, 6, DIALARC_LAW_MODIFIED_SINE, DIALARC_LAW_CYCLOIDAL, 0, NULL},
        {3, 2.4, 51.25, 0, 20, DIALARC_LAW_HARMONIC, DIALARC_LAW_HARMONIC, 0, NULL}};
    const char *name[] = {"cam4", "cam6", "cam3"};
    for (int i = 0; i < 3; i++) {
        make_cam(&cams[i], name[i]);
        cam_calls(&cams[i]);
    }
    law_calls();
    camtable_calls(&cams[0]);
    smooth_calls(&cams[0]);
    tabled_calls(&cams[0]);
    follower_calls(&cams[0]);
}

static const dialarc_cam cam4 = {
    4, 2.2, 38, 2, 10, DIALARC_LAW_POLY345, DIALARC_LAW_UNKNOWN, 0, NULL};

static void drive_calls(void)
{
    static const dialarc_stage belt = {20, 40, 0, 9.525, 0.1, 0.05};
    static const dialarc_stage gear = {24, 36, 1, 7.5, 0.08, 0.0};
    static const dialarc_wear wear = {1e-4, 50, 1e-4};
    const dialarc_stage both[] = {belt, gear};
    const char *drives = "refdata/drive.csv";
    double ratio, crank_deg, pump_deg;
    int sense;
    dialarc_tooth tooth;
    MAKE(Stage, belt);
    SET(belt, driving_teeth);
    SET(belt, driven_teeth);
    SET(belt, pitch_mm);
    SET(belt, play_mm);
    SET(belt, stretch_mm);
    MAKE(Stage, gear);
    SET(gear, driving_teeth);
    SET(gear, driven_teeth);
    SET(gear, reverses);
    SET(gear, pitch_mm);
    SET(gear, play_mm);
#define DRIVE(function, ...)                                                             \
    vector_begin(#function, drives);                                                     \
    vector_words("belt;gear");                                                           \
    __VA_ARGS__
    DRIVE(drive_ratio, vector_must(dialarc_drive_ratio(2, both, &ratio, &sense)));
    vector_put("1", ratio);
    vector_put("2", sense);
    DRIVE(drive_tooth, vector_whole(1),
          vector_must(dialarc_drive_tooth(2, both, 1, &crank_deg, &pump_deg)));
    vector_put("1", crank_deg);
    vector_put("2", pump_deg);
    DRIVE(drive_arc, vector_whole(0), vector_number(1.25),
          vector_must(dialarc_drive_arc(2, both, 0, 1.25, &crank_deg)));
    vector_put("1", crank_deg);
    DRIVE(drive_slack, vector_must(dialarc_drive_slack(2, both, &crank_deg)));
    vector_put("1", crank_deg);
    DRIVE(drive_stretch, vector_must(dialarc_drive_stretch(2, both, &crank_deg)));
    vector_put("1", crank_deg);
    drives = "tests/engine/test_wear.c";
    DRIVE(wear_advance, vector_whole(0), vector_number(300), vector_number(1e-4),
          vector_must(dialarc_wear_advance(2, both, 0, 300, 1e-4, &crank_deg)));
    vector_put("1", crank_deg);
    MAKE(Wear, wear);
    SET(wear, settling);
    SET(wear, settling_h);
    SET(wear, strain_per_1000_h);
    NUMBER("tests/engine/test_wear.c", wear_service, &wear, 1.5e-4);
    vector_begin("wear_strain", "tests/engine/test_wear.c");
    vector_object(&wear);
    vector_numbers(3, turn + 4);
    vector_must(dialarc_wear_strain(&wear, 3, turn + 4, out));
    vector_put_all("1", 3, out);
    RECORD("tests/engine/test_tooth.c", tooth, tooth_from_advance, 8.0, 0.3, 8.2, 1.5,
           0.1);
    FIELD(tooth, teeth);
    FIELD(tooth, probability);
    FIELD(tooth, probability_jumped);
    FIELD(tooth, probability_neither);
    vector_known(&cam4, "cam4");
    vector_begin("tooth_from_lift", "tests/engine/test_tooth.c");
    vector_object(&cam4);
    vector_words("0.9 1.2 0.01 1 8.5 0.6 0.01");
    vector_must(dialarc_tooth_from_lift(&cam4, 0.9, 1.2, 0.01, DIALARC_FLANK_RISING, 8.5,
                                        0.6, 0.01, &tooth));
    FIELD(tooth, teeth);
    FIELD(tooth, probability);
    FIELD(tooth, probability_jumped);
    FIELD(tooth, probability_neither);
}

/* Pairs of several means, and the wheel on which they were read. */
static void tdc_means_calls(const dialarc_crank *crank, const double *before,
                            const double *after)
{
    static const double sd[] = {0.5, 0.6, 0.7}, drop[] = {0.0, 0.02, 0.05};
    static const double error[] = {0.8, 0.8, 0.0};
    static const double pointer[] = {0.0, 90.5, 180.25, 269.75};
    static const double opposite[] = {180.75, 271.5, 0.5, 89.0};
    dialarc_tdc tdc;
    dialarc_wheel wheel = {0};
    vector_begin("tdc_from_means", "tests/engine/test_tdc_means.c");
    vector_object(crank);
    vector_numbers(3, before);
    vector_numbers(3, after);
    vector_numbers(3, sd);
    vector_numbers(3, drop);
    vector_numbers(3, error);
    vector_must(dialarc_tdc_from_means(crank, 3, before, after, sd, drop, error, &tdc));
    FIELD(tdc, wheel_deg);
    FIELD(tdc, sd_deg);
    FIELD(tdc, shared_sd_deg);
    vector_begin("wheel_from_pointers", "tests/engine/test_wheel.c");
    vector_numbers(4, pointer);
    vector_numbers(4, opposite);
    vector_number(0.0);
    vector_must(dialarc_wheel_from_pointers(4, pointer, opposite, 0.0, &wheel));
    FIELD(wheel, error_deg);
    FIELD(wheel, error_sd_deg);
    FIELD(wheel, phase_deg);
    FIELD(wheel, pointers_deg);
    dialarc_wheel off = {.error_deg = 0.4, .phase_deg = 35.0};
    MAKE(Wheel, off);
    SET(off, error_deg);
    SET(off, phase_deg);
    NUMBER("tests/engine/test_wheel.c", wheel_error_at, &off, 77.5);
}

void vectors_engine(void)
{
    static const dialarc_crank crank = {40, 130, 0.5};
    const double before[] = {-20, -30.5, -41}, after[] = {20.5, 31.25, 41.5};
    const char *cranks = "refdata/crank.csv";
    dialarc_crank_motion motion;
    dialarc_tdc tdc;
    MAKE(Crank, crank);
    SET(crank, radius_mm);
    SET(crank, rod_mm);
    SET(crank, offset_mm);
    NUMBER(cranks, crank_stroke_mm, &crank);
    NUMBER(cranks, crank_bdc_deg, &crank);
    NUMBER(cranks, crank_tdc_throw_deg, &crank);
    RECORD(cranks, motion, crank_motion_at, &crank, 33.0);
    FIELD(motion, drop_mm);
    FIELD(motion, rate_mm_per_crank_deg);
    FIELD(motion, acceleration_mm_per_crank_deg2);
    NUMBER(cranks, crank_velocity, &crank, 77.0, 812.5);
    NUMBER(cranks, crank_angle_at_drop, &crank, 5.5, DIALARC_SIDE_AFTER);
    ARRAY(cranks, crank_drop_array, vector_object(&crank), vector_numbers(MANY, turn),
          vector_must(dialarc_crank_drop_array(&crank, MANY, turn, out)));
    NUMBER("refdata/tdc.csv", tdc_from_stops, -20.25, 20.5);
    NUMBER("refdata/tdc.csv", tdc_stop_error, &crank, -20.25, 20.5);
    vector_begin("tdc_from_pairs", "refdata/tdc.csv");
    vector_object(&crank);
    vector_numbers(3, before);
    vector_numbers(3, after);
    vector_number(0.1);
    vector_number(0.001);
    vector_must(dialarc_tdc_from_pairs(&crank, 3, before, after, 0.1, 0.001, &tdc));
    FIELD(tdc, wheel_deg);
    FIELD(tdc, sd_deg);
    FIELD(tdc, u_deg);
    FIELD(tdc, dof);
    FIELD(tdc, scatter);
    FIELD(tdc, excess_sd_deg);
    tdc_means_calls(&crank, before, after);
    drive_calls();
}

/* A dial against gauge blocks. */
static void dialcheck_calls(void)
{
    static const double block[] = {0.0, 0.5, 1.0, 1.0, 0.5, 0.0, 0.5};
    static const double shown[] = {0.0, 0.502, 1.001, 1.004, 0.506, 0.002, 0.501};
    static const double way[] = {1, 1, 1, -1, -1, -1, 1};
    dialarc_dialcheck check;
    dialarc_proof proof = DIALARC_PROOF_NONE;
    vector_begin("dialcheck_assess", "tests/dial/test_dialcheck.c");
    vector_numbers(7, block);
    vector_numbers(7, shown);
    vector_numbers(7, way);
    vector_number(0.001);
    vector_number(1.0);
    vector_number(0.0005);
    vector_must(
        dialarc_dialcheck_assess(7, block, shown, way, 0.001, 1.0, 0.0005, &check));
    FIELD(check, hysteresis_mm);
    FIELD(check, repeatability_mm);
    FIELD(check, half_turn_mm);
    FIELD(check, reading_sd_mm);
    FIELD(check, span_u_mm);
    vector_begin("dialcheck_proof", "tests/dial/test_dialcheck.c");
    vector_number(0.0117);
    vector_number(0.001);
    vector_number(0.01);
    vector_number(0.95);
    vector_must(dialarc_dialcheck_proof(0.0117, 0.001, 0.01, 0.95, &proof));
    vector_put("1", proof);
}

void vectors_dial(void)
{
    static const dialarc_dial dial = {0.01, 1.0, -1, 2.0, DIALARC_CONTACT_POINT};
    dialcheck_calls();
    const double needle[MANY] = {0.1, 0.4, 0.8, 0.1, 0.35, 0.7, 0.9, 0.6, 0.2};
    static const double shown[] = {0, 0.5, 1.01, 2.0}, travel[] = {0, 0.502, 1.0, 2.003};
    dialarc_dialcal *dialcal = NULL;
    const double middle[] = {0.1, 0.7, 1.5};
    const char *dials = "refdata/dial.csv", *plays = "refdata/play.csv";
    MAKE(Dial, dial);
    SET(dial, step_mm);
    SET(dial, turn_mm);
    SET(dial, sense);
    SET(dial, tilt_deg);
    SET(dial, contact);
    NUMBER(dials, dial_travel, &dial, 1.23);
    NUMBER(dials, dial_reading, &dial, 1.23);
    NUMBER(dials, dial_round, &dial, 1.2345);
    NUMBER(dials, dial_unwrap, 1.0, 0.2, 1.1);
    ARRAY(dials, dial_travel_array, vector_object(&dial), vector_numbers(MANY, needle),
          vector_must(dialarc_dial_travel_array(&dial, MANY, needle, out)));
    ARRAY(dials, dial_unwrap_array, vector_number(1), vector_number(0),
          vector_numbers(MANY, needle),
          vector_must(dialarc_dial_unwrap_array(1, 0, MANY, needle, out)));
    NUMBER("refdata/dial_limits.csv", diallimit_mm, DIALARC_BEZEL_STANDARD, 0.01, 10.0,
           DIALARC_DIAL_ONE_TURN);
    NUMBER("refdata/dial.csv", diallimit_reading_sd, 0.015);
    NUMBER("refdata/dial.csv", diallimit_lift_sd, 0.015);
    NUMBER(plays, play_driven, 0.5, 1.0, 0.125);
    NUMBER(plays, play_reading, 0.01, 1.0, 0.9);
    ARRAY(plays, play_driven_array, vector_number(0.25), vector_number(0.1),
          vector_numbers(MANY, needle),
          vector_must(dialarc_play_driven_array(0.25, 0.1, MANY, needle, out)));
    ARRAY(plays, play_reading_array, vector_number(0.01), vector_number(0.1),
          vector_numbers(MANY, needle),
          vector_must(dialarc_play_reading_array(0.01, 0.1, MANY, needle, out)));
    vector_begin("dialcal_new", "tests/dial/test_dialcal.c");
    vector_numbers(4, shown);
    vector_numbers(4, travel);
    vector_number(0.001);
    vector_must(dialarc_dialcal_new(4, shown, travel, 0.001, &dialcal));
    vector_keep(dialcal, "dialcal");
    vector_begin("dialcal_true", "tests/dial/test_dialcal.c");
    vector_object(dialcal);
    vector_numbers(3, middle);
    vector_must(dialarc_dialcal_true(dialcal, 3, middle, out));
    vector_put_all("1", 3, out);
    vector_begin("dialcal_shown", "tests/dial/test_dialcal.c");
    vector_object(dialcal);
    vector_numbers(3, middle);
    vector_must(dialarc_dialcal_shown(dialcal, 3, middle, out));
    vector_put_all("1", 3, out);
    dialarc_dialcal_free(dialcal);
}
