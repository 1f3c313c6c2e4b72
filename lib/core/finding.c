/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/finding.h"

#include <stdbool.h>

static const char *const codes[DIALARC_FINDING_COUNT] = {
    [DIALARC_FINDING_MINIMUM_NOT_BRACKETED] = "minimum_not_bracketed",
    [DIALARC_FINDING_TDC_NOT_REACHED] = "tdc_not_reached",
    [DIALARC_FINDING_TOO_FEW_READINGS] = "too_few_readings",
    [DIALARC_FINDING_DIAL_OFF_SPINDLE] = "dial_off_spindle",
    [DIALARC_FINDING_WHOLE_TURN_MISREAD] = "whole_turn_misread",
    [DIALARC_FINDING_READING_REJECTED] = "reading_rejected",
    [DIALARC_FINDING_APPROACH_AGAINST_ROTATION] = "approach_against_rotation",
    [DIALARC_FINDING_SLACK_NOT_TAKEN_UP] = "slack_not_taken_up",
    [DIALARC_FINDING_OVERSHOT_TDC] = "overshot_tdc",
    [DIALARC_FINDING_ZERO_DRIFT] = "zero_drift",
    [DIALARC_FINDING_BELOW_ZERO] = "below_zero",
    [DIALARC_FINDING_LOBE_COUNT_MISMATCH] = "lobe_count_mismatch",
    [DIALARC_FINDING_CAM_MISMATCH] = "cam_mismatch",
    [DIALARC_FINDING_STROKE_NOT_DETERMINED] = "stroke_not_determined",
    [DIALARC_FINDING_WINDOW_WIDER_THAN_SWEEP] = "window_wider_than_sweep",
    [DIALARC_FINDING_SCATTER_ABOVE_SETUP] = "scatter_above_setup",
    [DIALARC_FINDING_REPEATABILITY] = "repeatability",
    [DIALARC_FINDING_FIT_NOT_CONVERGED] = "fit_not_converged",
    [DIALARC_FINDING_TURN_NOT_COVERED] = "turn_not_covered",
    [DIALARC_FINDING_ORDER_REVERSED] = "order_reversed",
    [DIALARC_FINDING_UNIT_MISTAKEN] = "unit_mistaken",
    [DIALARC_FINDING_PASSES_COPIED] = "passes_copied",
    [DIALARC_FINDING_WINDOW_TOO_NARROW] = "window_too_narrow",
    [DIALARC_FINDING_DIAL_NOT_PRELOADED] = "dial_not_preloaded",
    [DIALARC_FINDING_DIAL_AT_STOP] = "dial_at_stop",
    [DIALARC_FINDING_CAM_NOT_CONFIRMED] = "cam_not_confirmed",
    [DIALARC_FINDING_HYSTERESIS_AT_LIMIT] = "hysteresis_at_limit",
};

static const char *const texts[DIALARC_FINDING_COUNT] = {
    [DIALARC_FINDING_MINIMUM_NOT_BRACKETED] =
        "The readings do not show the minimum: the dial never stops and turns back. "
        "Start the sweep further back, until the needle has stood still and risen again.",
    [DIALARC_FINDING_TDC_NOT_REACHED] =
        "The sweep ends short of TDC. Take readings up to TDC, coming from below in "
        "running direction.",
    [DIALARC_FINDING_TOO_FEW_READINGS] =
        "There are too few readings to know the setting. Take at least ten between the "
        "minimum and TDC.",
    [DIALARC_FINDING_DIAL_OFF_SPINDLE] =
        "The lowest readings stand at one value and then leave it abruptly: the dial has "
        "lost the plunger there. Give it 1 to 2 mm of preload and sweep again.",
    [DIALARC_FINDING_WHOLE_TURN_MISREAD] = "Some readings are out by a whole turn of the "
                                           "needle. They were taken as misread; "
                                           "watch the small hand.",
    [DIALARC_FINDING_READING_REJECTED] =
        "Some readings do not agree with the others and were set aside as misread. "
        "Look at the row named; repeat the sweep if there are several.",
    [DIALARC_FINDING_APPROACH_AGAINST_ROTATION] =
        "TDC was reached only against running direction, so the slack is on the wrong "
        "side. Turn back about 20 degrees further and come forward to TDC.",
    [DIALARC_FINDING_SLACK_NOT_TAKEN_UP] =
        "The way forward to TDC is too short to take up the slack. Turn back about 20 "
        "degrees and come forward to TDC without stopping short.",
    [DIALARC_FINDING_OVERSHOT_TDC] =
        "The crank went past TDC and was turned back to it, so the slack is on the wrong "
        "side. Turn back about 20 degrees and come forward again.",
    [DIALARC_FINDING_ZERO_DRIFT] =
        "The minimum reading wanders, or readings in a row stand apart from the rest: "
        "the dial, its holder or the degree wheel has moved. Tighten it, set the dial to "
        "zero at the minimum and begin again.",
    [DIALARC_FINDING_BELOW_ZERO] =
        "Readings lie below the minimum to which the dial was set: that was not the true "
        "minimum, or the dial was moved. Find the minimum again and set the dial to "
        "zero.",
    [DIALARC_FINDING_LOBE_COUNT_MISMATCH] =
        "The lift repeats at another spacing than the number of lobes in the setup "
        "gives. Check lobes, crank turns per pump turn and the degree wheel.",
    [DIALARC_FINDING_CAM_MISMATCH] =
        "The readings do not follow the cam given in the setup. Check its law, lift and "
        "angles, or leave them out so that the cam is learned from the sweep.",
    [DIALARC_FINDING_STROKE_NOT_DETERMINED] =
        "With an even number of lobes the dial reads the same one crank turn out. Make "
        "sure by the engine's cams or valves that this is firing TDC of the timed "
        "cylinder.",
    [DIALARC_FINDING_WINDOW_WIDER_THAN_SWEEP] =
        "The sweep does not cover all the lifts of the window. Take readings further to "
        "both sides of TDC, or check the window.",
    [DIALARC_FINDING_SCATTER_ABOVE_SETUP] =
        "The readings scatter more than the setup says they should. Check dial holder, "
        "degree wheel and pointer; the uncertainty was widened to match.",
    [DIALARC_FINDING_REPEATABILITY] =
        "Repeated readings differ by more than the dial explains. Look for a loose "
        "holder, a sticking plunger or slack left in, and repeat the round.",
    [DIALARC_FINDING_FIT_NOT_CONVERGED] =
        "No cam explains these readings, they contradict each other. Check that they "
        "stand in the order taken, then sweep again.",
    [DIALARC_FINDING_TURN_NOT_COVERED] =
        "The readings leave out part of the pump turn, so the lobes cannot be compared. "
        "Sweep a whole pump turn in steps of a few degrees.",
    [DIALARC_FINDING_ORDER_REVERSED] =
        "Read like this the slack would be less than none. Were the rows typed from the "
        "last to the first, or with and against exchanged? Put them in the order taken.",
    [DIALARC_FINDING_UNIT_MISTAKEN] =
        "These lengths go with no pump, or not with each other. Are they inches, "
        "hundredths or centimetres in a column of millimetres? Inches go into dial_in. "
        "If they are right, check the total lift and the window of the setup.",
    [DIALARC_FINDING_PASSES_COPIED] =
        "Two ways of the sweep are the same to the last digit. Were rows pasted twice, "
        "or the way back copied from the way out? Readings that were not taken make the "
        "result look surer than it is: take the copies out.",
    [DIALARC_FINDING_WINDOW_TOO_NARROW] =
        "The window is too narrow for this dial and for what is known of the cam: no "
        "further reading can decide it, even were TDC known exactly. A better dial, one "
        "with a calibration, or a cam known more exactly could; first look the window up "
        "again.",
    [DIALARC_FINDING_DIAL_NOT_PRELOADED] =
        "The lowest readings could be those of a dial that no longer touches the "
        "plunger; the uncertainty allows for it. Make sure of 1 to 2 mm of preload, and "
        "take more readings where the needle begins to rise.",
    [DIALARC_FINDING_DIAL_AT_STOP] =
        "The highest readings stand at one value, as those of a dial at its stop do. Set "
        "the dial so that it has travel left at full lift, and sweep again.",
    [DIALARC_FINDING_CAM_NOT_CONFIRMED] =
        "The readings are too few to tell the cam's law given in the setup from others, "
        "which say something else; the uncertainty allows for it. Take more readings, "
        "over the whole rise.",
    [DIALARC_FINDING_HYSTERESIS_AT_LIMIT] =
        "The dial shows more hysteresis than it may have; the uncertainty allows for it. "
        "Look whether its stem binds or its bracket gives way, and take the readings "
        "coming from one side only.",
};

static bool known(dialarc_finding finding)
{
    return (int)finding >= 0 && (int)finding < DIALARC_FINDING_COUNT;
}

const char *dialarc_finding_code(dialarc_finding finding)
{
    return known(finding) ? codes[finding] : "unknown";
}

const char *dialarc_finding_text(dialarc_finding finding)
{
    return known(finding)
               ? texts[finding]
               : "Unknown finding: library and program do not belong together.";
}

const char *dialarc_severity_text(dialarc_severity severity)
{
    switch (severity) {
    case DIALARC_SEVERITY_NOTE:
        return "note";
    case DIALARC_SEVERITY_CAUTION:
        return "caution";
    case DIALARC_SEVERITY_STOP:
        return "stops the verdict";
    }
    return "unknown";
}

const char *dialarc_severity_name(dialarc_severity severity)
{
    return severity == DIALARC_SEVERITY_STOP ? "stop" : dialarc_severity_text(severity);
}

int dialarc_findings_has(const dialarc_findings *findings, dialarc_finding finding)
{
    return findings && known(finding) && (findings->present >> finding & 1u) != 0;
}

dialarc_severity dialarc_findings_worst(const dialarc_findings *findings)
{
    dialarc_severity worst = DIALARC_SEVERITY_NOTE;
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        if (dialarc_findings_has(findings, (dialarc_finding)k) &&
            findings->severity[k] > worst)
            worst = findings->severity[k];
    return worst;
}

void darc_findings_clear(dialarc_findings *findings)
{
    findings->present = 0;
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++) {
        findings->severity[k] = DIALARC_SEVERITY_NOTE;
        findings->row[k] = DIALARC_NO_ROW;
    }
}

void darc_findings_add(dialarc_findings *findings, dialarc_finding finding,
                       dialarc_severity severity, size_t row)
{
    findings->present |= UINT32_C(1) << finding;
    if (severity > findings->severity[finding])
        findings->severity[finding] = severity;
    if (row < findings->row[finding])
        findings->row[finding] = row;
}
