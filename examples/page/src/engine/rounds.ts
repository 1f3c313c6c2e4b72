// SPDX-License-Identifier: GPL-3.0-or-later
// Rounds after the pump was turned: the dial at the minimum and at TDC, loose and tight.

import { Refused, type Planned } from "../core";
import { h } from "../dom";
import { windowPicture } from "../draw/window";
import type { App } from "./app";
import { looked, unlooked } from "./job";
import { numberOf } from "./questions";
import { setupOf } from "./setup";
import { findingList } from "./findings";
import { liftLine, pictures, stepList, verdictBox } from "./verdict";

function planned(app: App): Planned | string {
    try {
        return app.core.plan(setupOf(app.job.answers).setup, app.job.rounds);
    } catch (error) {
        if (error instanceof Refused) return error.message;
        throw error;
    }
}

function entry(app: App): HTMLElement {
    const minimum = h("input", { id: "minimum", inputmode: "decimal", autocomplete: "off" }),
        tdc = h("input", { id: "tdc", inputmode: "decimal", autocomplete: "off" });
    const fault = h("p", { role: "alert" });
    const take = (tight: boolean) => {
        const round = { minimum_mm: numberOf(minimum.value), tdc_mm: numberOf(tdc.value), tight };
        if (Number.isFinite(round.minimum_mm) && Number.isFinite(round.tdc_mm))
            void app.change(looked(app.job, round));
        else fault.textContent = "Both readings are needed, as numbers in mm.";
    };
    return h(
        "div",
        {},
        h("label", { class: "ask", for: "minimum" }, "The dial at the minimum, mm"),
        h("div", { class: "entry" }, minimum),
        h(
            "label",
            { class: "ask", for: "tdc" },
            "The dial at TDC, come to in running direction, mm",
        ),
        h("div", { class: "entry" }, tdc),
        fault,
        h(
            "div",
            { class: "row" },
            h("button", { id: "loose", click: () => take(false) }, "Fasteners loose"),
            h("button", { id: "tight", click: () => take(true) }, "Fasteners tight"),
        ),
    );
}

export function roundsView(app: App): Node[] {
    const { rounds } = app.job,
        { setup } = setupOf(app.job.answers),
        plan = rounds.length ? planned(app) : null;
    return [
        h("h1", {}, "Rounds"),
        h(
            "p",
            {},
            "Read each setting once loose and once tight: tightening shifts it, and how much is learned from round to round.",
        ),
        entry(app),
        h(
            "table",
            {},
            h(
                "tbody",
                {},
                ...rounds.map((round, k) =>
                    h(
                        "tr",
                        {},
                        h("th", { scope: "row" }, k + 1),
                        h("td", {}, round.minimum_mm.toFixed(3)),
                        h("td", {}, round.tdc_mm.toFixed(3)),
                        h("td", {}, round.tight ? "tight" : "loose"),
                    ),
                ),
            ),
        ),
        ...(rounds.length
            ? [
                  h(
                      "button",
                      { id: "strike", click: () => void app.change(unlooked(app.job)) },
                      "Strike the last round",
                  ),
              ]
            : []),
        ...(plan === null
            ? []
            : typeof plan === "string"
              ? [h("p", { class: "note stop", role: "alert" }, plan)]
              : [
                    verdictBox(plan.verdict),
                    liftLine(plan.lift_mm, plan.lift_u_mm),
                    windowPicture(
                        plan.lift_mm,
                        plan.lift_u_mm,
                        setup["lift_low_mm"] as number,
                        setup["lift_high_mm"] as number,
                    ),
                    stepList(plan.steps),
                    pictures(setup, plan.verdict),
                    findingList(plan.findings),
                ]),
        h(
            "button",
            { class: "first", id: "closing", click: () => void app.go("closing") },
            "Done: the list before it is started",
        ),
    ];
}
