# SPDX-License-Identifier: GPL-3.0-or-later
"""Every function that the C library exports is called from Python, by name."""
import io
import math
import tempfile
import unittest

import kit
from kit import DEMO, TOP, dialarc as d

CAM = kit.cam()
X = [1.0, 2.0, 30.0]
TABLE = d.camtable_from_cam(CAM, 360)
CRANK = d.Crank(40.0, 130.0, 0.5)
STAGES = [d.Stage(20, 40, 0, 9.525, 0.1, 0.05)]
DIAL = d.Dial(0.01, 1.0, 1, 2.0, "flat")
ARCS = d.Arcs(22.0, 14.0, 6.0, 7.0)
CAL = d.DialCal([0.0, 1.0, 2.0], [0.0, 1.001, 2.003])
DIALS_TABLE = (b"dial,shown_mm,true_mm,u_mm,calibrated_on,certificate\n"
               b"a,0,0,0.001,2026-03-02,invented 17\na,1,1.001,0.001,,\n")
DIALS = d.dials_read(DIALS_TABLE)
ROWS_TABLE = b"block_mm,way\n1.5,up\n"
ROWS = d.rows_read(ROWS_TABLE, "block_mm! way")
WHEEL = d.wheel_from_pointers([0.0, 120.0, 240.0], [180.2, 300.1, 59.9], 0.1)
WITNESSES = [d.Witness(2.0, 0.2, 0.3), d.Witness(2.3, 0.4, 0.3), d.Witness(1.9, 0.5)]
FUEL = d.fuel_diesel()
LINE = d.Line(600.0, 1.6, 6.0, 206000.0, 0.3)
PLUNGER = d.Plunger(9.0, 0.3, 1.0)
DEVICE = d.Injection([500.0, 2000.0], [0.0, 5.0], 0.6)
SPAN = d.Span(0.2, 200.0)
ADAPTER = d.Adapter(400.0, 50.0, 0.0)
WEAR = d.Wear(1e-4, 50.0, 1e-4)
SCCA = d.Scca(0.25, 0.5, 0.25)
FOLLOWER = d.Follower(40.0, 6.0)
INSPECTION = d.Inspection(0.9, 0.02, 0.005, 0.86, 0.94, 0.0)
INPUTS = [d.Input("normal", 1.0, 0.1), d.Input("rectangular", 2.0, 0.1)]
SETUPS = d.setups_load(DEMO / "setups.csv")
SETUP = d.setups_get(SETUPS, 0)
SWEEPS = d.sweeps_load(DEMO / "sweeps.csv", SETUPS)
SWEEP = d.sweeps_get(SWEEPS, 0)
JOBS = d.jobs_load(DEMO / "rounds.csv", SETUPS)
WORKSPACE = d.Workspace()
CAMS_TABLE = (d.cams_header()
              + "a,0,0,90,0.002\na,30,2,90,0.002\na,60,1,90,0.002\n").encode()
CAMS = d.cams_read(CAMS_TABLE)
TIMING = d.timing_estimate(WORKSPACE, SETUP, SWEEP)[1]
DECISION = d.decision_judge(SETUP, TIMING)
LOOK = d.joint_look(TIMING)
LIFTS = [d.GaugeLift(0.9 + 0.01 * k, k % 3, k % 2) for k in range(12)]
LIFTS_TABLE = b"sweep,setup,hand,lift_mm\na,heron4,left,0.9\n"
REACH = d.Reach(-90.0, 20.0, 2.0, 0)
PLAN = d.plan_rounds(SETUP, d.jobs_get(JOBS, 0).rounds)
STEP = d.next_step(SETUP, TIMING, DECISION, 0)
JOINT = d.joint_assess(SETUP, [LOOK, LOOK])
WHATIF = d.whatif_from_setup(SETUP)
ANGLES = [-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0]
BOWL = [0.09, 0.041, 0.01, 0.0, 0.011, 0.04, 0.091]
MINIMUM = d.minimum_fit(ANGLES, BOWL)
ERROR = d.ErrorPlace("err_table", 12, 11, 3, "dial_mm", "not a number")
TONE = [math.exp(-3.0 * i / 8000) * math.sin(2 * math.pi * 150.0 * i / 8000)
        for i in range(8000)]


def learned():
    return d.learned_cam_new(None, d.Setup(lobes=4), SWEEP)


def live():
    return d.live_new(SETUP, REACH)


def live_with_one():
    taken = live()
    d.live_hear(taken, "-30 0.1\n", 0.0)
    return taken


def archive():
    kept = d.archive_new()
    d.archive_add(kept, None, SETUP, SWEEP)
    return kept


def from_file(load, table):
    with tempfile.NamedTemporaryFile(suffix=".csv") as file:
        file.write(table)
        file.flush()
        return load(file.name)


def next_sweep():
    reader = d.sweep_reader_new((DEMO / "sweeps.csv").read_bytes(), SETUPS)
    return d.sweep_reader_next(reader, d.sweep_buffer_new())


def dropped(make):
    """Makes a thing and drops it: that calls the function that frees it."""
    thing = make()
    name = type(thing).__name__
    del thing
    return name


CALLS = {
    "advice_name": lambda: d.advice_name("find_tdc"),
    "advice_text": lambda: d.advice_text("turn"),
    "arcs_motion": lambda: d.arcs_motion(ARCS, 2.3, 38.0, 0.3),
    "arcs_slope": lambda: d.arcs_slope(ARCS, 2.3, 38.0),
    "angle_crank_from_pump": lambda: d.angle_crank_from_pump(X, 2.0),
    "angle_difference": lambda: d.angle_difference(350.0, 10.0, 360.0),
    "angle_from_rim_arc": lambda: d.angle_from_rim_arc(1.0, 60.0),
    "angle_pump_from_crank": lambda: d.angle_pump_from_crank(X, 2.0),
    "angle_rate_from_speed": lambda: d.angle_rate_from_speed(800.0),
    "angle_rim_arc": lambda: d.angle_rim_arc(1.0, 60.0),
    "angle_speed_from_rate": lambda: d.angle_speed_from_rate(4800.0),
    "angle_wrap": lambda: d.angle_wrap(370.0, 360.0),
    "angle_wrap_array": lambda: d.angle_wrap(X, 360.0),
    "angle_wrap_signed": lambda: d.angle_wrap_signed(370.0, 360.0),
    "angle_wrap_signed_array": lambda: d.angle_wrap_signed(X, 360.0),
    "batch_assess": lambda: d.batch_assess([SETUP, SETUP], [SWEEP, SWEEP]),
    "belt_force_from_tension": lambda: d.belt_force_from_tension(SPAN, 300.0, 3.0),
    "belt_frequency_from_tension": lambda: d.belt_frequency_from_tension(SPAN, 300.0),
    "belt_length": lambda: d.belt_length(120, 9.525),
    "belt_pitch_diameter": lambda: d.belt_pitch_diameter(40, 9.525),
    "belt_span_length": lambda: d.belt_span_length(200.0, 60.0, 120.0, 0),
    "belt_tension_from_deflection":
        lambda: d.belt_tension_from_deflection(SPAN, 20.0, 0.5, 3.0, 0.1),
    "belt_tension_from_frequency":
        lambda: d.belt_tension_from_frequency(SPAN, 150.0, 0.5),
    "belt_tension_from_frequency_array":
        lambda: d.belt_tension_from_frequency_array(SPAN, [150.0, 160.0]),
    "cam_acceleration": lambda: d.cam_acceleration(CAM, 10.0),
    "cam_acceleration_array": lambda: d.cam_acceleration(CAM, X),
    "cam_angle_at_lift": lambda: d.cam_angle_at_lift(CAM, 1.0, "rising"),
    "cam_angle_at_lift_array": lambda: d.cam_angle_at_lift(CAM, [1.0, 2.0], "falling"),
    "cam_check": lambda: d.cam_check(CAM) is None,
    "cam_from_table": lambda: d.cam_from_table(TABLE),
    "cam_fall_deg": lambda: d.cam_fall_deg(CAM),
    "cam_lift": lambda: d.cam_lift(CAM, 10.0),
    "cam_lift_array": lambda: d.cam_lift(CAM, X),
    "cam_rate": lambda: d.cam_rate(CAM, 10.0),
    "cam_rate_array": lambda: d.cam_rate(CAM, X),
    "camcompare_array": lambda: d.camcompare_array(TABLE, TABLE, 1, 0.001, X),
    "camcompare_summary": lambda: d.camcompare_summary(TABLE, TABLE, 1, 0, 0.003),
    "cam_format": lambda: d.cam_format("b", [0.0, 30.0, 60.0], [0.0, 1.0, 0.5], 90.0,
                                       0.002),
    "cams_count": lambda: d.cams_count(CAMS),
    "cams_find": lambda: d.cams_find(CAMS, "a") == 0,
    "cams_free": lambda: dropped(lambda: d.cams_read(CAMS_TABLE)),
    "cams_get": lambda: d.cams_get(CAMS, 0),
    "cams_header": lambda: d.cams_header(),
    "cams_load": lambda: from_file(d.cams_load, CAMS_TABLE),
    "cams_name": lambda: d.cams_name(CAMS, 0),
    "cams_read": lambda: d.cams_read(CAMS_TABLE),
    "camtable_angle_at_lift": lambda: d.camtable_angle_at_lift(TABLE, 1.0, "rising",
                                                               20.0),
    "camtable_free": lambda: dropped(lambda: d.camtable_from_cam(CAM, 90)),
    "camtable_from_cam": lambda: d.camtable_from_cam(CAM, 90),
    "camtable_from_arcs": lambda: d.camtable_from_arcs(CAM, ARCS, ARCS, 90),
    "camtable_from_scca": lambda: d.camtable_from_scca(
        CAM, d.Scca(0.25, 0.5, 0.25), d.Scca(0.25, 0.5, 0.25), 90),
    "camtable_share": lambda: d.camtable_share(TABLE),
    "camtable_lift_array": lambda: d.camtable_lift_array(TABLE, X),
    "camtable_motion": lambda: d.camtable_motion(TABLE, 10.0),
    "camtable_new": lambda: d.camtable_new([0.0, 30.0, 60.0], [0.0, 1.0, 0.5], 90.0),
    "camtable_motion_sd": lambda: d.camtable_motion_sd(TABLE, 10.0),
    "camtable_range": lambda: d.camtable_range(TABLE),
    "camtable_smooth": lambda: d.camtable_smooth(
        [10.0 * i for i in range(9)], [0.0, 0.2, 1.0, 1.8, 2.0, 1.7, 0.9, 0.1, 0.0], 90.0,
        0.003),
    "camtable_smoothing": lambda: d.camtable_smoothing(TABLE),
    "conformity_acceptance": lambda: d.conformity_acceptance(0.975, 0.005, 0.86, 0.9),
    "conformity_budget": lambda: d.conformity_budget(0.975, 0.86, 0.9),
    "conformity_guard_band": lambda: d.conformity_guard_band(0.95, 0.01),
    "conformity_probabilities":
        lambda: d.conformity_probability([0.9, 0.95], [0.01, 0.01], 0.86, 0.94),
    "conformity_probability": lambda: d.conformity_probability(0.9, 0.01, 0.86, 0.94),
    "conformity_risks": lambda: d.conformity_risks(INSPECTION),
    "conformity_split": lambda: d.conformity_split(0.9, 0.01, 0.86, 0.94),
    "conformity_z": lambda: d.conformity_z(0.95),
    "crank_angle_at_drop": lambda: d.crank_angle_at_drop(CRANK, 5.0, "after"),
    "crank_bdc_deg": lambda: d.crank_bdc_deg(CRANK),
    "crank_check": lambda: d.crank_check(CRANK) is None,
    "crank_drop_array": lambda: d.crank_drop_array(CRANK, X),
    "crank_motion_at": lambda: d.crank_motion_at(CRANK, 10.0),
    "crank_stroke_mm": lambda: d.crank_stroke_mm(CRANK),
    "crank_tdc_throw_deg": lambda: d.crank_tdc_throw_deg(CRANK),
    "crank_velocity": lambda: d.crank_velocity(CRANK, 10.0, 800.0),
    "decision_judge": lambda: d.decision_judge(SETUP, TIMING),
    "deg_from_rad": lambda: d.deg_from_rad(1.0),
    "delivery_buildup": lambda: d.delivery_buildup(CAM, 2.0, PLUNGER, 30.0),
    "delivery_compute": lambda: d.delivery_compute(CAM, 2.0, PLUNGER, 0.9),
    "delivery_lift": lambda: d.delivery_lift(CAM, 2.0, 0.3, 10.0),
    "delivery_rate_array": lambda: d.delivery_rate_array(CAM, 2.0, 9.0, X),
    "delivery_start": lambda: d.delivery_start(CAM, 2.0, 0.3, 0.9),
    "delivery_stroke": lambda: d.delivery_stroke(9.0, 30.0),
    "delivery_volume": lambda: d.delivery_volume(9.0, 0.5),
    "design_choose": lambda: d.design_choose(None, SETUP, 0.9, REACH, 8),
    "design_expect": lambda: d.design_expect(None, SETUP, 0.9, [-90.0, -60.0, 0.0]),
    "design_next": lambda: d.design_next(None, SETUP, SWEEP, REACH),
    "dial_check": lambda: d.dial_check(DIAL) is None,
    "dial_reading": lambda: d.dial_reading(DIAL, 1.0),
    "dial_round": lambda: d.dial_round(DIAL, 1.004),
    "dial_travel": lambda: d.dial_travel(DIAL, 1.0),
    "dial_travel_array": lambda: d.dial_travel(DIAL, X),
    "dial_unwrap": lambda: d.dial_unwrap(1.0, 0.2, 1.1),
    "dial_unwrap_array": lambda: d.dial_unwrap_array(1.0, 0.0, [0.1, 0.4, 0.8, 0.1]),
    "dialcal_count": lambda: d.dialcal_count(CAL),
    "dialcal_new": lambda: d.dialcal_new([0.0, 1.0], [0.0, 1.001], 0.0005),
    "dialcal_point": lambda: d.dialcal_point(CAL, 1),
    "dialcal_range": lambda: d.dialcal_range(CAL),
    "dialcal_free": lambda: dropped(lambda: d.DialCal([0.0, 1.0], [0.0, 1.0])),
    "dialcal_share": lambda: d.dialcal_share(CAL),
    "dialcal_shown": lambda: d.dialcal_shown(CAL, [0.5, 1.5]),
    "dialcal_true": lambda: d.dialcal_true(CAL, 0.5),
    "dials_calibrated_on": lambda: d.dials_calibrated_on(DIALS, 0),
    "dials_certificate": lambda: d.dials_certificate(DIALS, 0),
    "dials_count": lambda: d.dials_count(DIALS),
    "dials_find": lambda: d.dials_find(DIALS, "a") == 0,
    "dials_free": lambda: dropped(lambda: d.dials_read(DIALS_TABLE)),
    "dials_load": lambda: from_file(d.dials_load, DIALS_TABLE),
    "dials_name": lambda: d.dials_name(DIALS, 0),
    "dials_read": lambda: d.dials_read(DIALS_TABLE),
    "dials_share": lambda: d.dials_share(DIALS, 0),
    "dialcheck_assess": lambda: d.dialcheck_assess(
        [0.0, 0.5, 1.0], [0.0, 0.501, 1.0], [1, 1, 1], 0.01, 1.0, 0.0005),
    "dialcheck_calibration": lambda: d.dialcheck_calibration(
        [0.0, 0.5, 1.0], [0.0, 0.501, 1.0], [1, 1, 1], 0.001),
    "dialcheck_proof": lambda: d.dialcheck_proof(0.008, 0.001, 0.01, 0.95),
    "diallimit_lift_sd": lambda: d.diallimit_lift_sd(0.01),
    "diallimit_mm": lambda: d.diallimit_mm("standard", 0.01, 10.0, "one_turn"),
    "diallimit_reading_sd": lambda: d.diallimit_reading_sd(0.01),
    "drive_arc": lambda: d.drive_arc(STAGES, 0, 1.0),
    "drive_check": lambda: d.drive_check(STAGES) is None,
    "drive_ratio": lambda: d.drive_ratio(STAGES),
    "drive_slack": lambda: d.drive_slack(STAGES),
    "drive_stretch": lambda: d.drive_stretch(STAGES),
    "drive_tooth": lambda: d.drive_tooth(STAGES, 0),
    "errors_text": lambda: d.errors_text(ERROR, "sweeps.csv"),
    "error_text": lambda: d.error_text(ERROR, "sweeps.csv"),
    "finding_code": lambda: d.finding_code("zero_drift"),
    "finding_text": lambda: d.finding_text("zero_drift"),
    "findings_has": lambda: d.findings_has(TIMING.findings, "zero_drift") == 0,
    "findings_worst": lambda: d.findings_worst(TIMING.findings),
    "follower_curvature": lambda: d.follower_curvature(FOLLOWER, 0.05, 0.001),
    "follower_pitch": lambda: d.follower_pitch(FOLLOWER, X, X, X),
    "follower_pressure": lambda: d.follower_pressure(FOLLOWER, 0.05),
    "follower_surface": lambda: d.follower_surface(FOLLOWER, X, X, X),
    "follower_survey_cam": lambda: d.follower_survey_cam(FOLLOWER, CAM),
    "fuel_compression": lambda: d.fuel_compression(1000.0, 1500.0, 20.0),
    "fuel_density": lambda: d.fuel_density(FUEL, 40.0, 20.0),
    "fuel_diesel": lambda: d.fuel_diesel(),
    "fuel_mean_modulus": lambda: d.fuel_mean_modulus(FUEL, 40.0, 0.0, 15.0),
    "fuel_modulus": lambda: d.fuel_modulus(FUEL, 40.0, 20.0),
    "fuel_sound": lambda: d.fuel_sound(FUEL, 40.0, 20.0),
    "fuel_sound_from_modulus": lambda: d.fuel_sound_from_modulus(1500.0, 835.0),
    "in_from_mm": lambda: d.in_from_mm(25.4),
    "injection_advance": lambda: d.injection_advance(DEVICE, 1000.0),
    "injection_advance_line": lambda: d.injection_advance_line(500.0, 2000.0, 5.0, 800.0),
    "injection_delay": lambda: d.injection_delay(0.6, 800.0),
    "injection_dynamic": lambda: d.injection_dynamic(DEVICE, 8.0, 800.0),
    "injection_dynamic_array": lambda: d.injection_dynamic(DEVICE, 8.0, [800.0, 1000.0]),
    "injection_from_lift":
        lambda: d.injection_from_lift(DEVICE, CAM, 2.0, 0.3, 0.9, 800.0),
    "injection_static": lambda: d.injection_static(DEVICE, 8.0, 800.0),
    "injection_to_lift": lambda: d.injection_to_lift(DEVICE, CAM, 2.0, 0.3, 8.0, 800.0),
    "input_sd": lambda: d.input_sd(INPUTS[0]),
    "jobs_count": lambda: d.jobs_count(JOBS),
    "jobs_free": lambda: dropped(lambda: d.jobs_load(DEMO / "rounds.csv", SETUPS)),
    "jobs_get": lambda: d.jobs_get(JOBS, 0),
    "jobs_load": lambda: d.jobs_load(DEMO / "rounds.csv", SETUPS),
    "jobs_read": lambda: d.jobs_read((DEMO / "rounds.csv").read_bytes(), SETUPS),
    "joint_assess": lambda: d.joint_assess(SETUP, [LOOK]),
    "joint_judge": lambda: d.joint_judge(SETUP, TIMING, JOINT),
    "joint_look": lambda: d.joint_look(TIMING),
    "joint_timing": lambda: d.joint_timing(TIMING, JOINT),
    "k_at_0_celsius": lambda: d.k_at_0_celsius(),
    "k_from_celsius": lambda: d.k_from_celsius(20.0),
    "celsius_from_k": lambda: d.celsius_from_k(300.0),
    "bar_from_pa": lambda: d.bar_from_pa(1e5),
    "law_from_name": lambda: d.law_from_name("poly345"),
    "law_motion": lambda: d.law_motion("cycloidal", 0.0, 0.3),
    "law_name": lambda: d.law_name("cycloidal"),
    "law_peak_factors": lambda: d.law_peak_factors("cycloidal", 0.0),
    "lbf_from_n": lambda: d.lbf_from_n(10.0),
    "lbf_ft_from_nm": lambda: d.lbf_ft_from_nm(10.0),
    "lbf_in_from_nm": lambda: d.lbf_in_from_nm(10.0),
    "line_delay": lambda: d.line_delay(600.0, 1300.0),
    "line_modulus": lambda: d.line_modulus(LINE, 1500.0),
    "line_sound": lambda: d.line_sound(LINE, 1500.0, 835.0),
    "line_volume": lambda: d.line_volume(LINE),
    "lobes_assign": lambda: d.lobes_assign([1, 3, 4, 2], 1, "cw"),
    "lobes_estimate": lambda: d.lobes_estimate(None, SETUP, SWEEP),
    "minimum_fit": lambda: d.minimum_fit(ANGLES, BOWL, [0.002] * 7),
    "minimum_midpoints":
        lambda: d.minimum_midpoints([-3.0, -2.0], [3.0, 2.2], None, 0.1),
    "minimum_predict": lambda: d.minimum_predict(MINIMUM, 0.5),
    "minimum_shape": lambda: d.minimum_shape(ANGLES, BOWL),
    "mm_from_in": lambda: d.mm_from_in(1.0),
    "mm_per_in": lambda: d.mm_per_in(),
    "n_from_lbf": lambda: d.n_from_lbf(1.0),
    "n_per_lbf": lambda: d.n_per_lbf(),
    "nm_from_lbf_ft": lambda: d.nm_from_lbf_ft(1.0),
    "nm_from_lbf_in": lambda: d.nm_from_lbf_in(1.0),
    "nm_per_lbf_ft": lambda: d.nm_per_lbf_ft(),
    "nm_per_lbf_in": lambda: d.nm_per_lbf_in(),
    "nm_from_kgf_m": lambda: d.nm_from_kgf_m(1.0),
    "kgf_m_from_nm": lambda: d.kgf_m_from_nm(1.0),
    "nm_from_kgf_cm": lambda: d.nm_from_kgf_cm(1.0),
    "kgf_cm_from_nm": lambda: d.kgf_cm_from_nm(1.0),
    "pa_from_psi": lambda: d.pa_from_psi(1.0),
    "psi_from_pa": lambda: d.psi_from_pa(1.0),
    "celsius_from_fahrenheit": lambda: d.celsius_from_fahrenheit(1.0),
    "fahrenheit_from_celsius": lambda: d.fahrenheit_from_celsius(1.0),
    "nm_per_kgf_m": d.nm_per_kgf_m,
    "nm_per_kgf_cm": d.nm_per_kgf_cm,
    "pa_per_psi": d.pa_per_psi,
    "drive_warming": lambda: d.drive_warming(180.0, 65.0, 2.3e-5, 0.5e-5),
    "flywheel_angle": lambda: d.flywheel_angle(30.0, 140.0),
    "flywheel_chord": lambda: d.flywheel_chord(12.0, 140.0),
    "pa_from_bar": lambda: d.pa_from_bar(1.0),
    "pa_per_bar": lambda: d.pa_per_bar(),
    "next_round_step": lambda: d.next_round_step(SETUP, PLAN, 0),
    "next_step": lambda: d.next_step(SETUP, TIMING, DECISION, 0),
    "plan_rounds": lambda: d.plan_rounds(SETUP, d.jobs_get(JOBS, 0).rounds),
    "play_driven": lambda: d.play_driven(0.5, 1.0, 0.0),
    "play_driven_array": lambda: d.play_driven_array(0.5, 0.0, X),
    "play_reading": lambda: d.play_reading(0.01, 1.0, 0.0),
    "play_reading_array": lambda: d.play_reading_array(0.01, 0.0, X),
    "pluck_frequency": lambda: d.pluck_frequency(TONE, 8000.0, 20.0, 600.0),
    "pluck_span_frequency":
        lambda: d.pluck_span_frequency(TONE, 8000.0, 20.0, 600.0, SPAN),
    "propagate_adaptive": lambda: d.propagate_adaptive(
        INPUTS, None, lambda x: x[0] * x[1], 1, 20000, 1, 0.95),
    "propagate_budget": lambda: d.propagate_budget(INPUTS, None, lambda x: x[0] * x[1]),
    "propagate_linear": lambda: d.propagate_linear(INPUTS, lambda x: x[0] * x[1]),
    "propagate_monte_carlo":
        lambda: d.propagate_monte_carlo(INPUTS, lambda x: x[0] * x[1], 200, 1, 0.95),
    "rad_from_deg": lambda: d.rad_from_deg(1.0),
    "read_file": lambda: d.read_file(DEMO / "setups.csv", 5),
    "read_memory": lambda: d.read_memory(b"setup,lobes", 6, 100),
    "result_format": lambda: d.result_format("a", TIMING, DECISION),
    "results_header": lambda: d.results_header(),
    "reuse_estimate": lambda: d.reuse_estimate(WORKSPACE, SETUP, TABLE, 0.005, SWEEP),
    "scca_motion": lambda: d.scca_motion(SCCA, 0.3),
    "scca_peak_factors": lambda: d.scca_peak_factors(SCCA),
    "setup_cam_known": lambda: d.setup_cam_known(SETUP),
    "setup_check": lambda: d.setup_check(SETUP) is None,
    "setup_unknown": lambda: d.setup_unknown(4),
    "setups_count": lambda: d.setups_count(SETUPS),
    "setups_dial": lambda: d.setups_dial(SETUPS, 1),
    "setups_find": lambda: d.setups_find(SETUPS, "badger6"),
    "setups_use_dials": lambda: d.setups_use_dials(
        d.setups_read(b"setup,lobes,dial\nx,4,a\n"), DIALS) is None,
    "setups_free": lambda: dropped(lambda: d.setups_load(DEMO / "setups.csv")),
    "setups_get": lambda: d.setups_get(SETUPS, 1),
    "setups_load": lambda: d.setups_load(DEMO / "setups.csv"),
    "setups_name": lambda: d.setups_name(SETUPS, 1),
    "setups_read": lambda: d.setups_read(io.BytesIO((DEMO / "setups.csv").read_bytes())),
    "severity_name": lambda: d.severity_name("stop") == "stop",
    "severity_text": lambda: d.severity_text("stop"),
    "status_name": lambda: d.status_name("err_lift"),
    "status_text": lambda: d.status_text("err_lift"),
    "stream_assess": lambda: d.stream_assess((DEMO / "sweeps.csv").read_bytes(), SETUPS),
    "step_text": lambda: d.step_text(SETUP, STEP),
    "sweep_buffer_free": lambda: dropped(d.SweepBuffer),
    "sweep_buffer_new": lambda: d.sweep_buffer_new(),
    "sweep_reader_free": lambda: dropped(
        lambda: d.sweep_reader_new((DEMO / "sweeps.csv").read_bytes(), SETUPS)),
    "sweep_reader_new": lambda: d.sweep_reader_new(
        (DEMO / "sweeps.csv").read_bytes(), SETUPS),
    "sweep_reader_next": next_sweep,
    "sweeps_count": lambda: d.sweeps_count(SWEEPS),
    "sweeps_free": lambda: dropped(lambda: d.sweeps_load(DEMO / "sweeps.csv", SETUPS)),
    "sweeps_get": lambda: d.sweeps_get(SWEEPS, 0),
    "sweeps_load": lambda: d.sweeps_load(DEMO / "sweeps.csv", SETUPS),
    "sweeps_read": lambda: d.sweeps_read((DEMO / "sweeps.csv").read_bytes(), SETUPS),
    "heard_text": lambda: d.heard_text("struck"),
    "archive_add": lambda: d.archive_add(d.archive_new(), None, SETUP, SWEEP) or 1,
    "archive_errors": lambda: d.archive_errors(archive()),
    "archive_free": lambda: dropped(archive),
    "archive_new": lambda: d.archive_new(),
    "gauge_assess": lambda: d.gauge_assess(LIFTS),
    "gauge_judge": lambda: d.gauge_judge(d.gauge_assess(LIFTS), 0.88, 0.92, 0.003),
    "lifts_count": lambda: d.lifts_count(d.lifts_read(LIFTS_TABLE)),
    "lifts_free": lambda: dropped(lambda: d.lifts_read(LIFTS_TABLE)),
    "lifts_get": lambda: d.lifts_get(d.lifts_read(LIFTS_TABLE), 0),
    "lifts_hand": lambda: d.lifts_hand(d.lifts_read(LIFTS_TABLE), 0),
    "lifts_load": lambda: from_file(d.lifts_load, LIFTS_TABLE),
    "lifts_read": lambda: d.lifts_read(LIFTS_TABLE),
    "lifts_setup": lambda: d.lifts_setup(d.lifts_read(LIFTS_TABLE), 0),
    "lifts_sweep": lambda: d.lifts_sweep(d.lifts_read(LIFTS_TABLE), 0),
    "live_add": lambda: d.live_add(live(), d.Taken(-30.0, 0.1, "with", 0.0)) or 1,
    "live_count": lambda: d.live_count(live()) + 1,
    "live_free": lambda: dropped(live),
    "live_hear": lambda: d.live_hear(live(), "-30 0.1\n", 0.0),
    "live_line": lambda: d.live_line(live_with_one(), 0),
    "live_new": lambda: live(),
    "live_next": lambda: d.live_next(live()),
    "live_reading": lambda: d.live_reading(live_with_one(), 0),
    "live_timing": lambda: d.live_timing(live_with_one()),
    "prospect_name": lambda: d.prospect_name("more"),
    "rows_count": lambda: d.rows_count(ROWS),
    "rows_free": lambda: dropped(lambda: d.rows_read(ROWS_TABLE, "way")),
    "rows_line": lambda: d.rows_line(ROWS, 0),
    "rows_load": lambda: from_file(lambda path: d.rows_load(path, "way"), ROWS_TABLE),
    "rows_number": lambda: d.rows_number(ROWS, 0, "block_mm"),
    "rows_read": lambda: d.rows_read(ROWS_TABLE, "block_mm"),
    "rows_text": lambda: d.rows_text(ROWS, 0, "way"),
    "tdc_from_means": lambda: d.tdc_from_means(CRANK, [-20.0, -30.0], [20.5, 30.5],
                                               [0.1, 0.2], [0.0, 0.01], [0.2, 0.0]),
    "crosscheck_apart": lambda: d.crosscheck_apart(WITNESSES, 1),
    "crosscheck_assess": lambda: d.crosscheck_assess(WITNESSES),
    "crosscheck_at_rest": lambda: d.crosscheck_at_rest([800.0, 1600.0, 2400.0],
                                                       [5.1, 3.0, 0.9], 0.3),
    "crosscheck_from_lift": lambda: d.crosscheck_from_lift(CAM, 0.9, 0.0, 1.0, 2.0),
    "wheel_error_at": lambda: d.wheel_error_at(WHEEL, 30.0),
    "wheel_from_pointers": lambda: d.wheel_from_pointers(
        [0.0, 90.0, 180.0, 270.0], [180.2, 270.1, 0.1, 89.9], 0.1),
    "tdc_from_pairs": lambda: d.tdc_from_pairs(CRANK, [-20.0, -30.0], [20.5, 30.5], 0.1,
                                               0.0),
    "tdc_from_stops": lambda: d.tdc_from_stops(-20.0, 20.5),
    "tdc_lift_sd": lambda: d.tdc_lift_sd(CAM, 0.9, 2.0, 0.2),
    "tdc_stop_error": lambda: d.tdc_stop_error(CRANK, -20.0, 20.0),
    "assess": lambda: d.assess(SETUP, SWEEP.crank_deg, SWEEP.dial_mm),
    "learned_cam_free": lambda: dropped(learned),
    "learned_cam_lobe": lambda: d.learned_cam_lobe(learned(), 90),
    "learned_cam_new": learned,
    "learned_cam_sd": lambda: d.learned_cam_sd(learned()),
    "learned_cam_share": lambda: d.learned_cam_share(learned()),
    "learned_cam_table": lambda: d.learned_cam_table(learned()),
    "learned_cam_timing": lambda: d.learned_cam_timing(learned()),
    "timing_estimate": lambda: d.timing_estimate(None, SETUP, SWEEP),
    "timing_shift_advance": lambda: d.timing_shift_advance(CAM, 2, 0.9, [0.8, 1.0]),
    "timing_shift_lift": lambda: d.timing_shift_lift(CAM, 2, -1, [0.88, 0.92]),
    "tooth_from_advance": lambda: d.tooth_from_advance(8.0, 0.3, 8.2, 1.5, 0.1),
    "tooth_from_lift": lambda: d.tooth_from_lift(CAM, 0.9, 1.3, 0.01, d.Flank.RISING, 8.2,
                                                 1.0, 0.1),
    "torque_at_fastener": lambda: d.torque_at_fastener(ADAPTER, 25.0, 0.02),
    "torque_factor": lambda: d.torque_factor(ADAPTER),
    "torque_setting": lambda: d.torque_setting(ADAPTER, 25.0, 0.02),
    "torque_setting_array": lambda: d.torque_setting_array(ADAPTER, [25.0, 30.0]),
    "uncertainty_shares": lambda: d.uncertainty_shares([1.0, 1.0], [0.1, 0.2]),
    "uncertainty_combine": lambda: d.uncertainty_combine([1.0, 1.0], [0.1, 0.2]),
    "uncertainty_coverage_factor": lambda: d.uncertainty_coverage_factor(0.95, 10.0),
    "uncertainty_effective_dof": lambda: d.uncertainty_effective_dof([1.0, 1.0],
                                                                     [5.0, 9.0]),
    "uncertainty_half_width": lambda: d.uncertainty_half_width("arcsine", 0.1),
    "uncertainty_rounding": lambda: d.uncertainty_rounding(0.01),
    "uncertainty_t_quantile": lambda: d.uncertainty_t_quantile(0.975, 10.0),
    "verdict_name": lambda: d.verdict_name("in"),
    "verdict_text": lambda: d.verdict_text("in"),
    "version": lambda: d.version(),
    "wear_advance": lambda: d.wear_advance(STAGES, 0, 300.0, 1e-4),
    "wear_service": lambda: d.wear_service(WEAR, 1.5e-4),
    "wear_strain": lambda: d.wear_strain(WEAR, [0.0, 100.0]),
    "whatif_change": lambda: d.whatif_change(WHATIF, "teeth", 1),
    "whatif_evaluate": lambda: d.whatif_evaluate(WHATIF),
    "whatif_from_cam": lambda: d.whatif_from_cam(SETUPS["otter4"], CAM),
    "whatif_from_setup": lambda: d.whatif_from_setup(SETUP),
    "whatif_name": lambda: d.whatif_name("tdc_mark"),
    "whatif_propagate": lambda: d.whatif_propagate(WHATIF, 200, 1),
    "whatif_sensitivity": lambda: d.whatif_sensitivity(WHATIF),
    "workspace_free": lambda: dropped(d.Workspace),
    "workspace_new": lambda: d.workspace_new(),
}


class EveryFunction(unittest.TestCase):
    def test_none_is_forgotten(self):
        exported = {line.removeprefix("dialarc_") for line in
                    (TOP / "lib/dialarc.sym").read_text().split()}
        self.assertEqual(sorted(exported ^ set(CALLS)), [])

    def test_each_gives_a_result(self):
        for name, call in CALLS.items():
            with self.subTest(name):
                self.assertIsNotNone(call())

    def test_each_is_documented(self):
        from dialarc._headers import FUNCTIONS
        for name, about in FUNCTIONS.items():
            function = getattr(d, name)
            self.assertIn("In C: dialarc_", function.__doc__)
            for argument in about["names"]:
                self.assertIn(f"{argument}:", function.__doc__, name)

    def test_constants(self):
        self.assertEqual(d.MM_PER_IN, d.mm_per_in())
        self.assertEqual(d.NM_PER_LBF_FT, d.nm_per_lbf_ft())
        self.assertEqual(d.SWEEP_MAX, 100000)


if __name__ == "__main__":
    kit.main()
