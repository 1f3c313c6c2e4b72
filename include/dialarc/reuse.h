/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Reuse: quick checks of a pump whose cam was learned from another of its type.
 */
#ifndef DIALARC_REUSE_H
#define DIALARC_REUSE_H

#include <dialarc/api.h>
#include <dialarc/camtable.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/sweep.h>
#include <dialarc/timing.h>
#include <dialarc/workspace.h>

DIALARC_BEGIN_DECLS

/**
 * @brief dialarc_timing_estimate() with the cam's shape taken from a table.
 *
 * @param[in,out] workspace    Workspace of this thread.
 * @param[in]     setup        What is known; its law and segments are not used, its total
 *                             lift is.
 * @param[in]     cam          One lobe pitch, pump angle 0 at the foot of the rise; its
 *                             period must be 360/lobes degrees.
 * @param[in]     cam_sd_mm    Standard uncertainty of the table's lift near TDC, mm,
 *                             >= 0; of a learned cam as dialarc_learned_cam_sd() says.
 * @param[in]     sweep        The readings in the order taken; ten about TDC and the
 *                             minimum will do.
 * @param[in,out] residual_mm  sweep->n residuals, mm, or NULL; all DIALARC_UNKNOWN when
 *                             nothing could be fitted.
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
