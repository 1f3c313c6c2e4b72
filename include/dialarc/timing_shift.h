/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Timing shift: what a lift at TDC is worth in crank degrees, and lifts and windows for a
 * pump that is to stand so much earlier or later.
 */
#ifndef DIALARC_TIMING_SHIFT_H
#define DIALARC_TIMING_SHIFT_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/cam.h>
#include <dialarc/status.h>

DIALARC_BEGIN_DECLS

/**
 * @brief By how much earlier a pump stands with one lift at TDC than with another.
 *
 * @param[in]  cam                The cam.
 * @param[in]  crank_per_pump     Crank turns per pump turn, > 0.
 * @param[in]  from_mm            Lift at TDC on the rise that is compared with, mm, 0 to
 *                                total lift.
 * @param[in]  n                  Number of lifts; 0 is allowed, with NULL arrays.
 * @param[in]  lift_mm            n lifts at TDC on the rise, mm, 0 to total lift.
 * @param[out] advance_crank_deg  n advances, crank degrees, positive: earlier; may be
 *                                lift_mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_RATIO,
 *         DIALARC_ERR_LIFT, or a code of dialarc_cam_check(). Nothing is written unless
 *         every lift is good.
 * @par Equation
 * advance = crank_per_pump (angle(lift) - angle(from)), angle() on the rising flank
 * @par Source
 * Geometry of the cam.
 */
DIALARC_API dialarc_status dialarc_timing_shift_advance(const dialarc_cam *cam,
                                                        double crank_per_pump,
                                                        double from_mm, size_t n,
                                                        const double *lift_mm,
                                                        double *advance_crank_deg);

/**
 * @brief Lifts at TDC, limits of windows for example, of a pump that stands earlier.
 *
 * @param[in]  cam                The cam.
 * @param[in]  crank_per_pump     Crank turns per pump turn, > 0.
 * @param[in]  advance_crank_deg  By how much, crank degrees; below 0: later.
 * @param[in]  n                  Number of lifts; 0 is allowed, with NULL arrays.
 * @param[in]  lift_mm            n lifts at TDC on the rise, mm, 0 to total lift.
 * @param[out] moved_mm           n lifts, mm; may be lift_mm.
 * @return As dialarc_timing_shift_advance(); DIALARC_ERR_START (TDC would not lie on the
 *         rise).
 * @par Equation
 * moved = lift(angle(lift) + advance / crank_per_pump)
 * @par Source
 * Geometry of the cam.
 */
DIALARC_API dialarc_status dialarc_timing_shift_lift(const dialarc_cam *cam,
                                                     double crank_per_pump,
                                                     double advance_crank_deg, size_t n,
                                                     const double *lift_mm,
                                                     double *moved_mm);

DIALARC_END_DECLS
#endif
