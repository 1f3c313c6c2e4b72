// SPDX-License-Identifier: GPL-3.0-or-later
// An invented pump on its engine, for the classroom: what the crank does to the pump and the
// pump to the dial. It shares nothing with the estimator but the lift of a cam.

import type { Chance } from "./chance";
import type { Reading, Way } from "../engine/job";

/** What is true of it. Angles of the crank count from true TDC, in running direction. */
export interface Truth {
    lobes: number;
    crank_per_pump: number;
    law: string;
    lift_mm: number;
    rise_deg: number;
    top_dwell_deg: number;
    base_dwell_deg: number;
    lift_at_tdc_mm: number; // the setting
    slack_deg: number; // of the drive, crank degrees
    hysteresis_mm: number; // of the dial
    mark_deg: number; // where the mark stands when it says TDC
    angle_sd_deg: number;
    dial_sd_mm: number;
    step_mm: number;
}

export type Lift = (pump_deg: number) => number;

/** Keeps `follower` within `play` behind what drives it: from `driver` to `driver + play`. */
function follow(follower: number, driver: number, play: number): number {
    return Math.min(Math.max(follower, driver), driver + play);
}

/** The state of things while the crank is turned. */
export class Pump {
    private pump: number; // of the pump's shaft, in crank degrees
    private shown: number; // lift as the dial has it
    crank_deg: number;

    /** The foot of the rise that serves the timed cylinder stands at `foot_crank_deg`. */
    constructor(
        readonly truth: Truth,
        private readonly lift: Lift,
        readonly foot_crank_deg: number,
        crank_deg: number,
    ) {
        this.crank_deg = this.pump = crank_deg;
        this.shown = this.lift_mm();
    }

    pump_deg(): number {
        return (this.pump - this.foot_crank_deg) / this.truth.crank_per_pump;
    }

    lift_mm(): number {
        return this.lift(this.pump_deg());
    }

    /** Where in the slack the pump stands: 0 driven forward, 1 driven back. */
    slackShare(): number {
        return this.truth.slack_deg > 0 ? (this.pump - this.crank_deg) / this.truth.slack_deg : 0;
    }

    dial_mm(): number {
        return this.shown;
    }

    /** Turns the crank, in steps small enough for the dial to follow every top and foot. */
    turnCrank(to_deg: number): void {
        const steps = Math.max(1, Math.ceil(Math.abs(to_deg - this.crank_deg) / 0.25));
        const from = this.crank_deg;
        for (let k = 1; k <= steps; k++) {
            this.crank_deg = from + ((to_deg - from) * k) / steps;
            this.pump = follow(this.pump, this.crank_deg, this.truth.slack_deg);
            const half = this.truth.hysteresis_mm / 2;
            this.shown = follow(this.shown, this.lift_mm() - half, 2 * half);
        }
    }

    /** Turns the pump within the slack, the crank standing still. */
    turnPump(to_crank_deg: number): void {
        this.pump = follow(to_crank_deg, this.crank_deg, this.truth.slack_deg);
        const half = this.truth.hysteresis_mm / 2;
        this.shown = follow(this.shown, this.lift_mm() - half, 2 * half);
    }
}

/** What a mechanic writes down at the angles given, coming to each one by the way given. */
export function sweep(
    pump: Pump,
    stands: { crank_deg: number; direction: Way }[],
    by: Chance,
): Reading[] {
    const { mark_deg, angle_sd_deg, dial_sd_mm, step_mm } = pump.truth;
    return stands.map(({ crank_deg, direction }) => {
        pump.turnCrank(crank_deg + mark_deg + angle_sd_deg * by.normal());
        const read = pump.dial_mm() + dial_sd_mm * by.normal();
        return {
            crank_deg,
            dial_mm: +(Math.round(read / step_mm) * step_mm).toFixed(6),
            direction,
            time_s: 0,
        };
    });
}

/** Stands every `step` degrees forward, and back again where asked. */
export function stands(
    from: number,
    to: number,
    step: number,
    back: boolean,
): { crank_deg: number; direction: Way }[] {
    const forward: { crank_deg: number; direction: Way }[] = [];
    for (let k = 0; from + k * step <= to + 1e-9; k++)
        forward.push({ crank_deg: +(from + k * step).toFixed(6), direction: "with" });
    const way: Way = "against";
    return back
        ? [
              ...forward,
              ...forward
                  .slice(0, -1)
                  .reverse()
                  .map(({ crank_deg }) => ({ crank_deg, direction: way })),
          ]
        : forward;
}
