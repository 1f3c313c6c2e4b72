/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Decision: verdict, correction and the dial reading to aim at.
 */
#ifndef DIALARC_DECISION_H
#define DIALARC_DECISION_H

#include <dialarc/api.h>
#include <dialarc/finding.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/timing.h>

/** Whether the setting lies in the window. */
typedef enum dialarc_verdict {
    DIALARC_VERDICT_NONE = 0,  /**< no window given */
    DIALARC_VERDICT_IN,        /**< inside, at least 97.5 % sure */
    DIALARC_VERDICT_LOW,       /**< below the window, at least 97.5 % sure */
    DIALARC_VERDICT_HIGH,      /**< above the window, at least 97.5 % sure */
    DIALARC_VERDICT_UNDECIDED, /**< the uncertainty spans a limit */
    DIALARC_VERDICT_UNUSABLE   /**< a finding stops the verdict */
} dialarc_verdict;

/** Verdict and correction. Fields that cannot be given are DIALARC_UNKNOWN. */
typedef struct dialarc_decision {
    dialarc_verdict verdict;
    double probability_in;   /**< probability that the true lift lies in the window */
    double probability_low;  /**< ... below it */
    double probability_high; /**< ... above it */
    double advance_error_crank_deg; /**< crank degrees from mid-window; positive: too early */
    double turn_pump_deg; /**< correction to mid-window; positive: pump shaft forward, earlier */
    double turn_rim_mm;   /**< the same along sprocket_radius_mm, same sign */
    double turn_teeth;    /**< the same in sprocket teeth, same sign */
    dialarc_rotation turn_rotation; /**< way to turn the pump shaft, seen from the drive end */
    double aim_mm;        /**< dial reading, from the minimum, to aim at before tightening */
    double aim_probability_in; /**< chance that the tightened setting then lies in the window */
} dialarc_decision;

#endif
