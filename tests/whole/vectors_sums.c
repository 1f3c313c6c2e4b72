/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Vectors: delivery and injection, belt and torque, the setting. */
#include "whole/vectors.h"

#include <math.h>

static const dialarc_cam cam = {
    4, 2.2, 38, 2, 10, DIALARC_LAW_POLY345, DIALARC_LAW_UNKNOWN, 0, NULL};

static void flow_calls(const dialarc_fuel *fuel)
{
    static const dialarc_line line = {600, 1.6, 6, 206000, 0.3};
    const char *fuels = "refdata/fuel.csv", *delays = "refdata/delay.csv";
    NUMBER(fuels, fuel_density, fuel, 40.0, 20.0);
    NUMBER(fuels, fuel_sound, fuel, 40.0, 20.0);
    NUMBER(fuels, fuel_modulus, fuel, 40.0, 20.0);
    NUMBER(fuels, fuel_sound_from_modulus, 1500.0, 835.0);
    NUMBER("tests/injection/test_fuel.c", fuel_mean_modulus, fuel, 40.0, 5.0, 30.0);
    NUMBER(fuels, fuel_compression, 1000.0, 1500.0, 20.0);
    MAKE(Line, line);
    SET(line, length_mm);
    SET(line, bore_mm);
    SET(line, outer_mm);
    SET(line, young_mpa);
    SET(line, poisson);
    NUMBER(delays, line_volume, &line);
    NUMBER(delays, line_modulus, &line, 1500.0);
    NUMBER(delays, line_sound, &line, 1500.0, 835.0);
    NUMBER(delays, line_delay, 600.0, 1300.0);
    NUMBER(delays, injection_delay, 0.6, 812.5);
    NUMBER("tests/injection/test_injection.c", injection_advance_line, 500.0, 2000.0, 5.0,
           812.5);
}

void vectors_flow(void)
{
    static dialarc_fuel fuel;
    static const dialarc_plunger plunger = {9, 0.3, 1.0};
    const double speed[] = {500, 2000}, advance[] = {0, 5}, x[] = {3, 10, 20.5};
    static const double rpm[] = {600, 812.5, 1500};
    static dialarc_injection device;
    const char *deliveries = "tests/injection/test_delivery.c",
               *injections = "tests/injection/test_injection.c";
    dialarc_delivery delivery;
    double out[3];
    vector_known(&cam, "cam4");
    vector_begin("fuel_diesel", "");
    fuel = dialarc_fuel_diesel();
    vector_keep(&fuel, "fuel");
    flow_calls(&fuel);
    NUMBER(deliveries, delivery_start, &cam, 2.0, 0.3, 0.9);
    NUMBER(deliveries, delivery_lift, &cam, 2.0, 0.3, 10.0);
    NUMBER(deliveries, delivery_volume, 9.0, 0.55);
    NUMBER(deliveries, delivery_stroke, 9.0, 33.0);
    MAKE(Plunger, plunger);
    SET(plunger, diameter_mm);
    SET(plunger, prestroke_mm);
    SET(plunger, effective_stroke_mm);
    RECORD(deliveries, delivery, delivery_compute, &cam, 2.0, &plunger, 0.9);
    FIELD(delivery, start_btdc_crank_deg);
    FIELD(delivery, end_btdc_crank_deg);
    FIELD(delivery, volume_mm3);
    FIELD(delivery, mean_rate_mm3_per_crank_deg);
    vector_begin("delivery_rate_array", deliveries);
    vector_object(&cam);
    vector_number(2);
    vector_number(9);
    vector_numbers(3, x);
    vector_must(dialarc_delivery_rate_array(&cam, 2, 9, 3, x, out));
    vector_put_all("1", 3, out);
    device = (dialarc_injection){2, speed, advance, 0.6, 3.5};
    vector_begin("make_injection", "");
    vector_numbers(2, speed);
    vector_numbers(2, advance);
    vector_number(0.6);
    vector_number(3.5);
    vector_keep(&device, "device");
    NUMBER(injections, delivery_buildup, &cam, 2.0, &plunger, 30.0);
    NUMBER(injections, injection_advance, &device, 812.5);
    NUMBER("refdata/tdc.csv", tdc_lift_sd, &cam, 0.9, 2.0, 0.2);
    NUMBER(injections, injection_dynamic, &device, 8.0, 812.5);
    NUMBER(injections, injection_static, &device, 8.0, 812.5);
    NUMBER(injections, injection_from_lift, &device, &cam, 2.0, 0.3, 0.9, 812.5);
    NUMBER(injections, injection_to_lift, &device, &cam, 2.0, 0.3, 8.0, 812.5);
    vector_begin("injection_dynamic_array", injections);
    vector_object(&device);
    vector_number(8);
    vector_numbers(3, rpm);
    vector_must(dialarc_injection_dynamic_array(&device, 8, 3, rpm, out));
    vector_put_all("1", 3, out);
}

void vectors_belt(void)
{
    static const dialarc_span span = {0.2, 200, 150, 0.002, 0.5, 20, 0, 0};
    static const dialarc_span held = {0, 160, 900, 0, 0.5, 0, 1e5, 5e3};
    static const dialarc_adapter adapter = {400, 50, 30, 1, 0.5, 1};
    const double hz[] = {120, 150.5, 161.25}, nm[] = {20, 25, 45};
    const char *belts = "refdata/belt.csv", *torques = "refdata/torque.csv";
    const char *stretch = "tests/belt/test_belt_stretch.c";
    dialarc_tension tension;
    dialarc_torque torque;
    double out[3];
    MAKE(Span, span);
    SET(span, mass_kg_per_m);
    SET(span, length_mm);
    SET(span, bending_n_mm2);
    SET(span, mass_sd_kg_per_m);
    SET(span, length_sd_mm);
    SET(span, bending_sd_n_mm2);
    SET(span, stretch_n);
    SET(span, stretch_sd_n);
    RECORD(belts, tension, belt_tension_from_frequency, &span, 150.5, 0.5);
    FIELD(tension, tension_n);
    FIELD(tension, tension_sd_n);
    FIELD(tension, tension_u_n);
    RECORD(belts, tension, belt_tension_from_deflection, &span, 20.0, 0.5, 3.0, 0.1);
    FIELD(tension, tension_n);
    FIELD(tension, tension_u_n);
    NUMBER(belts, belt_frequency_from_tension, &span, 300.0);
    NUMBER(belts, belt_force_from_tension, &span, 300.0, 3.0);
    MAKE(Span, held);
    SET(held, length_mm);
    SET(held, bending_n_mm2);
    SET(held, length_sd_mm);
    SET(held, stretch_n);
    SET(held, stretch_sd_n);
    RECORD(stretch, tension, belt_tension_from_deflection, &held, 18.0, 0.5, 2.5, 0.05);
    FIELD(tension, tension_n);
    FIELD(tension, tension_sd_n);
    NUMBER(stretch, belt_force_from_tension, &held, 250.0, 2.5);
    NUMBER(belts, belt_pitch_diameter, 40, 9.525);
    NUMBER(belts, belt_length, 120, 9.525);
    NUMBER(belts, belt_span_length, 200.0, 60.0, 120.0, 0);
    vector_begin("belt_tension_from_frequency_array", belts);
    vector_object(&span);
    vector_numbers(3, hz);
    vector_must(dialarc_belt_tension_from_frequency_array(&span, 3, hz, out));
    vector_put_all("1", 3, out);
    MAKE(Adapter, adapter);
    SET(adapter, wrench_mm);
    SET(adapter, adapter_mm);
    SET(adapter, angle_deg);
    SET(adapter, wrench_sd_mm);
    SET(adapter, adapter_sd_mm);
    SET(adapter, angle_sd_deg);
    NUMBER(torques, torque_factor, &adapter);
    RECORD(torques, torque, torque_setting, &adapter, 25.0, 0.02);
    FIELD(torque, torque_nm);
    FIELD(torque, torque_u_nm);
    RECORD(torques, torque, torque_at_fastener, &adapter, 25.0, 0.02);
    FIELD(torque, torque_nm);
    FIELD(torque, torque_sd_nm);
    vector_begin("torque_setting_array", torques);
    vector_object(&adapter);
    vector_numbers(3, nm);
    vector_must(dialarc_torque_setting_array(&adapter, 3, nm, out));
    vector_put_all("1", 3, out);
}

static void minimum_calls(void)
{
    static const double angle[] = {-3, -2, -1, 0, 1, 2, 3};
    static const double dial[] = {0.09, 0.041, 0.01, 0, 0.011, 0.04, 0.091};
    const double falling[] = {-3, -2}, rising[] = {3, 2.2}, height[] = {0.06, 0.03};
    static dialarc_minimum minimum;
    dialarc_midpoints midpoints;
    double value, sd;
    vector_begin("minimum_fit", "refdata/regression.csv");
    vector_numbers(7, angle);
    vector_numbers(7, dial);
    vector_object(NULL);
    vector_must(dialarc_minimum_fit(7, angle, dial, NULL, &minimum));
    FIELD(minimum, angle_deg);
    FIELD(minimum, angle_sd_deg);
    FIELD(minimum, value_mm);
    FIELD(minimum, value_sd_mm);
    FIELD(minimum, bracketed);
    vector_put_all("1.coefficient", 3, minimum.coefficient);
    vector_keep(&minimum, "minimum");
    vector_begin("minimum_predict", "refdata/regression.csv");
    vector_object(&minimum);
    vector_number(0.5);
    vector_must(dialarc_minimum_predict(&minimum, 0.5, &value, &sd));
    vector_put("1", value);
    vector_put("2", sd);
    vector_begin("minimum_shape", "tests/record/test_minimum.c");
    vector_numbers(7, angle);
    vector_numbers(7, dial);
    vector_object(NULL);
    vector_must(dialarc_minimum_shape(7, angle, dial, NULL, &value));
    vector_put("1", value);
    vector_begin("minimum_midpoints", "tests/record/test_minimum.c");
    vector_numbers(2, falling);
    vector_numbers(2, rising);
    vector_object(NULL);
    vector_number(0.1);
    vector_must(dialarc_minimum_midpoints(2, falling, rising, NULL, 0.1, &midpoints));
    FIELD(midpoints, angle_deg);
    FIELD(midpoints, angle_sd_deg);
    vector_begin("minimum_midpoints", "tests/record/test_minimum.c");
    vector_numbers(2, falling);
    vector_numbers(2, rising);
    vector_numbers(2, height);
    vector_number(0.1);
    vector_must(dialarc_minimum_midpoints(2, falling, rising, height, 0.1, &midpoints));
    FIELD(midpoints, angle_deg);
    FIELD(midpoints, angle_sd_deg);
    FIELD(midpoints, lean_deg_per_mm);
}

/* A window that is asked for at a mark, and not at its zero. */
static void window_calls(const dialarc_sweep *sweep, dialarc_workspace *workspace)
{
    static dialarc_setup marked;
    dialarc_timing timing;
    dialarc_decision decision;
    vector_begin("setup_unknown", "");
    vector_whole(cam.lobes);
    marked = dialarc_setup_unknown(cam.lobes);
    vector_keep(&marked, "marked");
    marked.cam_law = cam.law;
    marked.rise_deg = cam.rise_deg;
    marked.top_dwell_deg = cam.top_dwell_deg;
    marked.base_dwell_deg = cam.base_dwell_deg;
    marked.lift_low_mm = 0.78;
    marked.lift_high_mm = 0.82;
    marked.window_at = DIALARC_WINDOW_AT_MARK;
    marked.window_crank_deg = -2;
    marked.turned = DIALARC_TURNED_SHAFT;
    SET(marked, cam_law);
    SET(marked, rise_deg);
    SET(marked, top_dwell_deg);
    SET(marked, base_dwell_deg);
    SET(marked, lift_low_mm);
    SET(marked, lift_high_mm);
    SET(marked, window_at);
    SET(marked, window_crank_deg);
    SET(marked, turned);
    vector_must(dialarc_assess(workspace, &marked, sweep, NULL, &timing, &decision));
    vector_begin("assess", "tests/assess/test_window.c");
    vector_object(&marked);
    vector_object(sweep);
    vector_put("1.timing.lift_mm", timing.lift_mm);
    vector_put("1.timing.lift_crank_deg", timing.lift_crank_deg);
    vector_put("1.decision.probability_in", decision.probability_in);
    vector_put("1.decision.tdc_sd_deg", decision.tdc_sd_deg);
    vector_put("1.decision.advice", (double)decision.advice);
}

/* The cam that a sweep teaches when the setup does not give it. */
static void learned_calls(const dialarc_sweep *sweep, dialarc_workspace *workspace)
{
    enum { POINTS = 16 };
    static dialarc_setup silent;
    static dialarc_learned_cam *learned;
    static dialarc_camtable *lobe;
    const char *source = "tests/assess/test_learned_cam.c";
    double sd, with, against, pump_deg[POINTS], lift_mm[POINTS];
    vector_begin("setup_unknown", "");
    vector_whole(cam.lobes);
    silent = dialarc_setup_unknown(cam.lobes);
    vector_keep(&silent, "silent");
    RECORD("", learned, learned_cam_new, workspace, &silent, sweep);
    vector_keep(learned, "learned");
    RECORD(source, sd, learned_cam_sd, learned);
    vector_put("1", sd);
    vector_begin("learned_cam_share", source);
    vector_object(learned);
    vector_must(dialarc_learned_cam_share(learned, &with, &against));
    vector_put("1", with);
    vector_put("2", against);
    vector_begin("learned_cam_lobe", source);
    vector_object(learned);
    vector_whole(POINTS);
    vector_must(dialarc_learned_cam_lobe(learned, POINTS, pump_deg, lift_mm));
    vector_put_all("2", POINTS, lift_mm);
    RECORD(source, lobe, learned_cam_table, learned);
    vector_keep(lobe, "lobe");
    RECORD(source, sd, camtable_angle_at_lift, lobe, 0.9, 1, 20.0);
    vector_put("1", sd);
    dialarc_camtable_free(lobe);
    dialarc_learned_cam_free(learned);
}

/* What readings will tell, which to take, and the next one; values of test_design.c. */
static void guide_calls(const dialarc_setup *setup, const dialarc_sweep *sweep,
                        dialarc_workspace *workspace)
{
    enum { N = 8 };
    static const double angles[N] = {-60, -50, -30, -25, -10, 0, 5, 10};
    static const dialarc_reach reach = {-60.0, 20.0, 2.0, 1};
    static dialarc_expectation expectation;
    static dialarc_next next;
    double crank_deg[N];
    MAKE(Reach, reach);
    SET(reach, first_crank_deg);
    SET(reach, last_crank_deg);
    SET(reach, step_crank_deg);
    SET(reach, both_ways);
    vector_begin("design_expect", "tests/guide/test_design.c");
    vector_object(workspace);
    vector_object(setup);
    vector_number(0.9);
    vector_numbers(N, angles);
    vector_must(dialarc_design_expect(workspace, setup, 0.9, N, angles, &expectation));
    FIELD(expectation, lift_u_mm);
    FIELD(expectation, lift_u_worst_mm);
    FIELD(expectation, budget.readings_mm);
    FIELD(expectation, usable);
    FIELD(expectation, chance_verdict);
    FIELD(expectation, narrowest_window_mm);
    FIELD(expectation, weakest);
    FIELD(expectation, findings.present);
    vector_begin("design_choose", "tests/guide/test_choose.c");
    vector_object(workspace);
    vector_object(setup);
    vector_number(0.9);
    vector_object(&reach);
    vector_whole(N);
    vector_must(dialarc_design_choose(workspace, setup, 0.9, &reach, N, crank_deg));
    vector_put_all("1", N, crank_deg);
    vector_begin("design_next", "tests/guide/test_next.c");
    vector_object(workspace);
    vector_object(setup);
    vector_object(sweep);
    vector_object(&reach);
    vector_must(dialarc_design_next(workspace, setup, sweep, &reach, &next));
    FIELD(next, prospect);
    FIELD(next, lift_u_mm);
    FIELD(next, advice);
}

static void estimate_calls(const dialarc_setup *setup)
{
    enum { N = 27 };
    static double crank[N], dial[N], residual[N];
    static dialarc_sweep sweep = {N, crank, dial, NULL};
    static dialarc_timing timing;
    dialarc_decision decision;
    dialarc_workspace *workspace = dialarc_workspace_new();
    const char *source = "tests/assess/test_assess_accuracy.c";
    double at, lift;
    vector_must(dialarc_cam_angle_at_lift(&cam, 0.9, DIALARC_FLANK_RISING, &at));
    for (int i = 0; i < N; i++) {
        crank[i] = 2.5 * i - 60;
        vector_must(dialarc_cam_lift(&cam, at + crank[i] / 2, &lift));
        dial[i] = round(lift * 200 + (i % 3 ? 0.3 : -0.2)) / 200 + 0.015;
    }
    vector_begin("workspace_new", "");
    vector_keep(workspace, "workspace");
    vector_begin("make_sweep", "");
    vector_numbers(N, crank);
    vector_numbers(N, dial);
    vector_object(NULL);
    vector_keep(&sweep, "sweep");
    vector_begin("timing_estimate", source);
    vector_object(workspace);
    vector_object(setup);
    vector_object(&sweep);
    vector_must(dialarc_timing_estimate(workspace, setup, &sweep, residual, &timing));
    vector_put_all("1", N, residual);
#define TIMING(field) vector_put("2." #field, (double)timing.field)
    TIMING(lift_mm);
    TIMING(lift_u_mm);
    TIMING(lift_crank_deg);
    TIMING(budget.readings_mm);
    TIMING(budget.dial_mm);
    TIMING(budget.wheel_mm);
    TIMING(budget.total_mm);
    TIMING(minimum_mm);
    TIMING(minimum_crank_deg);
    TIMING(rate_mm_per_crank_deg);
    TIMING(scatter);
    TIMING(readings_used);
    TIMING(findings.present);
    vector_must(dialarc_decision_judge(setup, &timing, &decision));
    vector_begin("assess", "tests/decision/test_decision.c");
    vector_object(setup);
    vector_object(&sweep);
#define DECISION(field) vector_put("1.decision." #field, (double)decision.field)
    DECISION(verdict);
    DECISION(probability_in);
    DECISION(advance_error_crank_deg);
    DECISION(turn_u_pump_deg);
    DECISION(turn_rim_mm);
    DECISION(turn_body_mm);
    DECISION(tdc_sd_deg);
    DECISION(tdc_sd_needed_deg);
    DECISION(advice);
    window_calls(&sweep, workspace);
    learned_calls(&sweep, workspace);
    guide_calls(setup, &sweep, workspace);
    dialarc_workspace_free(workspace);
}

static void whatif_calls(const dialarc_setup *setup)
{
    static dialarc_whatif whatif, stretched;
    dialarc_outcome outcome, slope[DIALARC_WHATIF_COUNT];
    dialarc_whatif_result spread;
    RECORD("", whatif, whatif_from_setup, setup);
    vector_keep(&whatif, "whatif");
    RECORD("tests/decision/test_whatif.c", outcome, whatif_evaluate, &whatif);
    FIELD(outcome, lift_mm);
    FIELD(outcome, advance_crank_deg);
    RECORD("tests/decision/test_whatif.c", spread, whatif_propagate, &whatif, 2000, 1);
    FIELD(spread, value.lift_mm);
    FIELD(spread, sd.lift_mm);
    FIELD(spread, advance_crank_deg.shortest_low);
    vector_begin("whatif_change", "");
    vector_words("whatif stretch_advance_crank_deg -0.4");
    vector_must(
        dialarc_whatif_change(&whatif, "stretch_advance_crank_deg", -0.4, &stretched));
    vector_keep(&stretched, "stretched");
    RECORD("tests/decision/test_whatif.c", outcome, whatif_evaluate, &stretched);
    FIELD(outcome, lift_mm);
    FIELD(outcome, advance_crank_deg);
    vector_must(dialarc_whatif_sensitivity(&whatif, slope));
    for (int i = 0; i < DIALARC_WHATIF_COUNT; i++) {
        vector_begin("whatif_sensitivity", "tests/decision/test_whatif.c");
        vector_object(&whatif);
        vector_whole(i);
        FIELD(slope[i], lift_mm);
        FIELD(slope[i], advance_crank_deg);
    }
}

/* Two looks at one setting; values of test_joint.c. */
static void joint_calls(const dialarc_setup *setup)
{
    static const dialarc_look early = {0.901, 0.002, 0.004, 0.001, 0.0015, 0.0005,
                                       0.001, 0,     0,     0,     0},
                              later = {0.898, 0.003, 0.004, 0.001, 0.0015, 0.0005,
                                       0.001, 0,     0,     1,     0};
    const dialarc_look looks[] = {early, later};
    static dialarc_joint joint;
#define LOOK(object)                                                                     \
    MAKE(Look, object);                                                                  \
    SET(object, lift_mm);                                                                \
    SET(object, readings_mm);                                                            \
    SET(object, tdc_mm);                                                                 \
    SET(object, hysteresis_mm);                                                          \
    SET(object, dial_mm);                                                                \
    SET(object, wheel_mm);                                                               \
    SET(object, cam_mm);                                                                 \
    SET(object, wheel)
    LOOK(early);
    LOOK(later);
    vector_begin("joint_assess", "tests/decision/test_joint.c");
    vector_object(setup);
    vector_words("early;later");
    vector_must(dialarc_joint_assess(setup, 2, looks, &joint));
    FIELD(joint, lift_mm);
    FIELD(joint, lift_u_mm);
    FIELD(joint, budget.readings_mm);
    FIELD(joint, budget.tdc_mm);
    FIELD(joint, budget.wheel_mm);
    FIELD(joint, excess_mm);
    FIELD(joint, agree_probability);
    FIELD(joint, verdict);
    FIELD(joint, probability_in);
    FIELD(joint, sure);
}

/* Two hands on two engines; values of test_gaugestudy.c. */
static void gauge_calls(void)
{
    static const dialarc_gauge_lift left = {0.902, 0, 0}, again = {0.905, 0, 0},
                                    right = {0.911, 0, 1}, far = {0.871, 1, 0},
                                    other = {0.884, 1, 1};
    const dialarc_gauge_lift lifts[] = {left, again, right, far, other};
    static dialarc_gauge_study study;
    static dialarc_gauge_window judged;
#define GAUGE_LIFT(object)                                                               \
    MAKE(GaugeLift, object);                                                             \
    SET(object, lift_mm);                                                                \
    SET(object, engine);                                                                 \
    SET(object, hand)
    GAUGE_LIFT(left);
    GAUGE_LIFT(again);
    GAUGE_LIFT(right);
    GAUGE_LIFT(far);
    GAUGE_LIFT(other);
    vector_begin("gauge_assess", "tests/guide/test_gaugestudy.c");
    vector_words("left;again;right;far;other");
    vector_must(dialarc_gauge_assess(5, lifts, &study));
    FIELD(study, lifts);
    FIELD(study, mean_mm);
    FIELD(study, by_engine.mean_square_mm2);
    FIELD(study, by_hand.f);
    FIELD(study, within.dof);
    FIELD(study, engine.variance_mm2);
    FIELD(study, hand.sd_mm);
    FIELD(study, repetition.sd_high_mm);
    FIELD(study, reproducibility.sd_low_mm);
    vector_keep(&study, "study");
    RECORD("tests/guide/test_gaugestudy.c", judged, gauge_judge, &study, 0.8, 1.0, 0.003);
    FIELD(judged, can);
    FIELD(judged, sd_mm);
    FIELD(judged, narrowest_window_mm);
    FIELD(judged, producer);
}

static void state_engine(dialarc_setup *setup)
{
    setup->lift_low_mm = 0.86;
    setup->lift_high_mm = 0.94;
    setup->cam_law = DIALARC_LAW_POLY345;
    setup->cam_lift_mm = 2.2;
    setup->rise_deg = 38;
    setup->top_dwell_deg = 2;
    setup->base_dwell_deg = 10;
    setup->dial_step_mm = 0.005;
    setup->sprocket_teeth = 44;
    setup->sprocket_radius_mm = 66;
    setup->rotation = DIALARC_ROTATION_CW;
    setup->turned = DIALARC_TURNED_BODY;
    setup->turn_back = DIALARC_TURN_BACK_FORBIDDEN;
    setup->firing_tdc = DIALARC_FIRING_TDC_NOT_SEEN;
    setup->body_radius_mm = 75;
}

void vectors_setting(void)
{
    static dialarc_setup setup;
    static const dialarc_round first = {1, 0, 0.780, 0}, second = {1, 0, 0.765, 1},
                               third = {2, 0, 0.95, 0};
    const dialarc_round rounds[] = {first, second, third};
    static dialarc_plan plan;
    dialarc_step step;
    minimum_calls();
    vector_begin("setup_unknown", "");
    vector_whole(4);
    setup = dialarc_setup_unknown(4);
    vector_keep(&setup, "setup");
    state_engine(&setup);
    SET(setup, lift_low_mm);
    SET(setup, lift_high_mm);
    SET(setup, cam_law);
    SET(setup, cam_lift_mm);
    SET(setup, rise_deg);
    SET(setup, top_dwell_deg);
    SET(setup, base_dwell_deg);
    SET(setup, dial_step_mm);
    SET(setup, sprocket_teeth);
    SET(setup, sprocket_radius_mm);
    SET(setup, rotation);
    SET(setup, turned);
    SET(setup, turn_back);
    SET(setup, firing_tdc);
    SET(setup, body_radius_mm);
#define ROUND(object)                                                                    \
    MAKE(Round, object);                                                                 \
    SET(object, round);                                                                  \
    SET(object, minimum_mm);                                                             \
    SET(object, tdc_mm);                                                                 \
    SET(object, tight)
    ROUND(first);
    ROUND(second);
    ROUND(third);
    joint_calls(&setup);
    gauge_calls();
    vector_begin("plan_rounds", "tests/decision/test_rounds.c");
    vector_object(&setup);
    vector_words("first;second;third");
    vector_must(dialarc_plan_rounds(&setup, 3, rounds, &plan));
    FIELD(plan, lift_mm);
    FIELD(plan, lift_u_mm);
    FIELD(plan, shift_mm);
    FIELD(plan, decision.probability_in);
    FIELD(plan, decision.turn_pump_deg);
    FIELD(plan, decision.tdc_sd_needed_deg);
    FIELD(plan, decision.advice);
    vector_keep(&plan, "plan");
    for (int which = 0; which < 4; which++) {
        vector_begin("next_round_step", "tests/guide/test_next_steps.c");
        vector_object(&setup);
        vector_object(&plan);
        vector_whole(which);
        vector_must(dialarc_next_round_step(&setup, &plan, (size_t)which, &step));
        FIELD(step, code);
        FIELD(step, number);
        FIELD(step, turn_pump_deg);
        FIELD(step, turn_teeth);
        FIELD(step, back_crank_deg);
        FIELD(step, aim_mm);
    }
    whatif_calls(&setup);
    estimate_calls(&setup);
}
