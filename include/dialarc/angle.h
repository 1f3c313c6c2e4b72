/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Angle: wrapping, shortest way round, crank and pump degrees, rim arcs, rates.
 *
 * In the array forms n = 0 with NULL arrays is legal, and the output may be the input.
 */
#ifndef DIALARC_ANGLE_H
#define DIALARC_ANGLE_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

DIALARC_BEGIN_DECLS

/**
 * @brief Angle wrapped to [0, period).
 *
 * @param[in]  angle_deg    Angle, degrees, finite.
 * @param[in]  period_deg   Period, degrees, > 0: 360, or 720 for a four-stroke cycle.
 * @param[out] wrapped_deg  The same angle in [0, period_deg); never -0.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_POSITIVE
 *         (period_deg).
 * @par Source
 * Exact but for one rounding of negative angles: C11 fmod().
 */
DIALARC_API dialarc_status dialarc_angle_wrap(double angle_deg, double period_deg,
                                              double *wrapped_deg);

/**
 * @brief Angles wrapped to [0, period).
 *
 * @param[in]  n            Number of angles.
 * @param[in]  angle_deg    n angles, degrees, finite.
 * @param[in]  period_deg   Period, degrees, > 0.
 * @param[out] wrapped_deg  n angles in [0, period_deg).
 * @return As dialarc_angle_wrap().
 * @par Source
 * As dialarc_angle_wrap().
 */
DIALARC_API dialarc_status dialarc_angle_wrap_array(size_t n, const double *angle_deg,
                                                    double period_deg,
                                                    double *wrapped_deg);

/**
 * @brief Angle wrapped to (-period/2, period/2].
 *
 * @param[in]  angle_deg    Angle, degrees, finite.
 * @param[in]  period_deg   Period, degrees, > 0.
 * @param[out] wrapped_deg  The same angle in (-period_deg/2, period_deg/2].
 * @return As dialarc_angle_wrap().
 * @par Source
 * Exact: the IEEE 754 remainder.
 */
DIALARC_API dialarc_status dialarc_angle_wrap_signed(double angle_deg, double period_deg,
                                                     double *wrapped_deg);

/**
 * @brief Angles wrapped to (-period/2, period/2].
 *
 * @param[in]  n            Number of angles.
 * @param[in]  angle_deg    n angles, degrees, finite.
 * @param[in]  period_deg   Period, degrees, > 0.
 * @param[out] wrapped_deg  n angles in (-period_deg/2, period_deg/2].
 * @return As dialarc_angle_wrap().
 * @par Source
 * As dialarc_angle_wrap_signed().
 */
DIALARC_API dialarc_status dialarc_angle_wrap_signed_array(size_t n,
                                                           const double *angle_deg,
                                                           double period_deg,
                                                           double *wrapped_deg);

/**
 * @brief Shortest way from one angle to another.
 *
 * @param[in]  from_deg        Angle, degrees, finite.
 * @param[in]  to_deg          Angle, degrees, finite.
 * @param[in]  period_deg      Period, degrees, > 0.
 * @param[out] difference_deg  Degrees in (-period_deg/2, period_deg/2]; positive when the
 *                             way leads in the positive sense.
 * @return As dialarc_angle_wrap().
 * @par Source
 * As dialarc_angle_wrap_signed().
 */
DIALARC_API dialarc_status dialarc_angle_difference(double from_deg, double to_deg,
                                                    double period_deg,
                                                    double *difference_deg);

/**
 * @brief Pump degrees that belong to crank degrees; zero stays zero.
 *
 * @param[in]  n               Number of angles.
 * @param[in]  crank_deg       n angles, crank degrees, finite.
 * @param[in]  crank_per_pump  Crank turns per pump turn, > 0; 2 on a four-stroke.
 * @param[out] pump_deg        n angles, pump degrees.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_RATIO,
 *         DIALARC_ERR_ANGLE (a result too large to represent).
 * @par Equation
 * pump_deg = crank_deg / crank_per_pump
 * @par Source
 * US Army Ordnance School subcourse OD1620, lesson 2, task 2: pump at half crank speed.
 */
DIALARC_API dialarc_status dialarc_angle_pump_from_crank(size_t n,
                                                         const double *crank_deg,
                                                         double crank_per_pump,
                                                         double *pump_deg);

/**
 * @brief Crank degrees that belong to pump degrees; zero stays zero.
 *
 * @param[in]  n               Number of angles.
 * @param[in]  pump_deg        n angles, pump degrees, finite.
 * @param[in]  crank_per_pump  Crank turns per pump turn, > 0.
 * @param[out] crank_deg       n angles, crank degrees.
 * @return As dialarc_angle_pump_from_crank().
 * @par Equation
 * crank_deg = pump_deg crank_per_pump
 * @par Source
 * As dialarc_angle_pump_from_crank().
 */
DIALARC_API dialarc_status dialarc_angle_crank_from_pump(size_t n, const double *pump_deg,
                                                         double crank_per_pump,
                                                         double *crank_deg);

/**
 * @brief Arc along a rim that belongs to an angle of the wheel, same sign.
 *
 * @param[in]  angle_deg  Angle, degrees, finite.
 * @param[in]  radius_mm  Radius at which the arc lies, mm, > 0.
 * @param[out] arc_mm     Arc, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH
 *         (radius_mm), DIALARC_ERR_ANGLE (a result too large to represent).
 * @par Equation
 * arc = pi radius angle / 180
 * @par Source
 * Elementary geometry.
 */
DIALARC_API dialarc_status dialarc_angle_rim_arc(double angle_deg, double radius_mm,
                                                 double *arc_mm);

/**
 * @brief Angle of a wheel that belongs to an arc along its rim, same sign.
 *
 * @param[in]  arc_mm     Arc, mm, finite.
 * @param[in]  radius_mm  Radius at which the arc lies, mm, > 0.
 * @param[out] angle_deg  Angle, degrees.
 * @return As dialarc_angle_rim_arc().
 * @par Equation
 * angle = 180 arc / (pi radius)
 * @par Source
 * Elementary geometry.
 */
DIALARC_API dialarc_status dialarc_angle_from_rim_arc(double arc_mm, double radius_mm,
                                                      double *angle_deg);

/**
 * @brief Angular rate that belongs to a speed of rotation.
 *
 * @param[in]  speed_rpm       Speed, turns per minute, finite; negative: backwards.
 * @param[out] rate_deg_per_s  Rate, degrees per second.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_ANGLE (a
 *         result too large to represent).
 * @par Equation
 * rate = 6 speed
 * @par Source
 * 360 degrees a turn, 60 seconds a minute.
 */
DIALARC_API dialarc_status dialarc_angle_rate_from_speed(double speed_rpm,
                                                         double *rate_deg_per_s);

/**
 * @brief Speed of rotation that belongs to an angular rate.
 *
 * @param[in]  rate_deg_per_s  Rate, degrees per second, finite.
 * @param[out] speed_rpm       Speed, turns per minute.
 * @return As dialarc_angle_rate_from_speed().
 * @par Equation
 * speed = rate / 6
 * @par Source
 * As dialarc_angle_rate_from_speed().
 */
DIALARC_API dialarc_status dialarc_angle_speed_from_rate(double rate_deg_per_s,
                                                         double *speed_rpm);

DIALARC_END_DECLS
#endif
