// SPDX-License-Identifier: GPL-3.0-or-later
// Invented engines for the classroom, and the sweeps that they give.

import type { Core, Reach, Setup } from "../core";
import type { Reading } from "../engine/job";
import { LAWS } from "../engine/questions";
import { type Chance } from "./chance";
import { Pump, stands, sweep, type Lift, type Truth } from "./pump";

export const REACH: Reach = {
    first_crank_deg: -100,
    last_crank_deg: 20,
    step_crank_deg: 1,
    both_ways: true,
};

export function invent(by: Chance): Truth {
    return {
        lobes: 4,
        crank_per_pump: 2,
        law: by.one(LAWS),
        lift_mm: by.within(2.1, 2.6),
        rise_deg: by.within(36, 44),
        top_dwell_deg: 2,
        base_dwell_deg: 8,
        lift_at_tdc_mm: by.within(0.8, 1.0),
        slack_deg: by.within(1, 4),
        hysteresis_mm: by.within(0.002, 0.01),
        mark_deg: 0,
        angle_sd_deg: 0.1,
        dial_sd_mm: 0.002,
        step_mm: 0.01,
    };
}

/** What a setups table would say of its cam. */
export function camOf(truth: Truth): Setup {
    return {
        lobes: truth.lobes,
        crank_per_pump: truth.crank_per_pump,
        cam_law: truth.law,
        cam_lift_mm: truth.lift_mm,
        rise_deg: truth.rise_deg,
        top_dwell_deg: truth.top_dwell_deg,
        base_dwell_deg: truth.base_dwell_deg,
    };
}

/** What the mechanic knows: the window and the tools; of the cam all, or nothing. */
export function knownOf(
    truth: Truth,
    low_mm: number,
    high_mm: number,
    tdc_sd_deg: number,
    cam: boolean,
): Setup {
    return {
        ...(cam ? camOf(truth) : { lobes: truth.lobes, crank_per_pump: truth.crank_per_pump }),
        lift_low_mm: low_mm,
        lift_high_mm: high_mm,
        tdc_sd_deg,
        angle_sd_deg: truth.angle_sd_deg,
        dial_sd_mm: truth.dial_sd_mm,
        dial_step_mm: truth.step_mm,
        turn_back: "allowed",
    };
}

/** The pump on its engine, standing where a sweep begins. */
export function build(core: Core, truth: Truth): { pump: Pump; lift: Lift } {
    const lift = core.lift(camOf(truth)),
        at = core.angleAtLift(camOf(truth), truth.lift_at_tdc_mm);
    return {
        lift,
        pump: new Pump(truth, lift, -truth.crank_per_pump * at, REACH.first_crank_deg - 20),
    };
}

export function sweepOf(
    core: Core,
    truth: Truth,
    step: number,
    back: boolean,
    by: Chance,
): Reading[] {
    return sweep(build(core, truth).pump, stands(-80, 16, step, back), by);
}
