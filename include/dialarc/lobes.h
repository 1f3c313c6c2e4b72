/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Lobes: every lobe of the pump from one sweep over a whole pump turn.
 *
 * Model: lobe k comes late by t_k and rises by d_k more than the first, with one shape
 * for all; run-out of cam plate or dial adds amplitude cos(theta - phase) to the lift,
 * theta being the pump angle from firing TDC. What can be told apart:
 * run-out lifts a lobe's minimum and its top alike, a lobe of another lift changes its
 * top alone, and timing moves flanks but neither minimum nor top. Over the lobes together
 * run-out cancels at each point of the shape, so that it does not mix with a learned cam
 * either. What cannot: lobes whose minima themselves differ in height; that part of them
 * which goes once round the turn counts as run-out, the rest as scatter of the readings.
 */
#ifndef DIALARC_LOBES_H
#define DIALARC_LOBES_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/finding.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/sweep.h>
#include <dialarc/workspace.h>

/** One lobe. Lobes count in the order in which they come after the first, which is the
 * one that serves the timed cylinder. */
typedef struct dialarc_lobe {
    double lift_mm;             /**< its total lift, without run-out */
    double lift_error_mm;       /**< its total lift less that of the first lobe */
    double lift_error_u_mm;     /**< expanded, 95 %; 0 for the first lobe */
    double advance_crank_deg;   /**< by how much it comes earlier than equal spacing from
                                   the first lobe, crank degrees */
    double advance_u_crank_deg; /**< expanded, 95 %; 0 for the first lobe */
    double run_out_mm;          /**< what run-out adds to the lift at its foot */
    size_t readings;            /**< readings on it that carry the result */
} dialarc_lobe;

/** What a sweep over a whole turn says about the lobes. Not determined: DIALARC_UNKNOWN.
 */
typedef struct dialarc_lobes {
    int lobes;                            /**< lobes of the setup */
    int lobes_seen;                       /**< lobes that the record shows; 0: none */
    dialarc_lobe lobe[DIALARC_LOBES_MAX]; /**< the first `lobes` of them are used */
    double spread_crank_deg;              /**< from the earliest lobe to the latest */
    double spread_u_crank_deg;            /**< expanded, 95 % */
    double scatter_crank_deg;     /**< standard deviation of the lobes' timing about their
                                     mean, noise of the readings taken out */
    double scatter_low_crank_deg; /**< 95 % limits of the scatter */
    double scatter_high_crank_deg;   /**< and the upper one */
    double run_out_mm;               /**< amplitude: half of the whole run-out */
    double run_out_u_mm;             /**< expanded, 95 % */
    double run_out_phase_pump_deg;   /**< where it is highest, 0..360 pump degrees after
                                        firing TDC of the timed cylinder; unknown when the
                                        run-out is not above its uncertainty */
    double run_out_phase_u_pump_deg; /**< expanded, 95 % */
    double slack_crank_deg;          /**< full play of the drive; unknown when one-way */
    int cam_learned;           /**< 1 when the cam's shape was learned from the sweep */
    double noise_ratio;        /**< rms of accepted residuals over their expected sd */
    size_t readings_used;      /**< readings that carry the result */
    size_t readings_rejected;  /**< readings set aside as misread */
    dialarc_findings findings; /**< rows count from 0 within the sweep */
} dialarc_lobes;

DIALARC_BEGIN_DECLS

/**
 * @brief Timing and lift of every lobe, their scatter and run-out, from a whole turn.
 *
 * The crank angles must cover a full pump turn (two crank turns for 2 crank turns per
 * pump turn), one way or there and back. Where the wheel starts anew after 360 degrees,
 * the first 0 met is firing TDC of the timed cylinder. Misread readings lose their
 * weight.
 *
 * Five readings in a row beyond 0.03 mm to one side are no misreads: the dial was moved
 * or the degree wheel slipped, and so it is when lobes seem to lie more than 3 crank
 * degrees apart. Then zero_drift stops the result, at the reading from which it shows
 * best.
 *
 * @param[in,out] workspace    Workspace of this thread.
 * @param[in]     setup        What is known, lobes at least 2; checked by
 *                             dialarc_setup_check().
 * @param[in]     sweep        The readings in the order taken.
 * @param[in,out] residual_mm  sweep->n residuals of the readings, mm, or NULL; all
 *                             DIALARC_UNKNOWN when the lobes could not be fitted.
 * @param[out]    lobes        The result. Nothing is determined when a finding stops it:
 *                             too_few_readings, turn_not_covered, lobe_count_mismatch.
 * @return DIALARC_OK, DIALARC_NOT_CONVERGED (result written, with the finding),
 *         DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_RANGE, DIALARC_ERR_SIZE,
 *         DIALARC_ERR_DIRECTION, DIALARC_ERR_NO_MEMORY, DIALARC_ERR_LOBES (fewer than 2),
 *         or a code of dialarc_setup_check().
 * @par Equation
 * reading = zero + play_h(lift_k(theta - 360 k / lobes - t_k) + amplitude cos(theta -
 * phase)) + noise; maximum posterior by iteratively reweighted Gauss-Newton
 * @par Source
 * JCGM 100:2008 clause 5; this project.
 */
DIALARC_API dialarc_status dialarc_lobes_estimate(dialarc_workspace *workspace,
                                                  const dialarc_setup *setup,
                                                  const dialarc_sweep *sweep,
                                                  double *residual_mm,
                                                  dialarc_lobes *lobes);

/**
 * @brief Which cylinder each lobe serves, and by which outlet.
 *
 * @param[in]  lobes           Lobes, 1..16, as many as cylinders.
 * @param[in]  firing_order    Cylinders in the order in which they fire, each of 1..lobes
 *                             once, beginning with any.
 * @param[in]  timed_cylinder  The cylinder that the first lobe serves, 1..lobes.
 * @param[in]  rotation        Rotation of the pump seen from its drive end.
 * @param[out] cylinder        lobes cylinders: that of lobe k, counted from 0.
 * @param[out] outlet          lobes outlets, or NULL: that of lobe k, counted from 0
 *                             clockwise seen from the drive end from that of the timed
 *                             cylinder; -1 when the rotation is not known.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_LOBES, DIALARC_ERR_DIRECTION
 *         (rotation), DIALARC_ERR_FIRING_ORDER (a cylinder out of range, missing or
 *         twice).
 * @par Equation
 * outlet = k clockwise, (lobes - k) mod lobes counter-clockwise
 * @par Source
 * Common practice, no source.
 */
DIALARC_API dialarc_status dialarc_lobes_assign(int lobes, const int *firing_order,
                                                int timed_cylinder,
                                                dialarc_rotation rotation, int *cylinder,
                                                int *outlet);

DIALARC_END_DECLS
#endif
