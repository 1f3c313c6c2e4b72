// SPDX-License-Identifier: GPL-3.0-or-later
// Which way to turn, as seen from the drive end.

import { s } from "../dom";

/** A wheel with an arrow: `clockwise` as seen from the drive end of the pump. */
export function turnPicture(what: string, clockwise: boolean): SVGSVGElement {
    const flip = clockwise ? "" : "translate(220 0) scale(-1 1)";
    return s(
        "svg",
        {
            viewBox: "0 0 220 200",
            role: "img",
            style: "max-width:13rem",
            "aria-label": `${what}: ${clockwise ? "clockwise" : "counter-clockwise"}, seen from the drive end`,
        },
        s("circle", { cx: 110, cy: 95, r: 52, class: "solid" }),
        s("circle", { cx: 110, cy: 95, r: 8, class: "paper" }),
        s(
            "g",
            { transform: flip },
            s("path", { d: "M58 41 A75 75 0 0 1 177 61", class: "thick" }),
            s("polygon", { points: "187,79 166,67 186,54", class: "pointer" }),
        ),
        s("text", { x: 110, y: 100, "text-anchor": "middle", class: "large" }, what),
        s("text", { x: 110, y: 180, "text-anchor": "middle" }, "seen from the drive end"),
    );
}
