// SPDX-License-Identifier: GPL-3.0-or-later
// The readings over the crank, and what they say so far: forward full, back dashed, with the
// uncertainty as a band about the way forward.

import type { Seen } from "../core";
import { s } from "../dom";
import { line, plane, spanOf, type Plane } from "../draw/scale";
import type { Reading } from "./job";

function liftAt(seen: Seen, crank_deg: number): number {
    const share =
        ((crank_deg - seen.minimum_crank_deg) / seen.rise_crank_deg) * (seen.rise_mm.length - 1);
    if (!(share < seen.rise_mm.length - 1)) return NaN;
    if (share <= 0) return share > -seen.rise_mm.length / 3 ? 0 : NaN; // a little of the dwell before
    const k = Math.floor(share);
    return seen.rise_mm[k]! + (share - k) * (seen.rise_mm[k + 1]! - seen.rise_mm[k]!);
}

function drawSeen(
    p: Plane,
    seen: Seen,
    from: number,
    to: number,
    sense: number,
    back: boolean,
): void {
    const shown = (y: number) => (y >= p.up.from && y <= p.up.to ? y : NaN);
    const half = Number.isFinite(seen.dial_hysteresis_mm) ? seen.dial_hysteresis_mm / 2 : 0;
    const xs: number[] = [],
        up: number[] = [],
        down: number[] = [];
    for (let k = 0; k <= 120; k++) {
        const x = from + ((to - from) * k) / 120;
        xs.push(x);
        up.push(shown(seen.minimum_mm + sense * (liftAt(seen, x) - half)));
        down.push(shown(seen.minimum_mm + sense * (liftAt(seen, x + seen.slack_crank_deg) + half)));
    }
    const u = seen.lift_u_mm,
        good = up.map((y, k) => [xs[k]!, y] as const).filter(([, y]) => Number.isFinite(y));
    if (Number.isFinite(u) && good.length > 1)
        p.group.append(
            s("polygon", {
                class: "band",
                points: [
                    ...good.map(([x, y]) => `${p.x(x)},${p.y(y + u)}`),
                    ...good.reverse().map(([x, y]) => `${p.x(x)},${p.y(y - u)}`),
                ].join(" "),
            }),
        );
    p.group.append(line(p, xs, up, "forward"));
    if (back) p.group.append(line(p, xs, down, "back"));
}

function dot(p: Plane, { crank_deg, dial_mm, direction }: Reading): SVGElement {
    const x = p.x(crank_deg),
        y = p.y(dial_mm),
        way = direction === "with" ? -1 : 1; // triangles point the way of the dial
    return s("polygon", {
        points: `${x},${y + 6 * way} ${x - 5},${y - 4 * way} ${x + 5},${y - 4 * way}`,
        class: direction,
    });
}

export function curve(readings: Reading[], seen: Seen | null, sense: number): SVGSVGElement {
    const across = spanOf([...readings.map((r) => r.crank_deg), 0], 10);
    const up = spanOf(
        readings.map((r) => r.dial_mm),
        0.1,
    );
    const p = plane(360, 250, across, up, ["crank degrees from TDC", "dial, mm"]);
    p.group.append(
        s("line", { x1: p.x(0), x2: p.x(0), y1: 8, y2: 216, class: "line" }),
        s("text", { x: p.x(0) + 3, y: 20 }, "TDC"),
    );
    if (seen && Number.isFinite(seen.minimum_mm) && Number.isFinite(seen.minimum_crank_deg))
        drawSeen(
            p,
            seen,
            across.from,
            across.to,
            sense,
            readings.some((r) => r.direction === "against") &&
                Number.isFinite(seen.slack_crank_deg),
        );
    for (const reading of readings) p.group.append(dot(p, reading));
    const told =
        seen && Number.isFinite(seen.lift_mm)
            ? ` They say a lift of ${seen.lift_mm.toFixed(3)} mm at TDC, within ${seen.lift_u_mm.toFixed(3)}.`
            : "";
    return s(
        "svg",
        {
            viewBox: "0 0 360 250",
            role: "img",
            "aria-label": `${readings.length} readings of the dial over the crank angle.${told}`,
        },
        p.group,
    );
}
