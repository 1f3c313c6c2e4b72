/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Decision: verdict, correction and the dial reading to aim at.
 */
#ifndef DIALARC_DECISION_H
#define DIALARC_DECISION_H

#include <dialarc/advice.h>
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
    dialarc_verdict verdict; /**< whether the setting lies in the window */
    double probability_in;   /**< probability that the true lift lies in the window */
    double probability_low;  /**< ... below it */
    double probability_high; /**< ... above it */
    /** crank degrees from mid-window; positive: too early */
    double advance_error_crank_deg;
    /** correction to mid-window; positive: pump shaft forward, earlier */
    double turn_pump_deg;
    double turn_u_pump_deg; /**< its expanded uncertainty, 95 % */
    double turn_rim_mm;     /**< the same along sprocket_radius_mm, same sign */
    double turn_body_mm;    /**< the same along body_radius_mm; the body turns the other
                               way, and the sign is still that of the shaft's turn */
    double turn_teeth;      /**< the same in sprocket teeth, same sign */
    /** way to turn the pump shaft, seen from the drive end */
    dialarc_rotation turn_rotation;
    /** dial reading, from the minimum, to aim at before tightening */
    double aim_mm;
    /** chance that the tightened setting then lies in the window */
    double aim_probability_in;
    /** standard uncertainty of TDC, or with which the mark is met: stated, or assumed */
    double tdc_sd_deg;
    /** the largest with which a lift in mid-window would be `in`, all else as it is; 0:
     * none would do; unknown where the lift does not rise */
    double tdc_sd_needed_deg;
    int worth_turning;     /**< 1: the correction is worth making; else 0 */
    dialarc_advice advice; /**< what to do next */
} dialarc_decision;

DIALARC_BEGIN_DECLS

/**
 * @brief Word for a verdict as it stands in the results table.
 *
 * @param[in] verdict  A verdict.
 * @return "in", "low", "high", "undecided", "unusable", "" for no window; "unknown" for
 *         other values. A constant string, never NULL.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_verdict_name(dialarc_verdict verdict);

/**
 * @brief Sentence for a verdict, in words a mechanic understands.
 *
 * @param[in] verdict  A verdict; other values get a sentence too.
 * @return A constant string in English; never NULL.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_verdict_text(dialarc_verdict verdict);

/**
 * @brief Verdict, correction and next aim from what a sweep says.
 *
 * The true lift is taken as normal about timing->lift_mm, 95 % of it within
 * timing->lift_u_mm. `in`, `low` and `high` are given only when at least 97.5 % sure.
 * A finding that stops the verdict, or a lift that is not known, makes the sweep
 * unusable whether or not there is a window, and then nothing else is given.
 *
 * The correction is a turn of the pump shaft against the crank. Where the pump body is
 * turned instead, the body goes the other way. aim_mm is the reading the mechanic should
 * see when he comes forward to TDC again before tightening: lower than the lift wanted by
 * the hysteresis of the dial, and placed for the best chance to end inside although
 * tightening shifts the setting by 0.01 to 0.02 mm either way. Once shifts have been
 * recorded, dialarc_plan_rounds() knows better. aim_mm is counted in the sense of rising
 * lift, also on a dial whose reading falls.
 *
 * tdc_sd_needed_deg says what this window asks of TDC: a window of half width h holds a
 * lift in its middle surely when u is at most h / 2.2414. More than tdc_sd_deg, and the
 * window can be decided with readings such as these, the best case being mid-window.
 *
 * The advice: `leave` what is in, `turn` what is out. In between, `turn` when the window
 * can be decided and the correction is worth making, worth_turning: when the chance to be
 * in the window is better after it, when it is larger than its own standard uncertainty,
 * and when a hand can turn so little (0.1 mm along the rim; 0.1 pump degrees where no
 * radius is known). Else what is the weakest point comes first: `read_again`, `find_tdc`,
 * `learn_cam`, `better_dial` or `centre_wheel`; but `leave` where the window can be
 * decided and no reading would help.
 *
 * @param[in]  setup     Window, drive and dial; checked by dialarc_setup_check().
 * @param[in]  timing    A result of dialarc_timing_estimate() for that setup.
 * @param[out] decision  The decision. Turns and advance are DIALARC_UNKNOWN when a limit
 *                       or the lift itself lies outside timing->rise_mm; rim and teeth
 *                       also when the setup does not know the sprocket.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SD
 *         (lift_u_mm below 0), or a code of dialarc_setup_check().
 * @par Equation
 * P(in) = Phi((high - lift) / u) - Phi((low - lift) / u), u = U / 1.96;
 * turn = angle(mid-window) - angle(lift), angle the inverse of timing->rise_mm;
 * sd needed = sqrt((h / z)^2 - rest^2) / rate, z = Phi^-1(1 - 0.025/2), rest^2 = u^2 -
 * tdc_mm^2.
 * @par Source
 * JCGM 106:2012, 7.4 and 8.2; ISO 14253-1. Shift on tightening, what a hand can turn:
 * common practice, no source.
 */
DIALARC_API dialarc_status dialarc_decision_judge(const dialarc_setup *setup,
                                                  const dialarc_timing *timing,
                                                  dialarc_decision *decision);

DIALARC_END_DECLS
#endif
