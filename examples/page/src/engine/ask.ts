// SPDX-License-Identifier: GPL-3.0-or-later
// The questions about the engine. Three answers and how TDC was found are enough.

import { Refused } from "../core";
import { h } from "../dom";
import type { App } from "./app";
import { answer } from "./job";
import { GROUPS, type Question, standing } from "./questions";
import { setupOf } from "./setup";

/** A question on the page: what it is made of, and what it shows of the answers. */
interface Shown {
    element: HTMLElement;
    refresh(): void;
}

function choiceShown(app: App, question: Question, say: (text: string) => void): Shown {
    const { column, choices } = question;
    const buttons = choices!.map((choice, k) =>
        h(
            "button",
            { id: `${column}-${k}`, type: "button", click: () => say(choice.value) },
            choice.text,
        ),
    );
    const refresh = () => {
        const said = app.job.answers[column] !== undefined || !question.needed,
            value = standing(question, app.job.answers);
        choices!.forEach((choice, k) =>
            buttons[k]!.setAttribute("aria-pressed", String(said && choice.value === value)),
        );
    };
    return {
        refresh,
        element: h(
            "fieldset",
            {},
            h("legend", {}, question.ask),
            question.hint ? h("p", { class: "soft" }, question.hint) : null,
            h("div", { class: "row" }, ...buttons),
        ),
    };
}

function entryShown(app: App, question: Question, say: (text: string) => void): Shown {
    const { column } = question,
        told = h("p", { id: column + "-fault", hidden: true, class: "note caution" });
    const input = h("input", {
        id: column,
        value: standing(question, app.job.answers),
        type: "text",
        autocomplete: "off",
        inputmode: question.text ? "text" : "decimal",
        "aria-describedby": told.id,
        input: () => say(input.value),
    });
    const refresh = () => {
        const fault = setupOf(app.job.answers).faults.find(
            (one) => one.column === column && app.job.answers[column],
        );
        told.hidden = !fault;
        told.textContent = fault?.text ?? "";
        input.setAttribute("aria-invalid", String(Boolean(fault)));
    };
    return {
        refresh,
        element: h(
            "div",
            {},
            h("label", { class: "ask", for: column }, question.ask),
            h(
                "div",
                { class: "entry" },
                input,
                question.unit ? h("span", {}, question.unit) : null,
            ),
            told,
        ),
    };
}

/** What is still missing, or what the library says against the whole of it. */
function against(app: App): string {
    const { setup, faults } = setupOf(app.job.answers);
    if (faults.length)
        return "The cylinders, both limits of the window and how TDC was found are needed.";
    try {
        app.core.check(setup);
        return "";
    } catch (error) {
        if (error instanceof Refused) return error.message;
        throw error;
    }
}

export function questionsView(app: App): Node[] {
    const onward = h(
        "button",
        { class: "first", id: "go", click: () => void app.go("sweep") },
        "To the readings",
    );
    const why = h("p", { role: "status" });
    const shown: Shown[] = [];
    const refresh = () => {
        shown.forEach((one) => one.refresh());
        why.textContent = against(app);
        onward.disabled = why.textContent !== "";
    };
    const sections = GROUPS.map((group) => {
        const mine = group.questions.map((question) =>
            (question.choices ? choiceShown : entryShown)(app, question, (text) => {
                void app.keep(answer(app.job, question.column, text));
                refresh();
            }),
        );
        shown.push(...mine);
        const elements = mine.map((one) => one.element);
        return group.open
            ? h("section", {}, h("h2", {}, group.title), ...elements)
            : h("details", {}, h("summary", {}, group.title), ...elements);
    });
    refresh();
    return [h("h1", {}, "The engine"), ...sections, why, onward];
}
