// SPDX-License-Identifier: GPL-3.0-or-later
// What can be set of the pump to turn by hand.

import type { Truth } from "./pump";

/** What is not true of the pump but of how it is read and judged. */
export interface Reader {
    step: number; // degrees from reading to reading
    width_mm: number; // of the window
    tdc_sd_deg: number; // as it is said to be known
}

export interface Slider {
    key: keyof Truth | keyof Reader;
    ask: string;
    unit: string;
    from: number;
    to: number;
    by: number;
}

export const SLIDERS: Slider[] = [
    {
        key: "lift_at_tdc_mm",
        ask: "The setting: lift at TDC",
        unit: "mm",
        from: 0.6,
        to: 1.2,
        by: 0.01,
    },
    { key: "lift_mm", ask: "Total lift", unit: "mm", from: 1.8, to: 3, by: 0.05 },
    { key: "rise_deg", ask: "Rise", unit: "pump °", from: 30, to: 44, by: 0.5 },
    { key: "slack_deg", ask: "Slack of the drive", unit: "crank °", from: 0, to: 8, by: 0.1 },
    {
        key: "hysteresis_mm",
        ask: "Hysteresis of the dial",
        unit: "mm",
        from: 0,
        to: 0.05,
        by: 0.001,
    },
    { key: "mark_deg", ask: "Error of the TDC mark", unit: "crank °", from: -2, to: 2, by: 0.05 },
    { key: "angle_sd_deg", ask: "Scatter of an angle", unit: "crank °", from: 0, to: 1, by: 0.02 },
    { key: "dial_sd_mm", ask: "Scatter of the dial", unit: "mm", from: 0, to: 0.02, by: 0.001 },
    { key: "step", ask: "A reading every", unit: "crank °", from: 1, to: 12, by: 1 },
    {
        key: "width_mm",
        ask: "Width of the window about 0.90",
        unit: "mm",
        from: 0.02,
        to: 0.2,
        by: 0.01,
    },
    {
        key: "tdc_sd_deg",
        ask: "TDC is said to be known to",
        unit: "crank °",
        from: 0,
        to: 0.5,
        by: 0.01,
    },
];
