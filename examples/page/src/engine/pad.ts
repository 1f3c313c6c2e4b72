// SPDX-License-Identifier: GPL-3.0-or-later
// Keys for a thumb, and what has been typed. A keyboard, or an indicator that types like one,
// does the same.

import { h } from "../dom";

const KEYS = [
    "7",
    "8",
    "9",
    "⌫",
    "4",
    "5",
    "6",
    "−",
    "1",
    "2",
    "3",
    "take",
    "0",
    ".",
    "00",
] as const;

export function pad(take: (text: string) => void): {
    element: HTMLElement;
    shows: HTMLOutputElement;
} {
    const shows = h("output", { class: "big", id: "typed", "aria-label": "typed" });
    const press = (key: string) => {
        const text = shows.textContent ?? "";
        if (key === "⌫") shows.textContent = text.slice(0, -1);
        else if (key === "take") {
            shows.textContent = "";
            take(text.replace("−", "-"));
        } else if (text.length < 12) shows.textContent = text + key;
    };
    const element = h(
        "div",
        { class: "pad" },
        ...KEYS.map((key) =>
            h(
                "button",
                {
                    class: key === "take" ? "take" : undefined,
                    id: "key-" + key,
                    "aria-label":
                        key === "⌫"
                            ? "delete"
                            : key === "−"
                              ? "minus"
                              : key === "take"
                                ? "take this reading"
                                : undefined,
                    click: () => press(key),
                },
                key,
            ),
        ),
    );
    listen(element, press);
    return { element, shows };
}

/** Keys typed anywhere on the page, as long as the pad is on it. */
function listen(element: HTMLElement, press: (key: string) => void): void {
    const heard = (event: KeyboardEvent) => {
        if (!element.isConnected) {
            document.removeEventListener("keydown", heard);
            return;
        }
        if (
            event.ctrlKey ||
            event.altKey ||
            event.metaKey ||
            (event.target as Element).closest?.("input, select, textarea")
        )
            return;
        const key = { Enter: "take", Backspace: "⌫", "-": "−", ",": "." }[event.key] ?? event.key;
        if (!/^([0-9.⌫−]|take)$/.test(key)) return;
        event.preventDefault();
        press(key);
    };
    document.addEventListener("keydown", heard);
}
