/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Smoothed cam tables: points that err, smoothed as far as their uncertainty asks for,
 * and how far lift, rate and acceleration can then be trusted.
 */
#ifndef DIALARC_CAMSMOOTH_H
#define DIALARC_CAMSMOOTH_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/camtable.h>
#include <dialarc/status.h>

/** Fewest points of a table that is smoothed. */
#define DIALARC_CAMTABLE_SMOOTH_MIN 8

/** How far a table was smoothed. */
typedef struct dialarc_smoothing {
    double
        point_sd_mm;   /**< stated standard uncertainty of a point, mm; 0: not smoothed */
    double parameters; /**< how many parameters the curve has in effect; the number of
                            points where it was not smoothed */
    double misfit; /**< scatter of the points about the curve over the stated one: near
                        1 when point_sd_mm is right; quiet NaN: not smoothed */
} dialarc_smoothing;

DIALARC_BEGIN_DECLS

/**
 * @brief A cam table from measured points, smoothed by their uncertainty.
 *
 * A spline through points that err by 3 micrometres a degree apart has an acceleration
 * that is mostly error. Of all curves this one trades nearness to the points for
 * smoothness so that its expected error is least.
 *
 * @param[in]  n            Points, DIALARC_CAMTABLE_SMOOTH_MIN..DIALARC_CAMTABLE_MAX.
 * @param[in]  pump_deg     As dialarc_camtable_new().
 * @param[in]  lift_mm      n lifts, mm, whose errors are independent.
 * @param[in]  period_deg   As dialarc_camtable_new().
 * @param[in]  point_sd_mm  Standard uncertainty of one point, mm, > 0.
 * @param[out] table        The table; free it with dialarc_camtable_free().
 * @return As dialarc_camtable_new(); DIALARC_ERR_SD, DIALARC_ERR_NO_SOLUTION (points so
 *         unevenly spaced, or lifts so large, that no curve is found).
 * @note Simulated cams of three laws, points 0.5 to 2 degrees apart that err by 0.5 and
 *       3 um: acceleration errs by a half to a hundredth of that of the interpolating
 *       spline, lift by 0.4 to 0.9.
 * @par Equation
 * sum (y - f)^2 + lambda times the integral of f''^2 is least; lambda makes
 * rss / sd^2 + 2 trace(S) least
 * @par Source
 * C. Reinsch, 1967; C. L. Mallows, 1973 (both from memory).
 */
DIALARC_API dialarc_status dialarc_camtable_smooth(size_t n, const double *pump_deg,
                                                   const double *lift_mm,
                                                   double period_deg, double point_sd_mm,
                                                   dialarc_camtable **table);

/**
 * @brief How far a table was smoothed, and whether the stated uncertainty fits its
 * points.
 *
 * @param[in]  table      The table.
 * @param[out] smoothing  The smoothing.
 * @return DIALARC_OK, DIALARC_ERR_NULL.
 * @par Equation
 * misfit^2 = rss / (sd^2 (n - parameters))
 * @par Source
 * As dialarc_camtable_smooth().
 */
DIALARC_API dialarc_status dialarc_camtable_smoothing(const dialarc_camtable *table,
                                                      dialarc_smoothing *smoothing);

/**
 * @brief Standard uncertainties of lift, rate and acceleration at a pump angle.
 *
 * They count what smoothing may have taken away, beside the errors of the points. On
 * average over a cam U, twice them, covers the truth in 95 % of places or more.
 *
 * @param[in]  table     The table; of one that was not smoothed all are 0.
 * @param[in]  pump_deg  Pump angle, any finite value.
 * @param[out] sd        The standard uncertainties, in the fields of what they belong to.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_NO_MEMORY.
 * @note Simulated as for dialarc_camtable_smooth(): 95 to 96 % for the lift, 98 % and
 *       more for rate and acceleration. The latter is on the safe side wherever the
 *       acceleration does not jump, as it does where some laws begin and end.
 * @par Equation
 * variance sd^2 c'S c of what is c'f of the curve, S being the smoother
 * @par Source
 * G. Wahba, 1983 (from memory).
 */
DIALARC_API dialarc_status dialarc_camtable_motion_sd(const dialarc_camtable *table,
                                                      double pump_deg,
                                                      dialarc_cam_motion *sd);

DIALARC_END_DECLS
#endif
