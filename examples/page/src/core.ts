// SPDX-License-Identifier: GPL-3.0-or-later
// What the page asks of the library. `library.ts` answers it; nothing else knows how.

import type { Reading, Round, Way } from "./engine/job";

/** A row of the setups table: numbers and words by column, what is not known left out. */
export type Setup = Record<string, number | string>;

/** Where readings can be taken, crank degrees. */
export interface Reach {
    first_crank_deg: number;
    last_crank_deg: number;
    step_crank_deg: number;
    both_ways: boolean;
}

export interface Finding {
    code: string;
    severity: "note" | "caution" | "stop";
    text: string;
    row: number | null;
}

export interface Verdict {
    name: "" | "in" | "low" | "high" | "undecided" | "unusable";
    text: string;
    probability_in: number;
    turn_pump_deg: number; // positive: shaft forward, earlier
    turn_clockwise: boolean | null; // of the shaft, seen from the drive end; null: not known
    aim_mm: number;
    worth_turning: boolean;
}

/** What readings say. Numbers that cannot be given are NaN. */
export interface Seen {
    lift_mm: number;
    lift_u_mm: number;
    minimum_mm: number;
    minimum_u_mm: number;
    minimum_crank_deg: number;
    slack_crank_deg: number;
    slack_u_crank_deg: number;
    dial_hysteresis_mm: number;
    rise_mm: number[];
    rise_crank_deg: number; // the rise at equal steps, foot to top
    readings_used: number;
    readings_rejected: number;
    budget: [string, number][]; // standard uncertainties by component, mm
    findings: Finding[];
    verdict: Verdict;
    steps: string[]; // what to do next, in order
}

export interface Next {
    prospect: "more" | "enough" | "never";
    crank_deg: number;
    direction: Way;
    lift_u_next_mm: number;
    advice: string;
}

/** A sweep while it is taken. */
export interface Live {
    hear(text: string, time_s: number): { taken: boolean; struck: boolean; text: string }[];
    readings(): Reading[];
    seen(): Seen;
    next(): Next;
    free(): void;
}

export interface Planned {
    lift_mm: number;
    lift_u_mm: number;
    shift_mm: number;
    shift_sd_mm: number;
    verdict: Verdict;
    findings: Finding[];
    steps: string[];
}

export interface Expected {
    lift_u_mm: number;
    rate_mm_per_crank_deg: number;
    tdc_sd_needed_deg: number;
    chance_verdict: number;
}

/** Input that the library refuses, with its sentence. */
export class Refused extends Error {}

export interface Core {
    readonly version: string;
    /** Refuses what cannot be: throws Refused. */
    check(setup: Setup): void;
    live(setup: Setup, reach: Reach, readings: Reading[]): Live;
    see(setup: Setup, readings: Reading[]): Seen;
    plan(setup: Setup, rounds: Round[]): Planned;
    choose(setup: Setup, lift_mm: number, reach: Reach, count: number): number[];
    expect(setup: Setup, lift_mm: number, crank_deg: number[]): Expected;
    /** Lift of a stated cam, and the angle on its rise at which a lift is come to; pump degrees. */
    lift(setup: Setup): (pump_deg: number) => number;
    angleAtLift(setup: Setup, lift_mm: number): number;
    /** The sweeps of a table, as people and spreadsheets write it. */
    readSweeps(setup: Setup, text: string): { name: string; readings: Reading[] }[];
}
