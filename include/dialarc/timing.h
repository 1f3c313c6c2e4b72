/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Timing: plunger lift at TDC from a recorded sweep, and how far to trust it.
 */
#ifndef DIALARC_TIMING_H
#define DIALARC_TIMING_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/finding.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/sweep.h>

/** Intervals of dialarc_timing.rise_mm. */
#define DIALARC_RISE_INTERVALS 64

/** Uncertainty of the lift at TDC by component: standard uncertainties, mm. */
typedef struct dialarc_budget {
    double readings_mm;   /**< scatter of dial and angle readings, graduation included */
    double tdc_mm;        /**< error of the TDC mark times the lift rate */
    double hysteresis_mm; /**< part of the dial hysteresis that the sweep does not show */
    double cam_mm;        /**< shape of the cam not known; 0 when the law is given */
    double total_mm;      /**< root sum of squares of the above */
} dialarc_budget;

/** What a sweep says about the setting. Lengths in mm, angles in crank degrees unless
 * named. */
typedef struct dialarc_timing {
    double lift_mm; /**< true plunger lift at TDC, slack taken up in running direction */
    double lift_u_mm;            /**< its expanded uncertainty, 95 % */
    dialarc_budget budget;       /**< its standard uncertainty by component */
    double minimum_mm;           /**< dial reading at zero lift, hysteresis removed */
    double minimum_u_mm;         /**< expanded, 95 % */
    double minimum_crank_deg;    /**< crank angle of the foot of the rise before TDC */
    double minimum_u_crank_deg;  /**< expanded, 95 %; of a learned cam with a share of the
                                    angle in which the lift climbs out of the scatter */
    double slack_crank_deg;      /**< full play of the drive; DIALARC_UNKNOWN in a one-way
                                    sweep */
    double slack_u_crank_deg;    /**< expanded, 95 % */
    double dial_hysteresis_mm;   /**< full width */
    double dial_hysteresis_u_mm; /**< expanded, 95 % */
    double rate_mm_per_crank_deg; /**< slope of the lift at TDC */
    double total_lift_mm;         /**< total lift of the cam */
    double rise_pump_deg;         /**< length of the rise, pump degrees */
    double rise_mm[DIALARC_RISE_INTERVALS +
                   1];         /**< lift at equal steps of the rise, foot to top */
    dialarc_law law;           /**< the law given, or the likeliest one when learned */
    double law_probability;    /**< posterior probability of that law; 1 when given */
    int cam_learned;           /**< 1 when the cam was learned from the sweep */
    double scatter;            /**< rms of accepted residuals over their expected sd */
    size_t readings_used;      /**< readings that carry the result */
    size_t readings_rejected;  /**< readings set aside as misread */
    dialarc_findings findings; /**< rows count from 0 within the sweep */
} dialarc_timing;

/** Memory of the estimator: one per thread, reused from sweep to sweep. */
typedef struct dialarc_workspace dialarc_workspace;

DIALARC_BEGIN_DECLS

/**
 * @brief A new workspace for the estimator.
 *
 * @return The workspace, or NULL when memory is short. Free it with
 *         dialarc_workspace_free().
 * @note Results never depend on what a workspace was used for before.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_workspace *dialarc_workspace_new(void);

/**
 * @brief Frees a workspace.
 *
 * @param[in] workspace  The workspace; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_workspace_free(dialarc_workspace *workspace);

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
 * @param[in,out] residual_mm  sweep->n residuals of the readings, mm, or NULL.
 * @param[out]    timing     The result. A quantity that the sweep does not determine
 *                           is DIALARC_UNKNOWN and a finding says why.
 * @return DIALARC_OK, DIALARC_NOT_CONVERGED (result written, with the finding),
 *         DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SIZE,
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
