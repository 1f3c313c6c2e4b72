/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Rounds: setting without a degree wheel, from minimum and TDC readings alone.
 *
 * Each row is one pair of readings, minimum and TDC, taken loose or tight, in the order
 * of the work. Rows that follow each other with the same round number and state repeat
 * one reading of one setting: of three or more, one that lies too far from the median is
 * set aside as misread, and the rest are averaged. A tight setting right after a loose
 * one is the same setting before and after tightening: their difference is a tightening
 * shift.
 */
#ifndef DIALARC_ROUNDS_H
#define DIALARC_ROUNDS_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/decision.h>
#include <dialarc/finding.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>

/** One setting round without a degree wheel. */
typedef struct dialarc_round {
    int round;         /**< number of the round, counting from 1, not decreasing */
    double minimum_mm; /**< dial reading at the minimum */
    double tdc_mm;     /**< dial reading at TDC, or where the window is asked for */
    int tight;         /**< 0: fasteners loose; else tight */
} dialarc_round;

/** What the rounds of a job say. Fields that cannot be given are DIALARC_UNKNOWN. */
typedef struct dialarc_plan {
    double lift_mm;            /**< true lift at TDC of the latest setting */
    double lift_u_mm;          /**< expanded uncertainty, 95 % */
    int tight;                 /**< 1: the latest setting is tight */
    dialarc_decision decision; /**< of it; loose: of what tightening will make of it */
    double shift_mm;           /**< expected change of lift on tightening, signed */
    double shift_sd_mm;        /**< sd of the next shift about it */
    size_t shifts;             /**< loose-tight pairs it was learned from */
    dialarc_findings findings; /**< rows count from 0 within the job */
} dialarc_plan;

DIALARC_BEGIN_DECLS

/**
 * @brief Verdict of the latest setting, tightening shift learned, next reading to aim at.
 *
 * The lift. The mechanic turns the pump back to the minimum, where the dial falls, and
 * comes forward to TDC, where it rises, so the difference of the readings is short of the
 * true lift by the hysteresis of the dial: anything between 0 and the largest it may
 * have. The readings err by dial_sd_mm and by rounding to dial_step_mm, twice. The TDC
 * mark errs by tdc_sd_deg times the lift rate: that of the cam at this lift when the
 * setup has law, angles and total lift, else 0.04 mm per crank degree. What the setup
 * does not know is assumed: 0.003 mm, 0.01 mm, 0.5 crank degrees, hysteresis up to
 * 0.005 mm.
 *
 * The verdict. `in` is given for a tight setting alone, because tightening shifts it: a
 * loose one is `low` or `high` when it will be so after tightening, with 97.5 %
 * probability, and otherwise `undecided`, whatever probability_in says. Each reading of a
 * setting is a look at it, and the risk of 2.5 % is spent look by look, as by
 * dialarc_joint_assess(): the first asks for 98.75 %, and who reads again until he is
 * told what he hopes for has no more risk of it. tdc_sd_needed_deg is for what the latest
 * look asks.
 *
 * The shift. Before there are pairs its mean is 0 and its sd 0.015 mm: 0.01 to 0.02 mm is
 * common, either way. The shifts of a job may be steady, about a mean of their own; drawn
 * anew each time, as far up as down; turned about from one to the next; or wandering.
 * What the pairs say of each, allowing for the errors of the readings, weighs them: a
 * mean is trusted only as far as pairs agree on one. Pairs that differ by more than 0.1
 * mm are not learned from.
 *
 * The aim. Once there is a pair, it is the reading that gives the best chance to end so
 * far inside that a verdict can say so: by its expanded uncertainty, or a quarter of the
 * window if that is less. When all ways of shifting are possible the aim so bets on the
 * one seen, and loses at most a round. aim_probability_in is the chance to end in the
 * window, but no more than if shifts were drawn anew, until the pairs rule that out.
 *
 * Findings: zero_drift (minimum readings differ by more than the dial explains),
 * below_zero (a minimum below 0, unless the dial falls, or TDC below the minimum),
 * repeatability (repeated readings of a setting scatter more than the dial explains, and
 * widen it; or those of all settings together, and widen them all), whole_turn_misread,
 * reading_rejected (a reading set aside among its repeats, or a pair of one round that
 * differs by more than 0.1 mm), too_few_readings (none). A finding that leaves the latest
 * setting without a reading to rely on stops the verdict.
 *
 * @param[in]  setup   Window, dial, TDC mark, cam; checked by dialarc_setup_check().
 * @param[in]  n       Rows; 0 gives an unusable plan with the finding, and `rounds` may
 *                     then be NULL.
 * @param[in]  rounds  n rows in the order of the work.
 * @param[out] plan    The plan. decision.aim_mm is the reading, TDC less minimum, that
 *                     the next loose setting should show; aim_probability_in counts the
 *                     mechanic's reading error too. Turns need the cam.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_ORDER (round
 *         numbers below 1 or decreasing), or a code of dialarc_setup_check().
 * @par Equation
 * lift = tdc - minimum + h, h uniform on 0..hysteresis; shift k given its variance v:
 * normal about m_k, or about +-0.015 mm; m_k = m, (-1)^k m, or m_k-1 + a step; m normal
 * about 0, v inverse gamma; Kalman filter over the pairs.
 * @par Source
 * JCGM 106:2012, 7.4 and 8.2; normal model of unknown mean and variance: A. Gelman et
 * al., Bayesian Data Analysis, chapter 3 (from memory). Size of the shift and what is
 * assumed of the setup: common practice, no source; hysteresis: JIS B 7503:2011.
 */
DIALARC_API dialarc_status dialarc_plan_rounds(const dialarc_setup *setup, size_t n,
                                               const dialarc_round *rounds,
                                               dialarc_plan *plan);

DIALARC_END_DECLS
#endif
