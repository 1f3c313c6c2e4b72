// SPDX-License-Identifier: GPL-3.0-or-later
// One page, two places: at the engine, and in class.

import { showClass, addressOf, SEED } from "./class/room";
import { h } from "./dom";
import { Engine } from "./engine/app";
import type { Job } from "./engine/job";
import { openLibrary } from "./library";
import { Store } from "./store";

async function main(): Promise<void> {
    const core = await openLibrary(),
        root = h("main", { id: "main" });
    const engine = await Engine.open(core, await Store.open<Job>(), root);
    const toEngine = h(
        "button",
        {
            id: "at-engine",
            click: () => {
                location.hash = "";
            },
        },
        "At the engine",
    );
    const toClass = h(
        "button",
        {
            id: "in-class",
            click: () => {
                location.hash = addressOf(0, SEED);
            },
        },
        "In class",
    );
    document
        .getElementById("page")!
        .append(h("header", {}, h("strong", {}, "dialarc"), toEngine, toClass), root);
    const show = () => {
        const inClass = location.hash.startsWith("#class");
        toEngine.setAttribute("aria-pressed", String(!inClass));
        toClass.setAttribute("aria-pressed", String(inClass));
        if (inClass) showClass(core, root, location.hash);
        else engine.show();
    };
    window.addEventListener("hashchange", show);
    show();
}

void main();
