// SPDX-License-Identifier: GPL-3.0-or-later
// What is entered beside the angle that was asked for, and the cable.

import { h } from "../dom";
import type { App } from "./app";
import { cableThere, readCable } from "./cable";

/* What was said to the last line stays until the next; it is no part of the job. */
let last = "";

export function told(): string {
    return last;
}

export function hear(app: App, text: string): void {
    const live = app.live(),
        lines = live.hear(text, Date.now() / 1000);
    if (lines.length === 0) return;
    last = lines.at(-1)!.text;
    void app.hold();
}

export function otherAngle(app: App): HTMLElement {
    const angle = h("input", { id: "other-angle", inputmode: "text", autocomplete: "off" }),
        dial = h("input", { id: "other-dial", inputmode: "decimal", autocomplete: "off" });
    return h(
        "details",
        {},
        h("summary", {}, "Another angle, and changes"),
        h("label", { class: "ask", for: "other-angle" }, "Crank degrees (before TDC: minus)"),
        h("div", { class: "entry" }, angle),
        h("label", { class: "ask", for: "other-dial" }, "The dial shows, mm"),
        h("div", { class: "entry" }, dial),
        h(
            "div",
            { class: "row" },
            h(
                "button",
                { id: "other-take", click: () => hear(app, `${angle.value};${dial.value}\n`) },
                "Take it",
            ),
            h(
                "button",
                { id: "strike", click: () => hear(app, "back\n") },
                "Strike the last reading",
            ),
            h(
                "button",
                { id: "turn", click: () => hear(app, "turn\n") },
                "I turn the other way now",
            ),
            cableThere()
                ? h("button", { click: () => void cable(app) }, "Indicator on a cable")
                : null,
        ),
    );
}

async function cable(app: App): Promise<void> {
    try {
        await readCable(9600, (text) => hear(app, text));
        last = "The indicator has gone silent. What was read is kept.";
    } catch (error) {
        last = `No line to the indicator: ${String(error)}. What was read is kept.`;
    }
    void app.hold();
}
