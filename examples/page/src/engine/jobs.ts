// SPDX-License-Identifier: GPL-3.0-or-later
// The jobs that this device keeps.

import { h } from "../dom";
import type { Engine } from "./app";
import { begin, type Job, nameOf } from "./job";

export function jobsView(engine: Engine): HTMLElement {
    const { store } = engine;
    const list = h("ul", {}),
        box = h(
            "details",
            { class: "screen", toggle: () => void fill() },
            h("summary", {}, "Jobs on this device"),
            list,
            h(
                "button",
                { click: () => void engine.change(begin(Date.now())) },
                "Begin another job",
            ),
        );
    return box;

    async function fill(): Promise<void> {
        const jobs = box.open ? await store.all() : [];
        list.replaceChildren(
            ...jobs.map((job) =>
                h(
                    "li",
                    {},
                    `${nameOf(job)}, ${job.readings.length} readings `,
                    h(
                        "span",
                        { class: "row" },
                        h(
                            "button",
                            {
                                disabled: job.id === engine.job.id,
                                click: () => void engine.change(job),
                            },
                            "open",
                        ),
                        h(
                            "button",
                            {
                                disabled: job.id === engine.job.id,
                                "aria-label": `strike out ${nameOf(job)}`,
                                click: () => void strike(job),
                            },
                            "strike out",
                        ),
                    ),
                ),
            ),
        );
    }

    async function strike(job: Job): Promise<void> {
        if (
            !window.confirm(
                `Strike out ${nameOf(job)}? Its ${job.readings.length} readings are lost.`,
            )
        )
            return;
        await store.strike(job.id);
        await fill();
    }
}
