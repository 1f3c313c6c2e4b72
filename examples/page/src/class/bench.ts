// SPDX-License-Identifier: GPL-3.0-or-later
// A pump to turn by hand, what is true of it to set, and what dialarc makes of its readings.

import { Refused, type Core, type Seen } from "../core";
import { h } from "../dom";
import { windowPicture } from "../draw/window";
import { curve } from "../engine/curve";
import type { Reading } from "../engine/job";
import { LAWS } from "../engine/questions";
import { findingList } from "../engine/findings";
import { chance } from "./chance";
import { build, invent, knownOf } from "./invent";
import { type Lift, type Pump, stands, sweep, type Truth } from "./pump";
import { rig } from "./rig";
import { type Reader, SLIDERS } from "./sliders";

export function benchView(core: Core, seed: number): Node[] {
    const truth: Truth = {
        ...invent(chance(seed)),
        law: "cycloidal",
        lift_mm: 2.3,
        rise_deg: 40,
        lift_at_tdc_mm: 0.9,
        slack_deg: 2,
        hysteresis_mm: 0.005,
    };
    const other: Reader = { step: 4, width_mm: 0.04, tdc_sd_deg: 0.1 };
    let cam = true,
        both = true,
        readings: Reading[] = [],
        pump: Pump;
    const drawn = rig(
        (by) => {
            pump.turnCrank(pump.crank_deg + by);
            show();
        },
        (by) => {
            pump.turnPump(pump.crank_deg + pump.slackShare() * truth.slack_deg + 2 * by);
            show();
        },
    );
    const says = h("div", { "aria-live": "polite" });
    let lift: Lift;
    let show = () => {};

    /** Builds the pump anew, standing behind the first angle of a sweep. */
    function anew(): void {
        ({ pump, lift } = build(core, truth));
        show = () => drawn.show(pump, lift);
    }

    function rebuild(): void {
        const at = pump.crank_deg;
        anew();
        pump.turnCrank(at);
        show();
    }

    function say(): void {
        const setup = knownOf(
            truth,
            0.9 - other.width_mm / 2,
            0.9 + other.width_mm / 2,
            other.tdc_sd_deg,
            cam,
        );
        let seen: Seen;
        try {
            seen = core.see(setup, readings);
        } catch (error) {
            if (!(error instanceof Refused)) throw error;
            says.replaceChildren(h("p", { class: "note stop" }, error.message));
            return;
        }
        const off = seen.lift_mm - truth.lift_at_tdc_mm;
        says.replaceChildren(
            curve(readings, seen, 1),
            h(
                "p",
                { id: "says" },
                `dialarc says: lift ${seen.lift_mm.toFixed(3)} mm, within ${seen.lift_u_mm.toFixed(3)}; true is ${truth.lift_at_tdc_mm.toFixed(3)}, so it is ${Math.abs(off).toFixed(3)} out: `,
                h("strong", {}, Math.abs(off) <= seen.lift_u_mm ? "covered" : "not covered"),
                ".",
            ),
            windowPicture(
                seen.lift_mm,
                seen.lift_u_mm,
                0.9 - other.width_mm / 2,
                0.9 + other.width_mm / 2,
            ),
            h(
                "p",
                {},
                `${seen.verdict.text} Chance that it lies in the window: ${(100 * seen.verdict.probability_in).toFixed(1)} %. `,
                Number.isFinite(seen.slack_crank_deg)
                    ? `Slack ${seen.slack_crank_deg.toFixed(2)}° (true ${truth.slack_deg.toFixed(2)}), `
                    : "",
                Number.isFinite(seen.dial_hysteresis_mm)
                    ? `hysteresis ${seen.dial_hysteresis_mm.toFixed(3)} mm (true ${truth.hysteresis_mm.toFixed(3)}).`
                    : "",
            ),
            findingList(seen.findings),
        );
    }

    function take(): void {
        anew();
        readings = sweep(pump, stands(-80, 16, other.step, both), chance(Date.now()));
        say();
        show();
    }

    const sliders = SLIDERS.map((one) => {
        const into = (one.key in other ? other : truth) as unknown as Record<string, number>,
            shown = h("output", {});
        const tell = () => {
            shown.textContent = `${into[one.key]!.toFixed(one.by < 0.01 ? 3 : one.by < 1 ? 2 : 0)} ${one.unit}`;
        };
        tell();
        return h(
            "label",
            { class: "slider" },
            one.ask,
            shown,
            h("input", {
                type: "range",
                min: one.from,
                max: one.to,
                step: one.by,
                value: into[one.key]!,
                input: (event) => {
                    into[one.key] = Number(event.target.value);
                    tell();
                    rebuild();
                },
                change: () => take(),
            }),
        );
    });
    const law = h(
        "select",
        {
            id: "law",
            change: () => {
                truth.law = law.value;
                take();
            },
        },
        ...LAWS.map((name) =>
            h("option", { value: name, selected: name === truth.law }, name.replace(/_/g, " ")),
        ),
    );
    const box = (text: string, on: boolean, set: (on: boolean) => void) =>
        h(
            "label",
            { class: "tick" },
            h("input", {
                type: "checkbox",
                checked: on,
                change: (event) => {
                    set(event.target.checked);
                    take();
                },
            }),
            text,
        );
    take();
    return [
        h("h1", {}, "A pump to turn by hand"),
        h(
            "div",
            { class: "class" },
            h(
                "div",
                {},
                drawn.svg,
                h(
                    "p",
                    { class: "soft" },
                    "Drag the crank, or the pump within its slack. The belt hangs where it does not pull.",
                ),
                h(
                    "div",
                    { class: "row" },
                    ...[-10, -1, 1, 10].map((by) =>
                        h(
                            "button",
                            {
                                click: () => {
                                    pump.turnCrank(pump.crank_deg + by);
                                    show();
                                },
                            },
                            `${by > 0 ? "+" : "−"}${Math.abs(by)}°`,
                        ),
                    ),
                ),
                h("label", { class: "ask", for: "law" }, "Law of the cam"),
                law,
                h("div", { class: "sliders" }, ...sliders),
                box("dialarc is told the cam", cam, (on) => {
                    cam = on;
                }),
                box("readings on the way back, too", both, (on) => {
                    both = on;
                }),
            ),
            h(
                "div",
                {},
                h("button", { class: "first", id: "sweep", click: take }, "Take a sweep"),
                says,
            ),
        ),
    ];
}
