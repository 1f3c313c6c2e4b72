/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Arcs and tangents: flanks of a cam plate as older ones are drawn, a hollow arc at the
 * foot, a straight ramp, a rounded crest, and the lift that a roller takes from them.
 *
 * All is in the development of the track: along it the way of the roller at the track's
 * radius, across it the lift. The roller's centre then runs on arcs and a straight line
 * too: its radius less at the hollow, more at the crest.
 */
#ifndef DIALARC_ARCS_H
#define DIALARC_ARCS_H

#include <dialarc/api.h>
#include <dialarc/law.h>
#include <dialarc/status.h>

/** A flank of arcs and a tangent, as it is drawn. */
typedef struct dialarc_arcs {
    double track_radius_mm;  /**< radius at which the roller runs, mm, > 0 */
    double foot_radius_mm;   /**< of the hollow at the foot, mm, > roller_radius_mm */
    double crest_radius_mm;  /**< of the round at the crest, mm, >= 0 */
    double roller_radius_mm; /**< of the roller, mm, >= 0; 0: a point */
} dialarc_arcs;

DIALARC_BEGIN_DECLS

/**
 * @brief Motion of such a flank on the unit flank.
 *
 * @param[in]  arcs        The flank.
 * @param[in]  lift_mm     Its lift, mm, > 0.
 * @param[in]  length_deg  Its length, pump degrees, above 0 and at most 360.
 * @param[in]  u           Place on the flank, 0..1.
 * @param[out] motion      Displacement, rate and acceleration; the acceleration jumps
 * where arc and tangent meet, and at u = 0 and 1 it is that of the dwell, 0.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH (a
 *         radius), DIALARC_ERR_UNDERCUT (the roller does not reach into the hollow),
 *         DIALARC_ERR_LIFT, DIALARC_ERR_ANGLE (length_deg, or u outside 0..1),
 *         DIALARC_ERR_SEGMENTS (the arcs are too large for the flank: they would meet
 *         before the ramp).
 * @par Equation
 * with S the way, h the lift, a = foot - roller, b = crest + roller, P = a + b: the ramp
 * rises by t = asin(P/hypot(S, P - h)) - atan2(P - h, S);
 * z = a - sqrt(a^2 - s^2) to s = a sin t, then straight, then h - b + sqrt(b^2 - (S -
 * s)^2)
 * @par Source
 * Geometry of two circles and their common tangent: this project.
 */
DIALARC_API dialarc_status dialarc_arcs_motion(const dialarc_arcs *arcs, double lift_mm,
                                               double length_deg, double u,
                                               dialarc_unit_motion *motion);

/**
 * @brief Slope of the ramp.
 *
 * @param[in]  arcs        The flank.
 * @param[in]  lift_mm     Its lift, mm, > 0.
 * @param[in]  length_deg  Its length, pump degrees, above 0 and at most 360.
 * @param[out] slope_deg   Angle between ramp and track, degrees: the largest pressure
 * angle of the roller.
 * @return As dialarc_arcs_motion().
 * @par Equation
 * As dialarc_arcs_motion().
 * @par Source
 * As dialarc_arcs_motion().
 */
DIALARC_API dialarc_status dialarc_arcs_slope(const dialarc_arcs *arcs, double lift_mm,
                                              double length_deg, double *slope_deg);

DIALARC_END_DECLS
#endif
