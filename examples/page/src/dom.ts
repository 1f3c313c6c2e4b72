// SPDX-License-Identifier: GPL-3.0-or-later
// Elements made in one expression. Text goes in as text, never as markup.

type Child = Node | string | number | null | undefined | false;
type Value = string | number | boolean | undefined | ((event: any) => void);

function fill<E extends Element>(element: E, given: Record<string, Value>, children: Child[]): E {
    for (const [name, value] of Object.entries(given)) {
        if (typeof value === "function") element.addEventListener(name, value);
        else if (value === true) element.setAttribute(name, "");
        else if (value !== undefined && value !== false) element.setAttribute(name, String(value));
    }
    for (const child of children)
        if (child instanceof Node) element.append(child);
        else if (child !== null && child !== undefined && child !== false)
            element.append(String(child));
    return element;
}

/** An element of the page; a function among what is given listens to the event of its name. */
export function h<K extends keyof HTMLElementTagNameMap>(
    tag: K,
    given: Record<string, Value> = {},
    ...children: Child[]
): HTMLElementTagNameMap[K] {
    return fill(document.createElement(tag), given, children);
}

/** An element of a drawing. */
export function s<K extends keyof SVGElementTagNameMap>(
    tag: K,
    given: Record<string, Value> = {},
    ...children: Child[]
): SVGElementTagNameMap[K] {
    return fill(document.createElementNS("http://www.w3.org/2000/svg", tag), given, children);
}
