// SPDX-License-Identifier: GPL-3.0-or-later
// Tables out, for the program, a spreadsheet or another device, and in again.

import { Refused } from "../core";
import { h } from "../dom";
import { setupsTable, sweepsTable } from "../tables";
import type { App } from "./app";
import { measured } from "./job";
import { setupOf } from "./setup";

function link(name: string, text: string): HTMLElement {
    const href = "data:text/csv;charset=utf-8," + encodeURIComponent(text);
    return h("a", { class: "button", download: name, href }, name);
}

/** Readings of a table in place of those of the job, which stay on the sheet as earlier ones. */
function takeTable(app: App, text: string, tell: (text: string) => void): void {
    try {
        const sweeps = app.core.readSweeps(setupOf(app.job.answers).setup, text);
        const { readings, earlier } = app.job;
        const before = readings.length ? [...earlier, readings] : earlier;
        void app.change(
            measured({ ...app.job, place: "sweep", earlier: before }, sweeps[0]!.readings),
        );
    } catch (error) {
        if (!(error instanceof Refused)) throw error;
        tell(error.message);
    }
}

export function exchange(app: App): HTMLElement {
    const { setup, faults } = setupOf(app.job.answers);
    const fault = h("p", { id: "table-fault", role: "alert" });
    const take = (text: string) => takeTable(app, text, (why) => (fault.textContent = why));
    const paste = h("textarea", { id: "table", rows: 4, "aria-describedby": fault.id });
    const file = h("input", {
        id: "table-file",
        type: "file",
        accept: ".csv,.txt,text/csv",
        change: () => void file.files?.[0]?.text().then(take),
    });
    const name = setup["setup"] ?? "engine";
    return h(
        "details",
        {},
        h("summary", {}, "Tables"),
        h("p", {}, "For the program dialarc, a spreadsheet or another device:"),
        faults.length
            ? null
            : h(
                  "div",
                  { class: "row" },
                  link("setups.csv", setupsTable(setup)),
                  link("sweeps.csv", sweepsTable("1", setup, app.job.readings)),
              ),
        h(
            "label",
            { class: "ask", for: "table" },
            `Readings from a table: columns sweep, setup (${name}), crank_deg, dial_mm`,
        ),
        paste,
        h("button", { id: "table-take", click: () => take(paste.value) }, "Take this table"),
        h("label", { class: "ask", for: "table-file" }, "or from a file"),
        file,
        fault,
    );
}
