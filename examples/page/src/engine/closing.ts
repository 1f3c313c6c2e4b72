// SPDX-License-Identifier: GPL-3.0-or-later
import { h } from "../dom";
import type { App } from "./app";
import { AFTER } from "./lists";
import { tickList } from "./ready";

export function closingView(app: App): Node[] {
    const status = h("p", { role: "status" });
    const count = () => {
        const left = AFTER.filter((item) => !app.job.ticked.includes(item)).length;
        status.textContent = left ? `${left} still to be seen to.` : "All is seen to.";
    };
    count();
    return [
        h("h1", {}, "Before it is started, and after"),
        tickList(app, AFTER, count),
        status,
        h("button", { class: "first", click: () => window.print() }, "Print the job sheet"),
    ];
}
