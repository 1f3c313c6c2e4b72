// SPDX-License-Identifier: GPL-3.0-or-later
// In class: the pump to turn, eight exercises, and for the teacher a sheet of solutions. The
// address names what is seen and its seed, so that a class sees the same.

import type { Core } from "../core";
import { h } from "../dom";
import { curve } from "../engine/curve";
import { benchView } from "./bench";
import { type Exercise, MAKERS, markAnswer, solution } from "./exercises";

export const SEED = 2024;

/** `#class/3/77`: exercise 3 of seed 77; 0 is the pump to turn, "sheet" the solutions. */
export function addressOf(what: number | "sheet", seed: number): string {
    return `#class/${what}/${seed}`;
}

export function readAddress(hash: string): { what: number | "sheet"; seed: number } {
    const [, what, seed] = hash.slice(1).split("/");
    const number = Number(what),
        n = Number(seed);
    return {
        what:
            what === "sheet"
                ? "sheet"
                : number >= 1 && number <= MAKERS.length
                  ? Math.floor(number)
                  : 0,
        seed: seed && Number.isInteger(n) && n >= 0 ? n : SEED,
    };
}

function readingsOf(exercise: Exercise): Node[] {
    if (!exercise.readings) return [];
    return [
        curve(exercise.readings, null, 1),
        h(
            "details",
            { open: true },
            h("summary", {}, "The readings"),
            h(
                "ol",
                { class: "scroll columns", tabindex: "0", "aria-label": "readings" },
                ...exercise.readings.map((r) =>
                    h(
                        "li",
                        {},
                        `${r.crank_deg}°, ${r.dial_mm.toFixed(3)} mm${r.direction === "against" ? ", back" : ""}`,
                    ),
                ),
            ),
        ),
    ];
}

function answerOf(exercise: Exercise): Node[] {
    const { ask } = exercise,
        marked = h("div", { role: "status", id: "marked" });
    const mark = (said: string) => {
        const { right, why } = markAnswer(ask, said);
        marked.replaceChildren(
            h("p", { class: "note" }, h("strong", {}, right ? "✓ Right. " : "✗ Not right. "), why),
            h("p", {}, exercise.why),
        );
    };
    if ("choices" in ask)
        return [
            h("p", { class: "ask" }, ask.text),
            h(
                "div",
                { class: "row" },
                ...ask.choices.map((choice) => h("button", { click: () => mark(choice) }, choice)),
            ),
            marked,
        ];
    const input = h("input", { id: "answer", autocomplete: "off" });
    return [
        h(
            "form",
            {
                submit: (event) => {
                    event.preventDefault();
                    mark(input.value);
                },
            },
            h(
                "label",
                { class: "ask", for: "answer" },
                ask.text,
                "unit" in ask ? `, ${ask.unit}` : "",
            ),
            h("div", { class: "entry" }, input, h("button", { id: "mark" }, "Mark it")),
        ),
        marked,
    ];
}

function exerciseView(core: Core, what: number, seed: number): Node[] {
    const exercise = MAKERS[what - 1]!(core, seed);
    return [
        h("h1", {}, `${what}. ${exercise.title}`),
        h("p", {}, exercise.told),
        ...readingsOf(exercise),
        ...answerOf(exercise),
        h(
            "p",
            {},
            h("a", { href: addressOf(what, seed + 1) }, "Another one of its kind"),
            " · ",
            h("a", { href: addressOf((what % MAKERS.length) + 1, seed) }, "The next exercise"),
        ),
    ];
}

function sheetView(core: Core, seed: number): Node[] {
    return [
        h("h1", {}, `Solutions, seed ${seed}`),
        h("p", {}, "For the teacher. All engines are invented."),
        h(
            "ol",
            { id: "solutions" },
            ...MAKERS.map((make) => {
                const exercise = make(core, seed);
                return h(
                    "li",
                    {},
                    h("strong", {}, exercise.title + ". "),
                    `${exercise.ask.text}: `,
                    h("strong", {}, solution(exercise.ask)),
                    `. ${exercise.why}`,
                );
            }),
        ),
        h("button", { class: "screen", click: () => window.print() }, "Print"),
    ];
}

export function showClass(core: Core, root: HTMLElement, hash: string): void {
    const { what, seed } = readAddress(hash);
    root.className = what === 0 ? "wide" : "";
    const link = (to: number | "sheet", text: string) =>
        h(
            "a",
            {
                class: "button",
                href: addressOf(to, seed),
                "aria-current": to === what ? "page" : undefined,
            },
            text,
        );
    root.replaceChildren(
        h(
            "nav",
            { class: "row screen", "aria-label": "In class" },
            link(0, "Pump"),
            ...MAKERS.map((_, k) => link(k + 1, String(k + 1))),
            link("sheet", "Solutions"),
        ),
        ...(what === "sheet"
            ? sheetView(core, seed)
            : what === 0
              ? benchView(core, seed)
              : exerciseView(core, what, seed)),
    );
}
