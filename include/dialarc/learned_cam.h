/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Learned cam: the lobe that one sweep has taught, for quick checks of the next pump of
 * its type.
 */
#ifndef DIALARC_LEARNED_CAM_H
#define DIALARC_LEARNED_CAM_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/camtable.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/sweep.h>
#include <dialarc/timing.h>
#include <dialarc/workspace.h>

/** Fewest points of a learned lobe. */
#define DIALARC_LEARNED_CAM_MIN 16

/** Points of dialarc_learned_cam_table(). */
#define DIALARC_LEARNED_CAM_POINTS 360

/** Share of the lobe, by dialarc_learned_cam_share(), from which a sweep shows all. */
#define DIALARC_LEARNED_CAM_WHOLE 0.95

/** What a sweep has taught about its cam. Immutable: threads may share it. */
typedef struct dialarc_learned_cam dialarc_learned_cam;

DIALARC_BEGIN_DECLS

/**
 * @brief Learns the cam from a sweep.
 *
 * @param[in,out] workspace  Workspace of this thread.
 * @param[in]     setup      What is known; where it gives the cam, none is learned unless
 *                           the readings contradict it.
 * @param[in]     sweep      The readings in the order taken.
 * @param[out]    cam        A new handle, to be freed with dialarc_learned_cam_free().
 * @return The codes of dialarc_timing_estimate(), with a handle also for
 *         DIALARC_NOT_CONVERGED, and DIALARC_ERR_NO_SOLUTION when no cam
 *         was learned: the setup gives it, or the readings do not show one, for reasons
 *         that dialarc_timing_estimate() finds.
 * @note Only what the sweep covered was learned; the rest of the lobe is a guess. Learn
 *       from a two-way sweep over the whole lobe: dialarc_learned_cam_share() tells.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_learned_cam_new(dialarc_workspace *workspace,
                                                   const dialarc_setup *setup,
                                                   const dialarc_sweep *sweep,
                                                   dialarc_learned_cam **cam);

/**
 * @brief Frees a learned cam.
 *
 * @param[in] cam  The cam; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_learned_cam_free(dialarc_learned_cam *cam);

/**
 * @brief What the sweep that it was learned from says.
 *
 * @param[in]  cam     A learned cam.
 * @param[out] timing  As of dialarc_timing_estimate().
 * @return DIALARC_OK or DIALARC_ERR_NULL.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_learned_cam_timing(const dialarc_learned_cam *cam,
                                                      dialarc_timing *timing);

/**
 * @brief The lobe as points.
 *
 * @param[in]  cam       A learned cam.
 * @param[in]  n         Points, DIALARC_LEARNED_CAM_MIN..100000; they divide one lobe
 *                       pitch evenly.
 * @param[out] pump_deg  n pump angles from the foot of the rise, degrees; with lift_mm
 *                       they are what dialarc_camtable_new() takes.
 * @param[out] lift_mm   n lifts, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL or DIALARC_ERR_SIZE.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_learned_cam_lobe(const dialarc_learned_cam *cam,
                                                    size_t n, double *pump_deg,
                                                    double *lift_mm);

/**
 * @brief The lobe as a table, for dialarc_cam_from_table() and dialarc_reuse_estimate().
 *
 * @param[in]  cam    A learned cam.
 * @param[out] table  DIALARC_LEARNED_CAM_POINTS points of one lobe pitch; free it with
 *                    dialarc_camtable_free().
 * @return DIALARC_OK, DIALARC_ERR_NULL or DIALARC_ERR_NO_MEMORY.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_learned_cam_table(const dialarc_learned_cam *cam,
                                                     dialarc_camtable **table);

/**
 * @brief How much of the lobe the sweep behind it has shown.
 *
 * Counted is the longest way in one go, less the slack, in which the pump may have stood
 * still.
 *
 * @param[in]  cam            A learned cam.
 * @param[out] with_share     Share of a lobe pitch passed in running direction, 0..1; at
 *                            least DIALARC_LEARNED_CAM_WHOLE of a cam to be used again.
 * @param[out] against_share  The same against running direction.
 * @return DIALARC_OK or DIALARC_ERR_NULL.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_learned_cam_share(const dialarc_learned_cam *cam,
                                                     double *with_share,
                                                     double *against_share);

/**
 * @brief Standard uncertainty of its lift near TDC.
 *
 * The TDC mark has no part in it: the mark of the next pump's engine is another one, and
 * dialarc_reuse_estimate() adds that.
 *
 * @param[in]  cam        A learned cam.
 * @param[out] cam_sd_mm  Standard uncertainty, mm, as dialarc_reuse_estimate() and
 *                        dialarc_cam_format() take it.
 * @return DIALARC_OK, DIALARC_ERR_NULL, or DIALARC_ERR_NO_SOLUTION when the sweep did not
 *         determine it.
 * @par Equation
 * sqrt(readings_mm^2 + hysteresis_mm^2 + cam_mm^2 + dial_mm^2 + wheel_mm^2) of
 * the sweep's dialarc_budget
 * @par Source
 * JCGM 100:2008, 5.1.2.
 */
DIALARC_API dialarc_status dialarc_learned_cam_sd(const dialarc_learned_cam *cam,
                                                  double *cam_sd_mm);

DIALARC_END_DECLS
#endif
