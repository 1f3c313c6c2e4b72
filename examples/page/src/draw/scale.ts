// SPDX-License-Identifier: GPL-3.0-or-later
// A plane to draw on: from numbers to places, with lines at round numbers.

import { s } from "../dom";

export interface Span {
    from: number;
    to: number;
}

/** The span of numbers, a little wider; NaN are passed over. */
export function spanOf(numbers: Iterable<number>, least: number): Span {
    let from = Infinity,
        to = -Infinity;
    for (const x of numbers)
        if (Number.isFinite(x)) {
            from = Math.min(from, x);
            to = Math.max(to, x);
        }
    if (from > to) return { from: 0, to: least };
    const more = Math.max(0.05 * (to - from), (least - (to - from)) / 2);
    return { from: from - more, to: to + more };
}

/** Round numbers in a span, about `count` of them: 1, 2 or 5 by powers of ten apart. */
export function ticks(span: Span, count: number): number[] {
    const rough = (span.to - span.from) / count,
        power = 10 ** Math.floor(Math.log10(rough));
    const step = [1, 2, 5, 10].map((k) => k * power).find((k) => k >= rough)!;
    const marks: number[] = [];
    for (let k = Math.ceil(span.from / step); k * step <= span.to; k++) marks.push(k * step);
    return marks;
}

export interface Plane {
    x(value: number): number;
    y(value: number): number;
    up: Span;
    group: SVGGElement;
    width: number;
    height: number;
}

const LEFT = 44,
    BOTTOM = 34,
    TOP = 8,
    RIGHT = 8;

/** Axes with their words, ready to be drawn into. */
export function plane(
    width: number,
    height: number,
    across: Span,
    up: Span,
    words: [string, string],
): Plane {
    const x = (v: number) =>
        LEFT + ((v - across.from) / (across.to - across.from)) * (width - LEFT - RIGHT);
    const y = (v: number) =>
        height - BOTTOM - ((v - up.from) / (up.to - up.from)) * (height - BOTTOM - TOP);
    const digits = Math.max(0, -Math.floor(Math.log10((up.to - up.from) / 5)));
    const group = s("g", {});
    for (const v of ticks(across, 6))
        group.append(
            s("line", { x1: x(v), x2: x(v), y1: TOP, y2: height - BOTTOM, class: "grid" }),
            s("text", { x: x(v), y: height - BOTTOM + 14, "text-anchor": "middle" }, +v.toFixed(6)),
        );
    for (const v of ticks(up, 5))
        group.append(
            s("line", { x1: LEFT, x2: width - RIGHT, y1: y(v), y2: y(v), class: "grid" }),
            s("text", { x: LEFT - 5, y: y(v) + 4, "text-anchor": "end" }, v.toFixed(digits)),
        );
    group.append(
        s("rect", {
            x: LEFT,
            y: TOP,
            width: width - LEFT - RIGHT,
            height: height - BOTTOM - TOP,
            class: "frame",
        }),
        s("text", { x: (LEFT + width) / 2, y: height - 4, "text-anchor": "middle" }, words[0]),
        s(
            "text",
            {
                x: 12,
                y: height / 2,
                "text-anchor": "middle",
                transform: `rotate(-90 12 ${height / 2})`,
            },
            words[1],
        ),
    );
    return { x, y, up, group, width, height };
}

/** A line through points; NaN lift the pen. */
export function line(
    p: Plane,
    xs: ArrayLike<number>,
    ys: ArrayLike<number>,
    className: string,
): SVGPathElement {
    let d = "",
        down = false;
    for (let k = 0; k < xs.length; k++) {
        const good = Number.isFinite(xs[k]!) && Number.isFinite(ys[k]!);
        if (good) d += `${down ? "L" : "M"}${p.x(xs[k]!).toFixed(1)} ${p.y(ys[k]!).toFixed(1)}`;
        down = good;
    }
    return s("path", { d, class: className });
}
