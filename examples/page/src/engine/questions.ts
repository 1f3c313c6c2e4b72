// SPDX-License-Identifier: GPL-3.0-or-later
// What is asked of the engine, in plain words; the answers are columns of the setups table.

export interface Choice {
    text: string;
    value: string;
}

export interface Question {
    column: string;
    ask: string;
    hint?: string;
    choices?: Choice[]; // the first is what holds when nothing is said
    unit?: string;
    text?: boolean; // words, not a number
    needed?: boolean;
}

export interface Group {
    title: string;
    open: boolean;
    questions: Question[];
}

/** Laws of a rise by their names in the setups table. */
export const LAWS = [
    "harmonic",
    "cycloidal",
    "poly345",
    "poly4567",
    "modified_sine",
    "modified_trapezoid",
    "constant_rate",
    "constant_rate_harmonic",
    "constant_rate_cycloidal",
];

const unknown: Choice = { text: "not known", value: "" };

export const GROUPS: Group[] = [
    {
        title: "What must be known",
        open: true,
        questions: [
            {
                column: "lobes",
                ask: "How many cylinders does the pump feed?",
                needed: true,
                choices: ["2", "3", "4", "5", "6", "8"].map((n) => ({ text: n, value: n })),
            },
            {
                column: "lift_low_mm",
                ask: "Window by the manufacturer, from",
                unit: "mm",
                needed: true,
            },
            { column: "lift_high_mm", ask: "to", unit: "mm", needed: true },
            {
                column: "tdc_sd_deg",
                ask: "How was TDC found?",
                needed: true,
                hint: "The error of TDC is most of the uncertainty.",
                choices: [
                    { text: "by a stop on the piston, met from both sides", value: "0.05" },
                    { text: "by equal drops of a dial on the piston", value: "0.08" },
                    { text: "by mark or pin of the engine, met with care", value: "0.15" },
                    { text: "by a mark seen by eye", value: "0.3" },
                    { text: "I cannot say", value: "" },
                ],
            },
        ],
    },
    {
        title: "The tools",
        open: false,
        questions: [
            {
                column: "angle_sd_deg",
                ask: "The degree wheel is read to",
                choices: [
                    { text: "half a degree", value: "0.15" },
                    { text: "a whole degree", value: "0.3" },
                    { text: "a tenth", value: "0.05" },
                ],
            },
            {
                column: "dial_step_mm",
                ask: "The dial is read to",
                choices: ["0.01", "0.02", "0.005", "0.001"].map((n) => ({
                    text: n + " mm",
                    value: n,
                })),
            },
            {
                column: "dial_sense",
                ask: "When the plunger rises the dial shows",
                choices: [
                    { text: "more", value: "1" },
                    { text: "less", value: "-1" },
                ],
            },
            {
                column: "dial_error_mm",
                ask: "Largest error of indication, by its certificate",
                unit: "mm",
            },
        ],
    },
    {
        title: "The engine",
        open: false,
        questions: [
            { column: "setup", ask: "A name for it", text: true },
            {
                column: "turn_back",
                ask: "May the crank be turned back?",
                hint: "Belts and tensioners often forbid it.",
                choices: [
                    unknown,
                    { text: "it may", value: "allowed" },
                    { text: "never", value: "forbidden" },
                ],
            },
            {
                column: "firing_tdc",
                ask: "Was firing TDC of the timed cylinder seen, by cams or valves?",
                choices: [
                    unknown,
                    { text: "yes", value: "seen" },
                    { text: "no", value: "not_seen" },
                ],
            },
            {
                column: "turned",
                ask: "What is turned to correct?",
                choices: [
                    unknown,
                    { text: "the pump body", value: "body" },
                    { text: "sprocket or shaft", value: "shaft" },
                ],
            },
            {
                column: "rotation",
                ask: "The pump shaft, seen from its drive end, turns",
                choices: [
                    unknown,
                    { text: "clockwise", value: "cw" },
                    { text: "counter-clockwise", value: "ccw" },
                ],
            },
            {
                column: "window_at",
                ask: "The window refers to",
                choices: [
                    { text: "true TDC", value: "tdc" },
                    { text: "the mark or pin itself", value: "mark" },
                ],
            },
            {
                column: "window_crank_deg",
                ask: "at so many crank degrees from there (before it: minus)",
                unit: "degrees",
            },
            {
                column: "body_radius_mm",
                ask: "Radius at which a turn of the body shows",
                unit: "mm",
            },
            { column: "sprocket_teeth", ask: "Teeth of the pump sprocket" },
            {
                column: "sprocket_radius_mm",
                ask: "Radius at which a turn of the sprocket shows",
                unit: "mm",
            },
        ],
    },
    {
        title: "The cam, if its maker has published it: else it is learned",
        open: false,
        questions: [
            {
                column: "cam_law",
                ask: "Law of the rise",
                choices: [
                    unknown,
                    ...LAWS.map((law) => ({ text: law.replace(/_/g, " "), value: law })),
                ],
            },
            { column: "cam_lift_mm", ask: "Total lift", unit: "mm" },
            { column: "rise_deg", ask: "Rise", unit: "pump degrees" },
            { column: "top_dwell_deg", ask: "Dwell at the top", unit: "pump degrees" },
            { column: "base_dwell_deg", ask: "Dwell at the base", unit: "pump degrees" },
        ],
    },
];

/** A number as people type it: a comma or a point, a minus of any kind. NaN where it is none. */
export function numberOf(text: string): number {
    const plain = text
        .trim()
        .replace(/\u2212/g, "-")
        .replace(",", ".");
    return /^[-+]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : NaN;
}

/** What holds of a question: the answer, or else its first choice. */
export function standing(question: Question, answers: Record<string, string>): string {
    const given = answers[question.column];
    return given !== undefined
        ? given
        : question.needed
          ? ""
          : (question.choices?.[0]?.value ?? "");
}
