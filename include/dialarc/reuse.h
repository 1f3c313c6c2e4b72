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
 *       from a two-way sweep over the whole lobe.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_reuse_lobe(const dialarc_workspace *workspace,
                                              size_t n, double *pump_deg,
                                              double *lift_mm);

/**
 * @brief dialarc_timing_estimate() with the cam's shape taken from a table.
 *
 * @param[in,out] workspace    Workspace of this thread.
 * @param[in]     setup        What is known; its law and segments are not used, its total
 *                             lift is.
 * @param[in]     cam          One lobe pitch, pump angle 0 at the foot of the rise; its
 *                             period must be 360/lobes degrees.
 * @param[in]     cam_sd_mm    Standard uncertainty of the table's lift near TDC, mm,
 *                             >= 0; of a learned cam: its dialarc_budget::total_mm
 *                             without the part of the TDC mark.
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
DIALARC_API dialarc_status dialarc_reuse_estimate(dialarc_workspace *workspace,
                                                  const dialarc_setup *setup,
                                                  const dialarc_camtable *cam,
                                                  double cam_sd_mm,
                                                  const dialarc_sweep *sweep,
                                                  double *residual_mm,
                                                  dialarc_timing *timing);

DIALARC_END_DECLS
#endif
