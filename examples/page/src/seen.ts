// SPDX-License-Identifier: GPL-3.0-or-later
// What the library says, in the words of the page.

import type { Decision, Dialarc, Findings, Given, Setup as Known, Timing } from "dialarc";
import type { Finding, Seen, Verdict } from "./core";

const SEVERITIES = ["note", "caution", "stop"] as const;
const VERDICTS = ["", "in", "low", "high", "undecided", "unusable"] as const;
const BUDGET: [keyof Timing["budget"], string][] = [
    ["readings_mm", "scatter of the readings"],
    ["tdc_mm", "TDC, or the mark"],
    ["hysteresis_mm", "hysteresis of the dial"],
    ["cam_mm", "shape of the cam"],
    ["dial_mm", "errors of the dial"],
    ["wheel_mm", "degree wheel off centre"],
];

export function findings(lib: Dialarc, findings: Findings): Finding[] {
    return lib.findings_list(findings).map(({ code, severity, text, row }) => ({
        code,
        text,
        severity: SEVERITIES[severity],
        row: row >= 0 ? row : null,
    }));
}

export function verdict(lib: Dialarc, decision: Decision): Verdict {
    const { turn_rotation, verdict } = decision;
    const known = turn_rotation !== lib.ROTATION_UNKNOWN;
    return {
        ...decision,
        name: VERDICTS[verdict],
        text: lib.verdict_text(verdict),
        turn_clockwise: known ? turn_rotation === lib.ROTATION_CW : null,
        worth_turning: decision.worth_turning !== 0,
    };
}

/** The steps of what to do next, those that belong together in one. */
export function steps(
    lib: Dialarc,
    take: (which: number) => ReturnType<Dialarc["next_step"]>,
    known: Given<Known>,
): string[] {
    const steps: string[] = [];
    for (let which = 0; ; which++) {
        const step = take(which);
        if (step.code === lib.STEP_NONE) return steps;
        const text = lib.step_text(known, step);
        if (step.number === 0 && steps.length) steps[steps.length - 1] += " " + text;
        else steps.push(text);
    }
}

export function seen(lib: Dialarc, known: Given<Known>, timing: Timing, decision: Decision): Seen {
    const usable = decision.verdict !== lib.VERDICT_UNUSABLE;
    return {
        ...timing,
        lift_mm: usable ? timing.lift_mm : NaN,
        lift_u_mm: usable ? timing.lift_u_mm : NaN,
        rise_mm: [...timing.rise_mm],
        rise_crank_deg: timing.rise_pump_deg * (known.crank_per_pump ?? 2),
        budget: BUDGET.map(([field, words]) => [words, timing.budget[field]]),
        findings: findings(lib, timing.findings),
        verdict: verdict(lib, decision),
        steps: steps(lib, (which) => lib.next_step(known, timing, decision, which), known),
    };
}
