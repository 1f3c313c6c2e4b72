/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Minimum: value and angle of the minimum reading from readings around it.
 *
 * The value is seen well, the angle is not: near a minimum the dial hardly moves. Angles
 * are degrees of whichever shaft they were read on.
 */
#ifndef DIALARC_MINIMUM_H
#define DIALARC_MINIMUM_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** A parabola through readings around the minimum; sd are standard uncertainties. */
typedef struct dialarc_minimum {
    double angle_deg;        /**< angle of the minimum */
    double angle_sd_deg;     /**< its standard uncertainty */
    double value_mm;         /**< reading at the minimum */
    double value_sd_mm;      /**< its standard uncertainty */
    int bracketed;           /**< 1: there are readings on both sides of it */
    double residual_sd_mm;   /**< weighted rms residual, for n - 3 degrees of freedom */
    double centre_deg;       /**< angle about which the coefficients count */
    double coefficient[3];   /**< mm, mm per degree, mm per degree squared */
    double covariance[3][3]; /**< of the coefficients */
} dialarc_minimum;

/** The minimum halfway between angles of equal readings. */
typedef struct dialarc_midpoints {
    double angle_deg;          /**< angle of the minimum */
    double angle_sd_deg;       /**< its standard uncertainty */
    double lean_deg_per_mm;    /**< way of the midpoints up to the mean height, over that
                                  height; 0 when not asked for */
    double lean_sd_deg_per_mm; /**< its standard uncertainty */
} dialarc_midpoints;

DIALARC_BEGIN_DECLS

/**
 * @brief Minimum of a parabola fitted to readings around it.
 *
 * The foot of a cam is no parabola over a wide range. Where dialarc_minimum_shape() would
 * give the shape less than 1 chance in 100, and there are readings on both sides, the
 * range about the minimum shrinks until it has 30 in 100, or the bottom is lost in
 * the scatter; centre, coefficients and uncertainties are of the readings that
 * count.
 *
 * @param[in]  n          Readings: at least 3, at least 4 when sd_mm is NULL.
 * @param[in]  angle_deg  n angles, degrees, in any order, repeats allowed.
 * @param[in]  dial_mm    n dial readings, mm, rising with lift.
 * @param[in]  sd_mm      n standard uncertainties of the readings, mm, > 0; NULL: all
 *                        alike and taken from the residuals.
 * @param[out] minimum    The parabola and its minimum.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, DIALARC_ERR_NOT_FINITE,
 *         DIALARC_ERR_SD, DIALARC_ERR_NO_SOLUTION (fewer than three different angles, or
 *         no curve with a minimum).
 * @par Equation
 * x0 = -b / (2c), gradient (0, -1/(2c), b/(2c^2)); y0 = a - b^2/(4c), gradient
 * (1, x0, x0^2); variances from these and the full covariance.
 * @par Source
 * Weighted least squares; propagation by JCGM 100:2008, 5.2.
 */
DIALARC_API dialarc_status dialarc_minimum_fit(size_t n, const double *angle_deg,
                                               const double *dial_mm, const double *sd_mm,
                                               dialarc_minimum *minimum);

/**
 * @brief Reading that a fitted parabola expects at an angle.
 *
 * @param[in]  minimum    A result of dialarc_minimum_fit().
 * @param[in]  angle_deg  Angle, degrees; any finite value.
 * @param[out] value_mm   Expected reading, mm.
 * @param[out] sd_mm      Its standard uncertainty, mm, without that of one reading.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE (angle_deg, or the
 *         coefficients).
 * @par Equation
 * u^2 = g' V g with g = (1, t, t^2), t counted from centre_deg
 * @par Source
 * JCGM 100:2008, H.3.4.
 */
DIALARC_API dialarc_status dialarc_minimum_predict(const dialarc_minimum *minimum,
                                                   double angle_deg, double *value_mm,
                                                   double *sd_mm);

/**
 * @brief Whether a parabola is the right shape: chance of terms as large as those found.
 *
 * A base dwell makes the bottom flatter than a parabola, unlike flanks make it lean. A
 * small probability says that the parabola must not be trusted over so wide a range.
 *
 * @param[in]  n            Readings: at least 5, at least 6 when sd_mm is NULL.
 * @param[in]  angle_deg    n angles, degrees, at least five different ones.
 * @param[in]  dial_mm      n dial readings, mm.
 * @param[in]  sd_mm        n standard uncertainties, mm, > 0; NULL: from the residuals.
 * @param[out] probability  Chance that cubic and quartic terms so large arise from the
 *                          scatter of a true parabola, 0..1.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, DIALARC_ERR_NOT_FINITE,
 *         DIALARC_ERR_SD, DIALARC_ERR_NO_SOLUTION (fewer than five different angles).
 * @par Equation
 * F test with 2 and n - 5 degrees of freedom; chi-square with 2 when sd_mm is given.
 * @par Source
 * Test of nested linear models, any textbook on regression.
 */
DIALARC_API dialarc_status dialarc_minimum_shape(size_t n, const double *angle_deg,
                                                 const double *dial_mm,
                                                 const double *sd_mm,
                                                 double *probability);

/**
 * @brief Minimum from equal readings on both flanks.
 *
 * Each pair of angles with the same reading, one on either side, has the minimum in its
 * middle when the flanks are alike. When they are not, the middles wander with the height
 * of the reading; with heights given, each flank is followed down to height 0 by itself,
 * where it leaves its foot as a power of the height. The power is not known: those from
 * 0.2 to 0.6, as laws of cams have them, are averaged by how well they fit, and what they
 * differ by is part of the uncertainty.
 *
 * @param[in]  n             Pairs: at least 1, 2 with heights; one more when angle_sd_deg
 *                           is 0.
 * @param[in]  falling_deg   n angles on the falling side, degrees.
 * @param[in]  rising_deg    n angles on the rising side, degrees, each above its partner.
 * @param[in]  height_mm     n heights of the readings above the minimum, mm, >= 0; NULL:
 *                           the flanks are alike.
 * @param[in]  angle_sd_deg  Standard uncertainty of one angle, degrees, >= 0; 0: taken
 *                           from the scatter of the middles.
 * @param[out] midpoints     The minimum.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, DIALARC_ERR_NOT_FINITE,
 *         DIALARC_ERR_ORDER, DIALARC_ERR_LIFT (a height below 0), DIALARC_ERR_SD,
 *         DIALARC_ERR_NO_SOLUTION (all heights the same).
 * @note Dial hysteresis h moves every middle towards the rising side by h / (2 slope).
 * @par Equation
 * x0 = (falling + rising) / 2, u = angle_sd / sqrt(2 n); with heights: angle = foot + way
 * height^q on each flank, x0 the middle of both feet
 * @par Source
 * Common practice, no source; propagation by JCGM 100:2008, 5.1 and H.3.
 */
DIALARC_API dialarc_status dialarc_minimum_midpoints(size_t n, const double *falling_deg,
                                                     const double *rising_deg,
                                                     const double *height_mm,
                                                     double angle_sd_deg,
                                                     dialarc_midpoints *midpoints);

DIALARC_END_DECLS
#endif
