// SPDX-License-Identifier: GPL-3.0-or-later
import type { Finding } from "../core";
import { h } from "../dom";

const SEVERITIES = { note: "Note", caution: "Caution", stop: "Stop" };

export function findingList(findings: Finding[]): HTMLElement {
    return h(
        "div",
        {},
        ...findings.map((one) =>
            h(
                "p",
                { class: "note " + one.severity },
                h("strong", {}, SEVERITIES[one.severity] + ": "),
                one.text,
                one.row === null ? "" : ` (reading ${one.row + 1})`,
            ),
        ),
    );
}
