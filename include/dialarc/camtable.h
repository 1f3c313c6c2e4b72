/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Cam table: a measured cam as a periodic cubic spline through its points. Points that
 * err can be smoothed: camsmooth.h; a table as a cam, and of a cam: tabled_cam.h.
 *
 * Lift, rate and acceleration are continuous everywhere, also where the table closes. A
 * table never changes after it was made: threads may share it.
 */
#ifndef DIALARC_CAMTABLE_H
#define DIALARC_CAMTABLE_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/cam.h>
#include <dialarc/status.h>

/** Most points of a table. */
#define DIALARC_CAMTABLE_MAX 1000000

/** Lift and its derivatives at one pump angle. */
typedef struct dialarc_cam_motion {
    double lift_mm;                       /**< lift, mm */
    double rate_mm_per_pump_deg;          /**< its slope */
    double acceleration_mm_per_pump_deg2; /**< its second derivative */
} dialarc_cam_motion;

DIALARC_BEGIN_DECLS

/**
 * @brief A cam table from measured points.
 *
 * @param[in]  n           Points, 3..DIALARC_CAMTABLE_MAX.
 * @param[in]  pump_deg    n pump angles, each above the one before by at least 1e-9 of
 * the period, the last less than a period above the first.
 * @param[in]  lift_mm     n lifts, mm.
 * @param[in]  period_deg  Pump degrees after which the cam repeats, above 0 to 360: one
 *                         lobe pitch, or 360 for a table of the whole turn.
 * @param[out] table       The table; free it with dialarc_camtable_free().
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, DIALARC_ERR_NOT_FINITE,
 *         DIALARC_ERR_ANGLE (period), DIALARC_ERR_ORDER, DIALARC_ERR_NO_MEMORY.
 * @par Equation
 * periodic cubic spline of interpolation
 * @par Source
 * The same curve as GSL's periodic cubic spline.
 */
DIALARC_API dialarc_status dialarc_camtable_new(size_t n, const double *pump_deg,
                                                const double *lift_mm, double period_deg,
                                                dialarc_camtable **table);

/**
 * @brief One more owner of a table: dialarc_camtable_free() must then be called once more
 * before it is gone.
 *
 * For hosts whose objects live as long as somebody uses them. Threads may do so at once.
 *
 * @param[in]  table   The table.
 * @param[out] shared  The same table.
 * @return DIALARC_OK, DIALARC_ERR_NULL.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_camtable_share(const dialarc_camtable *table,
                                                  dialarc_camtable **shared);

/**
 * @brief Frees a table, or gives up one of its shares.
 *
 * @param[in] table  The table; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_camtable_free(dialarc_camtable *table);

/**
 * @brief Period of a table, and the lowest and the highest lift of its curve.
 *
 * @param[in]  table       The table.
 * @param[out] period_deg  Pump degrees.
 * @param[out] low_mm      Lowest lift of the curve, mm; not always that of a point.
 * @param[out] high_mm     Highest lift of the curve, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_camtable_range(const dialarc_camtable *table,
                                                  double *period_deg, double *low_mm,
                                                  double *high_mm);

/**
 * @brief Lift, rate and acceleration at a pump angle.
 *
 * @param[in]  table     The table.
 * @param[in]  pump_deg  Pump angle, any finite value.
 * @param[out] motion    The motion.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE.
 * @par Equation
 * As dialarc_camtable_new().
 * @par Source
 * As dialarc_camtable_new().
 */
DIALARC_API dialarc_status dialarc_camtable_motion(const dialarc_camtable *table,
                                                   double pump_deg,
                                                   dialarc_cam_motion *motion);

/**
 * @brief Lifts at an array of pump angles.
 *
 * @param[in]  table     The table.
 * @param[in]  n         Number of angles; 0 is allowed, the arrays may then be NULL.
 * @param[in]  pump_deg  n pump angles, any finite values.
 * @param[out] lift_mm   n lifts, mm; may be the same array as pump_deg.
 * @return As dialarc_camtable_motion(); nothing is written unless all are finite.
 * @par Equation
 * As dialarc_camtable_new().
 * @par Source
 * As dialarc_camtable_new().
 */
DIALARC_API dialarc_status dialarc_camtable_lift_array(const dialarc_camtable *table,
                                                       size_t n, const double *pump_deg,
                                                       double *lift_mm);

/**
 * @brief Pump angle, nearest to a given one, at which a flank passes a lift.
 *
 * @param[in]  table     The table.
 * @param[in]  lift_mm   Lift, mm, within dialarc_camtable_range().
 * @param[in]  flank     The flank meant.
 * @param[in]  near_deg  Pump angle near which to look, any finite value.
 * @param[out] pump_deg  Pump angle within half a period of near_deg.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_FLANK,
 *         DIALARC_ERR_LIFT, DIALARC_ERR_NO_SOLUTION (a cam without such a flank).
 * @par Equation
 * lift(pump_deg) = lift_mm
 * @par Source
 * As dialarc_camtable_new().
 */
DIALARC_API dialarc_status dialarc_camtable_angle_at_lift(const dialarc_camtable *table,
                                                          double lift_mm,
                                                          dialarc_flank flank,
                                                          double near_deg,
                                                          double *pump_deg);

DIALARC_END_DECLS
#endif
