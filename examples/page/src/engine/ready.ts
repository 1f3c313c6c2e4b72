// SPDX-License-Identifier: GPL-3.0-or-later
import { h } from "../dom";
import type { App } from "./app";
import { tick } from "./job";
import { BEFORE } from "./lists";

/** A list to tick; `ticked` is told of every change. */
export function tickList(app: App, items: string[], ticked?: () => void): HTMLElement {
    return h(
        "div",
        { role: "group" },
        ...items.map((item) =>
            h(
                "label",
                { class: "tick" },
                h("input", {
                    type: "checkbox",
                    checked: app.job.ticked.includes(item),
                    change: (event) => {
                        void app.keep(tick(app.job, [item], event.target.checked));
                        ticked?.();
                    },
                }),
                h("span", {}, item),
            ),
        ),
    );
}

export function readyView(app: App): Node[] {
    return [
        h("h1", {}, "Before you begin"),
        h(
            "p",
            {},
            "This page does the sums of the static timing of a distributor pump: where to read the dial, what the lift at TDC is, how sure that is, which way to turn and how far. Nothing leaves this device.",
        ),
        tickList(app, BEFORE),
        h(
            "button",
            {
                class: "first",
                id: "go",
                click: () =>
                    void app.change({ ...tick(app.job, BEFORE, true), place: "questions" }),
            },
            "All of this is seen to",
        ),
    ];
}
