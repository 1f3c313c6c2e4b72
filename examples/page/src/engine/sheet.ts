// SPDX-License-Identifier: GPL-3.0-or-later
// The job sheet: what is printed, on one sheet an engine.

import { h } from "../dom";
import type { App } from "./app";
import { curve } from "./curve";
import { nameOf } from "./job";
import { AFTER, BEFORE } from "./lists";
import { GROUPS, standing } from "./questions";
import { setupOf } from "./setup";
import { findingList } from "./findings";
import { liftLine, stepList, verdictBox } from "./verdict";

function facts(app: App): HTMLElement {
    const said = GROUPS.flatMap((group) => group.questions).filter((question) =>
        standing(question, app.job.answers),
    );
    return h(
        "table",
        {},
        h(
            "tbody",
            {},
            ...said.map((question) => {
                const value = standing(question, app.job.answers),
                    words =
                        question.choices?.find((choice) => choice.value === value)?.text ?? value;
                return h(
                    "tr",
                    {},
                    h("th", { scope: "row" }, question.ask),
                    h("td", {}, words, question.unit ? " " + question.unit : ""),
                );
            }),
        ),
    );
}

export function sheet(app: App): HTMLElement {
    const { job } = app,
        { setup, faults } = setupOf(job.answers);
    const box = h(
        "section",
        { class: "sheet", "aria-hidden": "true" },
        h("h1", {}, `Static timing: ${nameOf(job)}`),
        h(
            "p",
            {},
            `Begun ${new Date(job.id).toISOString().slice(0, 16).replace("T", " ")} UTC; dialarc ${app.core.version}. Decided after JCGM 106: in, too late or too early only where it is at least 97.5 % sure.`,
        ),
    );
    if (faults.length || !job.readings.length) return box;
    const seen = app.core.see(setup, job.readings);
    box.append(
        verdictBox(seen.verdict),
        liftLine(seen.lift_mm, seen.lift_u_mm),
        stepList(seen.steps),
        findingList(seen.findings),
        curve(job.readings, seen, Number(setup["dial_sense"] ?? 1)),
        facts(app),
        h("h2", {}, "Readings, in the order taken"),
        h(
            "ol",
            { class: "columns" },
            ...job.readings.map((r) =>
                h(
                    "li",
                    {},
                    `${+r.crank_deg.toFixed(4)}°, ${r.dial_mm.toFixed(3)} mm, ${r.direction === "with" ? "forward" : "back"}`,
                ),
            ),
        ),
        h("h2", {}, "Seen to"),
        h(
            "ul",
            {},
            ...[...BEFORE, ...AFTER].map((item) =>
                h("li", {}, job.ticked.includes(item) ? "☑ " : "☐ ", item),
            ),
        ),
        h("p", {}, "The manufacturer's literature comes first. Name, day: ______________________"),
    );
    return box;
}
