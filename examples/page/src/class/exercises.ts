// SPDX-License-Identifier: GPL-3.0-or-later
// Eight exercises with a truth that is hidden until an answer is given. All numbers are invented.

import type { Core } from "../core";
import type { Reading } from "../engine/job";
import { chance } from "./chance";
import { build, invent, knownOf, REACH, sweepOf } from "./invent";
import { stands, sweep } from "./pump";

/** What is asked: a number and how near it must be, one of some words, or a judge of its own. */
export type Ask =
    | { text: string; unit: string; truth: number; within: number }
    | { text: string; choices: string[]; truth: string }
    | { text: string; judge(said: string): { right: boolean; why: string }; truth: string };

export interface Exercise {
    title: string;
    told: string;
    readings?: Reading[];
    ask: Ask;
    why: string;
}

type Maker = (core: Core, seed: number) => Exercise;

const minimum: Maker = (core, seed) => {
    const by = chance(seed),
        truth = { ...invent(by), hysteresis_mm: 0 },
        { pump } = build(core, truth),
        zero = Math.round(by.within(10, 90)) / 100;
    const at = Math.round(pump.foot_crank_deg),
        readings = sweep(pump, stands(at - 36, at + 12, 4, false), by).map((r) => ({
            ...r,
            dial_mm: +(r.dial_mm + zero).toFixed(2),
        }));
    return {
        title: "Find the minimum",
        told: "The dial was not zeroed. What does it show at the plunger's minimum?",
        readings,
        ask: { text: "Minimum reading", unit: "mm", truth: zero, within: 0.0101 },
        why: "The minimum is flat: many readings say the same, and their middle says it better than any single one. Its angle is poorly seen, its reading well.",
    };
};

const slack: Maker = (core, seed) => {
    const by = chance(seed + 1),
        truth = { ...invent(by), slack_deg: by.within(2, 5), hysteresis_mm: 0, angle_sd_deg: 0.05 };
    return {
        title: "Slack from two passes",
        told: "The crank was turned forward, then back over the same angles. How large is the slack of the drive?",
        readings: sweepOf(core, truth, 4, true, by),
        ask: { text: "Slack", unit: "crank degrees", truth: truth.slack_deg, within: 0.6 },
        why: "At one reading of the dial the two curves lie as far apart, across, as the slack is wide. Read it where they are steep.",
    };
};

const hysteresis: Maker = (core, seed) => {
    const by = chance(seed + 2),
        truth = {
            ...invent(by),
            slack_deg: 0,
            hysteresis_mm: Math.round(by.within(12, 30)) / 1000,
            dial_sd_mm: 0.001,
            step_mm: 0.001,
            angle_sd_deg: 0,
        };
    return {
        title: "Hysteresis of the dial",
        told: "This drive has no slack. How large is the hysteresis of the dial?",
        readings: sweepOf(core, truth, 6, true, by),
        ask: { text: "Hysteresis", unit: "mm", truth: truth.hysteresis_mm, within: 0.003 },
        why: "At one angle the dial shows less on the way up than on the way down, by its hysteresis. In the dwell it shows neither alone.",
    };
};

const degrees: Maker = (_core, seed) => {
    const by = chance(seed + 3),
        rate = Math.round(by.within(22, 34)) / 1000,
        late = by.uniform() < 0.5,
        off = Math.round(by.within(3, 9)) / 100;
    return {
        title: "From lift to degrees",
        told: `The window is 0.88 to 0.92 mm. The lift at TDC is ${(0.9 + (late ? -off : off)).toFixed(2)} mm, and there it rises by ${rate.toFixed(3)} mm a crank degree. How many crank degrees is the pump too early? (Too late: minus.)`,
        ask: {
            text: "Advance from mid-window",
            unit: "crank degrees",
            truth: (late ? -off : off) / rate,
            within: 0.1,
        },
        why: "More lift at TDC means that delivery began earlier. The difference of lift over the rate gives crank degrees; half of them are pump degrees on a four-stroke.",
    };
};

const way: Maker = (_core, seed) => {
    const by = chance(seed + 4),
        clockwise = by.uniform() < 0.5,
        early = by.uniform() < 0.5;
    return {
        title: "Which way?",
        told: `The pump shaft runs ${clockwise ? "clockwise" : "counter-clockwise"}, seen from its drive end. The lift at TDC is too ${early ? "large" : "small"}. The body is turned in its slots, the crank stands still. Which way, seen from the drive end?`,
        ask: {
            text: "The body turns",
            choices: ["clockwise", "counter-clockwise"],
            truth: clockwise === early ? "clockwise" : "counter-clockwise",
        },
        why: "Turning the body against the running direction of the shaft is as if the shaft had gone on: more lift, earlier. With it: less, later.",
    };
};

const mark: Maker = (core, seed) => {
    const by = chance(seed + 5),
        truth = invent(by),
        width = by.one([0.04, 0.05, 0.06, 0.08]),
        middle = Math.round(truth.lift_at_tdc_mm * 100) / 100;
    const setup = knownOf(truth, middle - width / 2, middle + width / 2, 0.1, true),
        angles = stands(-80, 16, 4, true).map((stand) => stand.crank_deg);
    const { tdc_sd_needed_deg: needed, rate_mm_per_crank_deg: rate } = core.expect(
        setup,
        middle,
        angles,
    );
    return {
        title: "Which error of the mark can this window stand?",
        told: `The window is ${width.toFixed(2)} mm wide, and the lift rises by ${rate.toFixed(3)} mm a crank degree at TDC. The setting stands in the middle. How well, as a standard uncertainty, must TDC be known to say "in the window" and be 97.5 % sure? The readings alone leave ${(core.expect({ ...setup, tdc_sd_deg: 0 }, middle, angles).lift_u_mm / 2).toFixed(4)} mm (standard uncertainty).`,
        ask: {
            text: "Standard uncertainty of TDC",
            unit: "crank degrees",
            truth: needed,
            within: 0.2 * needed,
        },
        why: "Half the window must be 2.24 standard uncertainties wide: then 1.25 % lies beyond each limit. What the readings take of it, in squares, TDC cannot have; the rest, over the rate, is degrees.",
    };
};

const angles: Maker = (core, seed) => {
    const by = chance(seed + 6),
        truth = invent(by),
        middle = Math.round(truth.lift_at_tdc_mm * 100) / 100,
        setup = knownOf(truth, middle - 0.02, middle + 0.02, 0, true);
    const best = core.choose(setup, middle, REACH, 10),
        u = core.expect(setup, middle, best).lift_u_mm;
    const even = core.expect(
        setup,
        middle,
        stands(-80, 16, 96 / 9, false).map((stand) => stand.crank_deg),
    ).lift_u_mm;
    return {
        title: "Choose ten angles",
        told: `The cam is known, the lift at TDC will be about ${middle.toFixed(2)} mm. Ten readings on the way forward, from -100 to 20 crank degrees: at which angles? Ten even ones leave ${even.toFixed(4)} mm.`,
        ask: {
            text: "Ten crank angles, with blanks between",
            truth: best.map((a) => +a.toFixed(1)).join(" "),
            judge: (said) => {
                const chosen = said
                    .trim()
                    .split(/[\s;]+/)
                    .map((one) => Number(one.replace("−", "-").replace(",", ".")))
                    .sort((a, b) => a - b);
                if (chosen.length !== 10 || chosen.some((a) => !(a >= -100 && a <= 20)))
                    return { right: false, why: "These are not ten angles from -100 to 20." };
                const mine = core.expect(setup, middle, chosen).lift_u_mm;
                return {
                    right: mine <= 1.15 * u,
                    why: Number.isFinite(mine)
                        ? `Yours leave ${mine.toFixed(4)} mm, the best ones ${u.toFixed(4)} mm.`
                        : "With these the lift cannot be told.",
                };
            },
        },
        why: "Some at the minimum, for the zero; the others about TDC and on the flank, where the lift is asked for. Readings on the dwell's far side or near the top say little of it.",
    };
};

const judge: Maker = (core, seed) => {
    const by = chance(seed + 7),
        truth = { ...invent(by), mark_deg: 0 },
        width = 0.04,
        place = by.one([-0.06, -0.02, 0, 0, 0.02, 0.06]);
    const low = Math.round((truth.lift_at_tdc_mm + place - width / 2) * 100) / 100,
        setup = knownOf(truth, low, +(low + width).toFixed(2), by.one([0.05, 0.1, 0.25]), true);
    const seen = core.see(setup, sweepOf(core, truth, 6, true, by));
    const words = { in: "good", low: "too late", high: "too early" } as Record<string, string>;
    return {
        title: "Does it pass?",
        told: `The window is ${low.toFixed(2)} to ${(low + width).toFixed(2)} mm. A sweep says ${seen.lift_mm.toFixed(3)} mm with a standard uncertainty of ${(seen.lift_u_mm / 2).toFixed(4)} mm, TDC included. What may be said?`,
        ask: {
            text: "It is",
            choices: ["good", "too late", "too early", "not sure"],
            truth: words[seen.verdict.name] ?? "not sure",
        },
        why: `The true lift was ${truth.lift_at_tdc_mm.toFixed(3)} mm. A verdict needs 97.5 %: the lift must lie about two standard uncertainties on the one side of a limit. "Not sure" is an answer: it says that the tools, not the eye, must become better.`,
    };
};

export const MAKERS: Maker[] = [minimum, slack, hysteresis, degrees, way, mark, angles, judge];

/** Whether an answer is right, and what is to be said of it. */
export function markAnswer(ask: Ask, said: string): { right: boolean; why: string } {
    if ("judge" in ask) return ask.judge(said);
    if ("choices" in ask) return { right: said === ask.truth, why: `It is: ${ask.truth}.` };
    const number = Number(said.trim().replace("−", "-").replace(",", "."));
    if (!said.trim() || Number.isNaN(number)) return { right: false, why: "This is not a number." };
    return {
        right: Math.abs(number - ask.truth) <= ask.within,
        why: `It was ${+ask.truth.toFixed(3)} ${ask.unit}; within ${+ask.within.toFixed(3)} counts as right.`,
    };
}

export function solution(ask: Ask): string {
    return "within" in ask ? `${+ask.truth.toFixed(3)} ${ask.unit}` : ask.truth;
}
