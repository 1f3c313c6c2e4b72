// SPDX-License-Identifier: GPL-3.0-or-later
// Tables as the library reads them, RFC 4180.

import type { Setup } from "./core";
import type { Reading } from "./engine/job";

function field(value: string | number): string {
    const text = String(value);
    return /[",\r\n]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text;
}

function table(rows: (string | number)[][]): string {
    return rows.map((row) => row.map(field).join(",") + "\r\n").join("");
}

/** The name of an engine in the tables. */
export function setupName(setup: Setup): string {
    return String(setup["setup"] ?? "engine");
}

export function setupsTable(setup: Setup): string {
    const columns = Object.keys(setup).filter((column) => column !== "setup");
    return table([
        ["setup", ...columns],
        [setupName(setup), ...columns.map((column) => setup[column]!)],
    ]);
}

export function sweepsTable(sweep: string, setup: Setup, readings: Reading[]): string {
    return table([
        ["sweep", "setup", "crank_deg", "dial_mm", "direction"],
        ...readings.map((r) => [
            sweep,
            setupName(setup),
            +r.crank_deg.toFixed(9),
            +r.dial_mm.toFixed(9),
            r.direction,
        ]),
    ]);
}
