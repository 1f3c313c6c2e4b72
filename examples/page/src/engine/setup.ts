// SPDX-License-Identifier: GPL-3.0-or-later
// From what was answered to a row of the setups table.

import type { Reach, Setup } from "../core";
import { GROUPS, numberOf, standing } from "./questions";

export interface Fault {
    column: string;
    text: string;
}

const WORDS = [
    "setup",
    "turn_back",
    "firing_tdc",
    "turned",
    "rotation",
    "window_at",
    "cam_law",
];

export function setupOf(answers: Record<string, string>): { setup: Setup; faults: Fault[] } {
    const setup: Setup = {},
        faults: Fault[] = [];
    for (const question of GROUPS.flatMap((group) => group.questions)) {
        const { column } = question,
            text = standing(question, answers).trim();
        if (!text) {
            if (question.needed && !(question.choices && answers[column] !== undefined))
                faults.push({ column, text: "This must be known." });
        } else if (WORDS.includes(column)) setup[column] = text;
        else if (Number.isNaN(numberOf(text)))
            faults.push({ column, text: `"${text}" is not a number.` });
        else setup[column] = numberOf(text);
    }
    if (
        faults.length === 0 &&
        !((setup["lift_low_mm"] as number) < (setup["lift_high_mm"] as number))
    )
        faults.push({ column: "lift_high_mm", text: "The window ends above where it begins." });
    return { setup, faults };
}

/* Where readings begin and end: so much of the way from lobe to lobe before TDC, and so far
 * after the window's angle. Common practice, no source. */
const FROM_SHARE = 0.55,
    TO_DEG = 20,
    STEP_DEG = 1;

export function reachOf(answers: Record<string, string>): Reach {
    const { setup } = setupOf(answers),
        at = (setup["window_crank_deg"] as number | undefined) ?? 0;
    return {
        first_crank_deg: -Math.round(
            (FROM_SHARE * 720) / ((setup["lobes"] as number | undefined) ?? 4),
        ),
        last_crank_deg: at + TO_DEG,
        step_crank_deg: STEP_DEG,
        both_ways: setup["turn_back"] === "allowed",
    };
}
