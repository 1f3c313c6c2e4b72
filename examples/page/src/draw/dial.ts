// SPDX-License-Identifier: GPL-3.0-or-later
// The face of a dial indicator: a needle, and the place to aim for.

import { s } from "../dom";

const CENTRE = 110,
    RADIUS = 100,
    TURN_MM = 1;

function at(mm: number, radius: number): [number, number] {
    const angle = (mm / TURN_MM) * 2 * Math.PI;
    return [CENTRE + radius * Math.sin(angle), CENTRE - radius * Math.cos(angle)];
}

function stroke(mm: number, from: number, to: number, className: string): SVGElement {
    const [x1, y1] = at(mm, from),
        [x2, y2] = at(mm, to);
    return s("line", { x1, y1, x2, y2, class: className });
}

/** A dial of one millimetre a turn that shows `shown_mm`; a wedge marks `aim_mm`. */
export function dial(shown_mm: number, aim_mm?: number): SVGSVGElement {
    const face = s("g", {}, s("circle", { cx: CENTRE, cy: CENTRE, r: RADIUS, class: "paper" }));
    for (let k = 0; k < 100; k++)
        face.append(stroke(k / 100, RADIUS - (k % 10 ? (k % 5 ? 6 : 9) : 14), RADIUS, "line"));
    for (let k = 0; k < 10; k++) {
        const [x, y] = at(k / 10, RADIUS - 26);
        face.append(s("text", { x, y: y + 4, "text-anchor": "middle" }, String(k * 10)));
    }
    if (aim_mm !== undefined && Number.isFinite(aim_mm)) {
        const tip = at(aim_mm, RADIUS - 2),
            left = at(aim_mm - 0.018, RADIUS - 20),
            right = at(aim_mm + 0.018, RADIUS - 20);
        face.append(
            s("polygon", {
                points: [tip, left, right].map((p) => p.join()).join(" "),
                class: "pointer",
            }),
        );
    }
    if (Number.isFinite(shown_mm)) face.append(stroke(shown_mm, -18, RADIUS - 16, "needle"));
    face.append(s("circle", { cx: CENTRE, cy: CENTRE, r: 5, class: "solid" }));
    const text =
        aim_mm === undefined
            ? `The dial shows ${shown_mm.toFixed(3)} mm.`
            : `Aim at ${aim_mm.toFixed(3)} mm above the minimum.`;
    return s(
        "svg",
        { viewBox: "0 0 220 220", role: "img", "aria-label": text, style: "max-width:15rem" },
        face,
    );
}
