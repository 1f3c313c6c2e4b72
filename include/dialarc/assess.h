/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Assess: from the readings of a sweep to timing and verdict.
 */
#ifndef DIALARC_ASSESS_H
#define DIALARC_ASSESS_H

#include <dialarc/api.h>
#include <dialarc/decision.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/sweep.h>
#include <dialarc/timing.h>
#include <dialarc/workspace.h>

DIALARC_BEGIN_DECLS

/**
 * @brief What a sweep says, whether the setting passes, and what to do next.
 *
 * dialarc_timing_estimate() and dialarc_decision_judge() in one.
 *
 * @param[in,out] workspace  Workspace of this thread.
 * @param[in]     setup      What is known; checked by dialarc_setup_check().
 * @param[in]     sweep      The readings in the order taken.
 * @param[in,out] residual_mm  sweep->n residuals of the readings, mm, or NULL; all
 *                           DIALARC_UNKNOWN when nothing could be fitted.
 * @param[out]    timing     What the sweep says, as of dialarc_timing_estimate().
 * @param[out]    decision   Verdict, correction and next aim, as of
 *                           dialarc_decision_judge().
 * @return The codes of dialarc_timing_estimate(); timing and decision are written when
 *         they are 0 or positive.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_assess(dialarc_workspace *workspace,
                                          const dialarc_setup *setup,
                                          const dialarc_sweep *sweep, double *residual_mm,
                                          dialarc_timing *timing,
                                          dialarc_decision *decision);

/**
 * @brief Lift at TDC, minimum, slack and hysteresis from a sweep, with uncertainties.
 *
 * Model: reading = zero + play_h(lift(phase + play_s(crank)/crank_per_pump)) + noise,
 * where play_s is the slack of the drive and play_h the hysteresis of the dial. Every
 * reading is used; misread ones lose their weight. When the setup does not fix the cam,
 * its shape is learned from the sweep.
 *
 * @param[in,out] workspace  Workspace of this thread.
 * @param[in]     setup      What is known; checked by dialarc_setup_check().
 * @param[in]     sweep      The readings in the order taken.
 * @param[in,out] residual_mm  sweep->n residuals of the readings, mm, or NULL; all
 *                           DIALARC_UNKNOWN when nothing could be fitted.
 * @param[out]    timing     The result. A quantity that the sweep does not determine
 *                           is DIALARC_UNKNOWN and a finding says why.
 * @return DIALARC_OK, DIALARC_NOT_CONVERGED (result written, with the finding),
 *         DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_RANGE, DIALARC_ERR_SIZE,
 *         DIALARC_ERR_DIRECTION, DIALARC_ERR_NO_MEMORY, or a code of
 *         dialarc_setup_check().
 * @par Equation
 * Maximum posterior by iteratively reweighted Gauss-Newton; angle errors enter as
 * effective variance; budgets by JCGM 100 clause 5.
 * @par Source
 * JCGM 100:2008 clause 5; the play operator after Brokate and Sprekels, Hysteresis and
 * Phase Transitions, 1996 (from memory).
 */
DIALARC_API dialarc_status dialarc_timing_estimate(dialarc_workspace *workspace,
                                                   const dialarc_setup *setup,
                                                   const dialarc_sweep *sweep,
                                                   double *residual_mm,
                                                   dialarc_timing *timing);

DIALARC_END_DECLS
#endif
