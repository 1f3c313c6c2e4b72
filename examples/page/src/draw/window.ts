// SPDX-License-Identifier: GPL-3.0-or-later
// The lift with its uncertainty beside the window, to one scale.

import { s } from "../dom";
import { spanOf, ticks } from "./scale";

export function windowPicture(
    lift_mm: number,
    u_mm: number,
    low_mm: number,
    high_mm: number,
): SVGSVGElement {
    const span = spanOf([lift_mm - u_mm, lift_mm + u_mm, low_mm, high_mm], 0.02);
    const x = (v: number) => 12 + ((v - span.from) / (span.to - span.from)) * 316;
    const group = s(
        "g",
        {},
        s("rect", {
            x: x(low_mm),
            y: 20,
            width: x(high_mm) - x(low_mm),
            height: 34,
            class: "window",
        }),
        s("text", { x: (x(low_mm) + x(high_mm)) / 2, y: 14, "text-anchor": "middle" }, "window"),
    );
    for (const v of ticks(span, 5))
        group.append(
            s("line", { x1: x(v), x2: x(v), y1: 70, y2: 76, class: "line" }),
            s("text", { x: x(v), y: 90, "text-anchor": "middle" }, v.toFixed(2)),
        );
    group.append(s("line", { x1: 12, x2: 328, y1: 70, y2: 70, class: "line" }));
    if (Number.isFinite(lift_mm))
        group.append(
            s("line", {
                x1: x(lift_mm - u_mm),
                x2: x(lift_mm + u_mm),
                y1: 37,
                y2: 37,
                class: "thick",
            }),
            s("circle", { cx: x(lift_mm), cy: 37, r: 7, class: "paper" }),
        );
    return s(
        "svg",
        {
            viewBox: "0 0 340 96",
            role: "img",
            "aria-label": `Lift ${lift_mm.toFixed(3)} mm, within ${u_mm.toFixed(3)}, beside the window from ${low_mm} to ${high_mm} mm`,
        },
        group,
    );
}
