/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Reuse: a cam learned from one full sweep, for quick checks of the next pump of its
 * type.
 */
#ifndef DIALARC_REUSE_H
#define DIALARC_REUSE_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/camtable.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/sweep.h>
#include <dialarc/timing.h>

/** Fewest points of a learned lobe. */
#define DIALARC_REUSE_MIN 16

/** Share of the lobe, by dialarc_reuse_share(), from which a sweep shows all of it. */
#define DIALARC_REUSE_WHOLE 0.95

DIALARC_BEGIN_DECLS

/**
 * @brief The lobe that the last estimate of a workspace learned.
 *
 * @param[in]  workspace  Workspace whose last dialarc_timing_estimate() learned the cam.
 * @param[in]  n          Points, DIALARC_REUSE_MIN..100000; they divide one lobe pitch
 *                        evenly.
 * @param[out] pump_deg   n pump angles from the foot of the rise, degrees; with lift_mm
 *                        they are what dialarc_camtable_new() takes.
 * @param[out] lift_mm    n lifts, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, or DIALARC_ERR_NO_SOLUTION when
 *         the last estimate did not learn a cam.
 * @note Only what the sweep covered was learned; the rest of the lobe is a guess. Learn
 *       from a two-way sweep over the whole lobe: dialarc_reuse_share() tells.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_reuse_lobe(const dialarc_workspace *workspace,
                                              size_t n, double *pump_deg,
                                              double *lift_mm);

/**
 * @brief How much of the lobe the sweep behind a learned cam has shown.
 *
 * Counted is the longest way in one go, less the slack, in which the pump may have stood
 * still.
 *
 * @param[in]  workspace      Workspace whose last dialarc_timing_estimate() learned the
 *                            cam.
 * @param[in]  timing         What that estimate gave.
 * @param[out] with_share     Share of a lobe pitch passed in running direction, 0..1; at
 *                            least DIALARC_REUSE_WHOLE of a cam to be used again.
 * @param[out] against_share  The same against running direction.
 * @return DIALARC_OK, DIALARC_ERR_NULL, or DIALARC_ERR_NO_SOLUTION when the last estimate
 *         did not learn a cam.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_reuse_share(const dialarc_workspace *workspace,
                                               const dialarc_timing *timing,
                                               double *with_share, double *against_share);

/**
 * @brief Standard uncertainty of a learned cam's lift near TDC.
 *
 * The TDC mark has no part in it: the mark of the next pump's engine is another one, and
 * dialarc_reuse_estimate() adds that.
 *
 * @param[in]  timing     What dialarc_timing_estimate() gave for the sweep from which the
 *                        cam was learned.
 * @param[out] cam_sd_mm  Standard uncertainty, mm, as dialarc_reuse_estimate() and
 *                        dialarc_cam_format() take it.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NO_SOLUTION when the cam was not
 *         learned or its budget is not known, DIALARC_ERR_SD (a part of the budget below
 *         0).
 * @par Equation
 * sqrt(readings_mm^2 + hysteresis_mm^2 + cam_mm^2) of dialarc_budget
 * @par Source
 * JCGM 100:2008, 5.1.2.
 */
DIALARC_API dialarc_status dialarc_reuse_sd(const dialarc_timing *timing,
                                            double *cam_sd_mm);

/**
 * @brief dialarc_timing_estimate() with the cam's shape taken from a table.
 *
 * @param[in,out] workspace    Workspace of this thread.
 * @param[in]     setup        What is known; its law and segments are not used, its total
 *                             lift is.
 * @param[in]     cam          One lobe pitch, pump angle 0 at the foot of the rise; its
 *                             period must be 360/lobes degrees.
 * @param[in]     cam_sd_mm    Standard uncertainty of the table's lift near TDC, mm,
 *                             >= 0; of a learned cam as dialarc_reuse_sd() says.
 * @param[in]     sweep        The readings in the order taken; ten about TDC and the
 *                             minimum will do.
 * @param[in,out] residual_mm  sweep->n residuals, mm, or NULL.
 * @param[out]    timing       The result.
 * @return The codes of dialarc_timing_estimate(), and DIALARC_ERR_SEGMENTS when the
 *         table's period is not the lobe pitch, DIALARC_ERR_LIFT when it has no lift,
 *         DIALARC_ERR_SD.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_reuse_estimate(
    dialarc_workspace *workspace, const dialarc_setup *setup, const dialarc_camtable *cam,
    double cam_sd_mm, const dialarc_sweep *sweep, double *residual_mm,
    dialarc_timing *timing);

DIALARC_END_DECLS
#endif
