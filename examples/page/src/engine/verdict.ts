// SPDX-License-Identifier: GPL-3.0-or-later
// The verdict on the setting, and what to do next.

import type { Setup, Verdict } from "../core";
import { h } from "../dom";
import { dial } from "../draw/dial";
import { turnPicture } from "../draw/turn";
import { windowPicture } from "../draw/window";
import type { App } from "./app";
import { exchange } from "./exchange";
import { anew } from "./job";
import { setupOf } from "./setup";
import { findingList } from "./findings";

const WORDS: Record<Verdict["name"], { word: string; look: string }> = {
    in: { word: "✓ GOOD", look: "good" },
    low: { word: "▼ TOO LATE", look: "late" },
    high: { word: "▲ TOO EARLY", look: "early" },
    undecided: { word: "? NOT SURE", look: "" },
    unusable: { word: "✗ NO VERDICT", look: "" },
    "": { word: "NO VERDICT", look: "" },
};

export function verdictBox(verdict: Verdict): HTMLElement {
    const { word, look } = WORDS[verdict.name];
    return h("div", { class: "verdict " + look, id: "verdict" }, word);
}

export function liftLine(lift_mm: number, u_mm: number): HTMLElement {
    return h(
        "p",
        { id: "lift" },
        Number.isFinite(lift_mm)
            ? `Lift at TDC ${lift_mm.toFixed(3)} mm, within ${u_mm.toFixed(3)} mm (95 %).`
            : "The lift cannot be told.",
    );
}

export function stepList(steps: string[]): HTMLElement {
    return h("ol", { id: "steps" }, ...steps.map((step) => h("li", {}, step)));
}

/** Which way, and where the dial should then stand. */
export function pictures(setup: Setup, verdict: Verdict): HTMLElement {
    const body = setup["turned"] === "body",
        turns = verdict.worth_turning && verdict.turn_clockwise !== null;
    return h(
        "div",
        { class: "row" },
        turns
            ? turnPicture(
                  body ? "body" : "shaft",
                  body ? !verdict.turn_clockwise : verdict.turn_clockwise!,
              )
            : null,
        verdict.worth_turning && Number.isFinite(verdict.aim_mm)
            ? h(
                  "figure",
                  {},
                  dial(NaN, ((setup["dial_sense"] as number) < 0 ? -1 : 1) * verdict.aim_mm),
                  h(
                      "figcaption",
                      { class: "soft" },
                      "Zero the dial at the minimum; the wedge is where to aim.",
                  ),
              )
            : null,
    );
}

export function verdictView(app: App): Node[] {
    const { setup } = setupOf(app.job.answers),
        seen = app.core.see(setup, app.job.readings),
        { verdict } = seen;
    const low = setup["lift_low_mm"] as number,
        high = setup["lift_high_mm"] as number;
    return [
        h("h1", {}, "The verdict"),
        verdictBox(verdict),
        h("p", {}, verdict.text),
        liftLine(seen.lift_mm, seen.lift_u_mm),
        Number.isFinite(seen.lift_mm)
            ? windowPicture(seen.lift_mm, seen.lift_u_mm, low, high)
            : h("span", {}),
        h("h2", {}, "What to do next"),
        stepList(seen.steps),
        pictures(setup, verdict),
        findingList(seen.findings),
        h(
            "div",
            { class: "row" },
            h(
                "button",
                { id: "rounds", click: () => void app.go("rounds") },
                "Turned: minimum and TDC only",
            ),
            h(
                "button",
                { id: "anew", click: () => void app.change(anew(app.job)) },
                "Take the readings anew",
            ),
            h("button", { click: () => window.print() }, "Print the job sheet"),
            h(
                "button",
                { id: "closing", click: () => void app.go("closing") },
                "Done: the list before it is started",
            ),
        ),
        budget(seen.budget),
        exchange(app),
    ];
}

function budget(shares: [string, number][]): HTMLElement {
    const total = shares.reduce((sum, [, sd]) => sum + sd * sd, 0) || 1;
    return h(
        "details",
        {},
        h("summary", {}, "Where the uncertainty comes from"),
        h(
            "table",
            {},
            h(
                "tbody",
                {},
                ...shares.map(([what, sd]) =>
                    h(
                        "tr",
                        {},
                        h("th", { scope: "row" }, what),
                        h("td", {}, sd.toFixed(4) + " mm"),
                        h("td", {}, `${Math.round((100 * sd * sd) / total)} %`),
                    ),
                ),
            ),
        ),
    );
}
