// SPDX-License-Identifier: GPL-3.0-or-later
// The pump on its engine, drawn and moving: a crank with its degree wheel, belt and slack, the
// pump's shaft, the lobe under the plunger, the dial. Crank and pump are turned by hand.

import { s } from "../dom";
import type { Lift, Pump } from "./pump";

const CRANK = { x: 120, y: 190, r: 78 },
    SHAFT = { x: 330, y: 190, r: 56 };
const LOBE = { x: 470, y: 250, width: 190, height: 60 },
    DIAL = { x: 565, y: 66, r: 54 };
const SPAN_PUMP_DEG = 90; // of the cam that is seen under the plunger
const SAG = 16; // of the run of the belt that does not pull

/** Draws the arm and marks of a wheel, which `turn` sets to its angle. */
function wheel(
    at: typeof CRANK,
    name: string,
    marks: number,
): { group: SVGGElement; turn(deg: number): void } {
    const turning = s("g", {}, s("circle", { cx: 0, cy: 0, r: at.r, class: "solid" }));
    for (let k = 0; k < marks; k++) {
        const a = (k / marks) * 2 * Math.PI,
            inner = at.r - (k % (marks / 4) ? 5 : 12);
        turning.append(
            s("line", {
                x1: inner * Math.sin(a),
                y1: -inner * Math.cos(a),
                x2: at.r * Math.sin(a),
                y2: -at.r * Math.cos(a),
                class: "line",
            }),
        );
    }
    turning.append(
        s("line", { x1: 0, y1: 0, x2: 0, y2: -at.r + 14, class: "thick" }),
        s("circle", { cx: 0, cy: 0, r: 6, class: "paper" }),
    );
    const group = s(
        "g",
        { transform: `translate(${at.x} ${at.y})`, class: "grab" },
        turning,
        s("polygon", {
            points: `0,${-at.r - 2} -7,${-at.r - 16} 7,${-at.r - 16}`,
            class: "pointer",
        }),
        s("text", { x: 0, y: at.r + 18, "text-anchor": "middle" }, name),
    );
    return { group, turn: (deg) => turning.setAttribute("transform", `rotate(${deg.toFixed(3)})`) };
}

/** Degrees by which a pointer has moved about a centre since its last place. */
function drag(
    group: SVGGElement,
    svg: SVGSVGElement,
    at: { x: number; y: number },
    moved: (deg: number) => void,
): void {
    let last: number | null = null;
    const angle = (event: PointerEvent) => {
        const box = svg.getBoundingClientRect(),
            scale = 680 / box.width;
        return (
            (Math.atan2(
                (event.clientY - box.top) * scale - at.y,
                (event.clientX - box.left) * scale - at.x,
            ) *
                180) /
            Math.PI
        );
    };
    group.addEventListener("pointerdown", (event) => {
        last = angle(event);
        group.setPointerCapture(event.pointerId);
    });
    group.addEventListener("pointerup", () => {
        last = null;
    });
    group.addEventListener("pointermove", (event) => {
        if (last === null) return;
        const now = angle(event);
        moved(((now - last + 540) % 360) - 180);
        last = now;
    });
}

export interface Rig {
    svg: SVGSVGElement;
    show(pump: Pump, lift: Lift): void;
}

export function rig(
    turnCrank: (by_deg: number) => void,
    turnPump: (by_pump_deg: number) => void,
): Rig {
    const crank = wheel(CRANK, "crank: drag it", 72),
        shaft = wheel(SHAFT, "pump", 36);
    const upper = s("path", { class: "line" }),
        lower = s("path", { class: "line" });
    const cam = s("path", { class: "solid" }),
        plunger = s("rect", { x: DIAL.x - 7, width: 14, class: "paper" });
    const needle = s("line", { class: "needle" }),
        words = s("text", { x: 660, y: 336, "text-anchor": "end" });
    const svg = s(
        "svg",
        {
            viewBox: "0 0 680 350",
            role: "img",
            "aria-label":
                "A crank that drives a pump by a belt; the pump's cam lifts a plunger under a dial",
        },
        upper,
        lower,
        crank.group,
        shaft.group,
        s(
            "clipPath",
            { id: "seen" },
            s("rect", { x: LOBE.x, y: 120, width: LOBE.width, height: 200 }),
        ),
        s("g", { "clip-path": "url(#seen)" }, cam),
        plunger,
        s("circle", { cx: DIAL.x, cy: DIAL.y, r: DIAL.r, class: "paper" }),
        needle,
        words,
    );
    drag(crank.group, svg, CRANK, turnCrank);
    drag(shaft.group, svg, SHAFT, turnPump);
    return { svg, show };

    function belt(share: number): void {
        // the run that pulls is straight, the other hangs
        const run = (y1: number, y2: number, by: number) =>
            `M${CRANK.x} ${y1} Q${(CRANK.x + SHAFT.x) / 2} ${(y1 + y2) / 2 + by} ${SHAFT.x} ${y2}`;
        upper.setAttribute("d", run(CRANK.y - 40, SHAFT.y - 40, SAG * (1 - share)));
        lower.setAttribute("d", run(CRANK.y + 40, SHAFT.y + 40, SAG * share));
    }

    function show(pump: Pump, lift: Lift): void {
        const pump_deg = pump.pump_deg(),
            scale = LOBE.height / Math.max(pump.truth.lift_mm, 0.1);
        crank.turn(pump.crank_deg);
        shaft.turn(pump_deg);
        belt(Math.min(1, Math.max(0, pump.slackShare())));
        let d = `M${LOBE.x} 320`;
        for (let k = 0; k <= 90; k++) {
            // the cam moves under the plunger, which stands in the middle
            const at = pump_deg + (k / 90 - 0.5) * SPAN_PUMP_DEG;
            d += `L${LOBE.x + (LOBE.width * k) / 90} ${(LOBE.y + 20 - scale * lift(at)).toFixed(2)}`;
        }
        cam.setAttribute("d", d + `L${LOBE.x + LOBE.width} 320Z`);
        const tip = LOBE.y + 20 - scale * pump.lift_mm();
        plunger.setAttribute("y", String(DIAL.y + DIAL.r));
        plunger.setAttribute("height", String(Math.max(1, tip - DIAL.y - DIAL.r)));
        const turn = pump.dial_mm() * 2 * Math.PI;
        for (const [name, value] of Object.entries({
            x1: DIAL.x,
            y1: DIAL.y,
            x2: DIAL.x + 46 * Math.sin(turn),
            y2: DIAL.y - 46 * Math.cos(turn),
        }))
            needle.setAttribute(name, value.toFixed(2));
        words.textContent = `crank ${(pump.crank_deg - pump.truth.mark_deg).toFixed(1)}°   pump ${pump_deg.toFixed(1)}°   dial ${pump.dial_mm().toFixed(3)} mm`;
    }
}
