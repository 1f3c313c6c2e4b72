/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Flywheel: degrees of the crank measured along its rim. A tape laid round the rim shows
 * the arc (angle.h); dividers or a rule across it show the chord, which is shorter.
 */
#ifndef DIALARC_FLYWHEEL_H
#define DIALARC_FLYWHEEL_H

#include <dialarc/api.h>
#include <dialarc/status.h>

DIALARC_BEGIN_DECLS

/**
 * @brief Chord across the rim that belongs to an angle.
 *
 * @param[in]  angle_deg  Angle, degrees, -180..180.
 * @param[in]  radius_mm  Radius at which both marks lie, mm, > 0.
 * @param[out] chord_mm   Straight distance of the marks, mm, with the sign of the angle.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH
 *         (radius), DIALARC_ERR_ANGLE.
 * @par Equation
 * chord = 2 radius sin(angle / 2)
 * @par Source
 * Elementary geometry.
 */
DIALARC_API dialarc_status dialarc_flywheel_chord(double angle_deg, double radius_mm,
                                                  double *chord_mm);

/**
 * @brief Angle that belongs to a chord across the rim.
 *
 * @param[in]  chord_mm   Straight distance of the marks, mm, at most the diameter either
 *                        way.
 * @param[in]  radius_mm  Radius at which both marks lie, mm, > 0.
 * @param[out] angle_deg  Angle, degrees, -180..180, with the sign of the chord.
 * @return As dialarc_flywheel_chord(); DIALARC_ERR_LENGTH for a chord longer than the
 *         diameter too.
 * @par Equation
 * angle = 2 asin(chord / (2 radius))
 * @par Source
 * Elementary geometry.
 */
DIALARC_API dialarc_status dialarc_flywheel_angle(double chord_mm, double radius_mm,
                                                  double *angle_deg);

DIALARC_END_DECLS
#endif
