// SPDX-License-Identifier: GPL-3.0-or-later
// The readings while they are taken: where to go, what the dial shows, what it all says so far.

import type { Next, Seen } from "../core";
import { h } from "../dom";
import type { App } from "./app";
import { hear, otherAngle, told } from "./changes";
import { curve } from "./curve";
import { findingList } from "./findings";
import { pad } from "./pad";

/** The angle that is asked for, or that it is enough. */
function asked(app: App, next: Next, count: number): HTMLElement {
    if (next.prospect !== "more")
        return h(
            "div",
            { class: "ask-angle", role: "status" },
            h(
                "strong",
                {},
                next.prospect === "enough" ? "Enough." : "Further readings will hardly decide it.",
            ),
            h("p", {}, next.advice),
            h(
                "button",
                { class: "first", id: "go", click: () => void app.go("verdict") },
                "See the verdict",
            ),
        );
    const angle = +next.crank_deg.toFixed(2),
        where = angle < 0 ? "before TDC" : angle > 0 ? "after TDC" : "";
    return h(
        "div",
        { class: "ask-angle", role: "status" },
        h(
            "div",
            {},
            `Reading ${count + 1}: turn `,
            next.direction === "with" ? "forward, in running direction, to" : "back to",
        ),
        h(
            "div",
            { class: "big", id: "angle" },
            angle === 0 ? "TDC" : `${Math.abs(angle)}° `,
            h("small", { class: "soft" }, where),
        ),
        h(
            "div",
            { class: "soft" },
            next.direction === "with"
                ? "Come to it from behind. Gone past? Go well back and come again."
                : "Come to it from the other side, in one move.",
        ),
    );
}

function soFar(seen: Seen): HTMLElement | null {
    if (!Number.isFinite(seen.lift_mm)) return null;
    return h(
        "p",
        { id: "so-far" },
        "So far: lift ",
        h("strong", {}, seen.lift_mm.toFixed(3) + " mm"),
        `, within ${seen.lift_u_mm.toFixed(3)}`,
        Number.isFinite(seen.slack_crank_deg) ? `; slack ${seen.slack_crank_deg.toFixed(1)}°` : "",
        Number.isFinite(seen.dial_hysteresis_mm)
            ? `; hysteresis ${seen.dial_hysteresis_mm.toFixed(3)} mm.`
            : ".",
    );
}

function readingTable(app: App): HTMLElement {
    return h(
        "details",
        {},
        h("summary", {}, `The ${app.job.readings.length} readings`),
        h(
            "div",
            { class: "scroll", tabindex: "0", role: "region", "aria-label": "readings" },
            h(
                "table",
                {},
                h(
                    "thead",
                    {},
                    h(
                        "tr",
                        {},
                        h("th", { scope: "col" }, "no."),
                        h("th", { scope: "col" }, "crank °"),
                        h("th", { scope: "col" }, "dial mm"),
                        h("th", { scope: "col" }, "way"),
                    ),
                ),
                h(
                    "tbody",
                    {},
                    ...app.job.readings.map((r, k) =>
                        h(
                            "tr",
                            {},
                            h("td", {}, k + 1),
                            h("td", {}, +r.crank_deg.toFixed(4)),
                            h("td", {}, r.dial_mm.toFixed(3)),
                            h("td", {}, r.direction === "with" ? "forward" : "back"),
                        ),
                    ),
                ),
            ),
        ),
    );
}

export function sweepView(app: App): Node[] {
    const live = app.live(),
        { readings } = app.job,
        seen = readings.length ? live.seen() : null,
        next = live.next();
    const keys = pad((text) => hear(app, text + "\n"));
    const sense = app.job.answers["dial_sense"] === "-1" ? -1 : 1;
    return [
        h("h1", {}, "The readings"),
        asked(app, next, readings.length),
        h(
            "div",
            { class: "shows" },
            h("span", {}, "The dial shows"),
            h("span", {}, keys.shows, " mm"),
        ),
        keys.element,
        h("p", { role: "status", id: "told" }, told()),
        ...(seen
            ? [
                  soFar(seen) ?? "",
                  curve(readings, seen, sense),
                  findingList(seen.findings.filter((one) => one.severity !== "note")),
              ]
            : []
        ).map((one) => (typeof one === "string" ? document.createTextNode(one) : one)),
        otherAngle(app),
        readingTable(app),
        ...(readings.length > 2 && next.prospect === "more"
            ? [
                  h(
                      "button",
                      { id: "early", click: () => void app.go("verdict") },
                      "See the verdict now",
                  ),
              ]
            : []),
    ];
}
