/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Degree wheel: how far it runs out of true, from two pointers that stand opposite each
 * other, and what that does to its readings.
 *
 * A wheel that is not centred on the crank reads too much on one side and too little on
 * the other. A second pointer half a turn on errs by as much the other way: half of what
 * the two differ by, against half a turn, shows the error, and their mean is free of it.
 */
#ifndef DIALARC_WHEEL_H
#define DIALARC_WHEEL_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** The error of a wheel by its centring. Quantities that cannot be given are quiet NaN.
 */
typedef struct dialarc_wheel {
    double error_deg;    /**< half span of its error over a turn, degrees, >= 0 */
    double error_sd_deg; /**< its standard uncertainty, degrees */
    double phase_deg;    /**< reading at which it reads most too much, -180..180 */
    double
        pointers_deg; /**< how much more than half a turn the second pointer stands on */
    double dof;       /**< degrees of freedom of error_sd_deg; 0: infinitely many */
    double scatter;   /**< rms of what is left of the readings over their stated sd */
} dialarc_wheel;

DIALARC_BEGIN_DECLS

/**
 * @brief Eccentricity of a degree wheel from readings at two opposite pointers.
 *
 * Where the readings scatter more than is stated, and with 0 stated always, the standard
 * uncertainty is that of their scatter.
 *
 * @param[in]  n             Places of the wheel that were read, at least 3; spread over
 *                           the turn.
 * @param[in]  pointer_deg   n readings at the pointer in use, degrees.
 * @param[in]  opposite_deg  n readings at the one opposite, degrees; they may go on from
 *                           360 at 0.
 * @param[in]  angle_sd_deg  Standard uncertainty of one reading, degrees, >= 0.
 * @param[out] wheel         The error of the first pointer's readings. Of a wheel that
 *                           runs true it is not 0 but about its uncertainty.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SD,
 *         DIALARC_ERR_SIZE (n below 3), DIALARC_ERR_RANGE (readings of more than 1e9
 *         degrees), DIALARC_ERR_ANGLE (pointers a quarter of a turn off from
 *         opposite), DIALARC_ERR_NO_SOLUTION (the places do not go round the turn).
 * @par Equation
 * least squares of (180 - (opposite - pointer)) / 2 = A cos(m) + B sin(m) - pointers/2, m
 * the mean of both; error = sqrt(A^2 + B^2), phase = atan2(B, A)
 * @par Source
 * Two opposite verniers of a divided circle: common practice of surveying, no source; the
 * next term is error^2/2 in radians: 0.001 degrees for an error of 0.35. Recomputed.
 */
DIALARC_API dialarc_status dialarc_wheel_from_pointers(size_t n,
                                                       const double *pointer_deg,
                                                       const double *opposite_deg,
                                                       double angle_sd_deg,
                                                       dialarc_wheel *wheel);

/**
 * @brief What a wheel reads too much.
 *
 * @param[in]  wheel        The wheel.
 * @param[in]  reading_deg  A reading of the pointer in use, degrees.
 * @param[out] error_deg    What is to be taken off it, degrees.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_RANGE (a
 *         reading, or a field of the wheel, beyond 1e9 degrees; an error below 0).
 * @par Equation
 * error cos(reading - phase)
 * @par Source
 * As dialarc_wheel_from_pointers().
 */
DIALARC_API dialarc_status dialarc_wheel_error_at(const dialarc_wheel *wheel,
                                                  double reading_deg, double *error_deg);

DIALARC_END_DECLS
#endif
