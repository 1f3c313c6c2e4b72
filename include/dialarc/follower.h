/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Follower: a roller on a face cam, seen on the developed cylinder of a stated radius.
 *
 * The lift laws are those of the roller centre, the pitch curve. The surface of the cam
 * lies one roller radius below it along the normal; its height counts from that of the
 * base dwell. A roller of some width runs at a different pressure angle at either edge:
 * state the radius that is meant.
 */
#ifndef DIALARC_FOLLOWER_H
#define DIALARC_FOLLOWER_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/cam.h>
#include <dialarc/status.h>

/** A roller follower. */
typedef struct dialarc_follower {
    double radius_mm; /**< radius at which the cam is looked at, mm, > 0 */
    double roller_mm; /**< radius of the roller, mm, > 0 */
} dialarc_follower;

/** Curvature at one place: negative on a crest, positive in a hollow, per mm. */
typedef struct dialarc_curvature {
    double pitch_per_mm;   /**< of the pitch curve; its radius is 1/|this| */
    double surface_per_mm; /**< of the surface of the cam */
} dialarc_curvature;

/** What a roller meets on the way over a whole cam. */
typedef struct dialarc_follower_survey {
    double rising_pressure_deg;  /**< greatest pressure angle of the rise */
    double falling_pressure_deg; /**< greatest pressure angle of the fall, positive too */
    double crest_radius_mm;      /**< least radius of the pitch curve on a crest */
    double crest_pump_deg;       /**< where */
    double crest_u_per_mm; /**< expanded uncertainty, 95 %, of its curvature, 1/radius; 0:
                              that of laws, and of tables that were not smoothed */
    int undercut; /**< 1: that radius is not above the roller's; 0: it is; -1: cannot be
                     told, within 3 standard uncertainties */
} dialarc_follower_survey;

DIALARC_BEGIN_DECLS

/**
 * @brief Pressure angle between the normal of the cam and the travel.
 *
 * @param[in]  follower              The follower.
 * @param[in]  rate_mm_per_pump_deg  Lift rate.
 * @param[out] pressure_deg          Degrees, sign of the rate.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH.
 * @par Equation
 * tan(pressure) = (ds/dtheta)/R
 * @par Source
 * Rothbart, Cam Design Handbook (from memory).
 */
DIALARC_API dialarc_status dialarc_follower_pressure(const dialarc_follower *follower,
                                                     double rate_mm_per_pump_deg,
                                                     double *pressure_deg);

/**
 * @brief Points of the cam surface from points of the pitch curve.
 *
 * @param[in]  follower              The follower.
 * @param[in]  n                     Points; 0 is allowed, the arrays may then be NULL.
 * @param[in]  pump_deg              n pump angles of the roller centre.
 * @param[in]  lift_mm               n lifts there, mm.
 * @param[in]  rate_mm_per_pump_deg  n lift rates there.
 * @param[out] surface_deg           n pump angles of the points of contact; may be
 * pump_deg.
 * @param[out] surface_mm            n heights of the surface there, mm; may be lift_mm.
 * @return As dialarc_follower_pressure(); nothing is written unless all are finite.
 * @par Equation
 * x = R theta + r sin(pressure), y = s + r (1 - cos(pressure))
 * @par Source
 * As dialarc_follower_pressure(); derived from the normal and recomputed.
 */
DIALARC_API dialarc_status dialarc_follower_surface(const dialarc_follower *follower,
                                                    size_t n, const double *pump_deg,
                                                    const double *lift_mm,
                                                    const double *rate_mm_per_pump_deg,
                                                    double *surface_deg,
                                                    double *surface_mm);

/**
 * @brief Points of the pitch curve from points of the cam surface: the inverse of
 * dialarc_follower_surface(), for a surface that was measured with a fine tip.
 *
 * @param[in]  follower     The follower.
 * @param[in]  n            Points; 0 is allowed, the arrays may then be NULL.
 * @param[in]  surface_deg  n pump angles of points of the surface.
 * @param[in]  surface_mm   n heights there, mm.
 * @param[in]  slope_mm_per_pump_deg  n slopes of the surface there; both curves have the
 *                          same slope at points that belong together.
 * @param[out] pump_deg     n pump angles of the roller centre; may be surface_deg.
 * @param[out] lift_mm      n lifts there, mm; may be surface_mm.
 * @return As dialarc_follower_surface().
 * @par Equation
 * As dialarc_follower_surface().
 * @par Source
 * As dialarc_follower_surface().
 */
DIALARC_API dialarc_status dialarc_follower_pitch(const dialarc_follower *follower,
                                                  size_t n, const double *surface_deg,
                                                  const double *surface_mm,
                                                  const double *slope_mm_per_pump_deg,
                                                  double *pump_deg, double *lift_mm);

/**
 * @brief Curvature of the pitch curve and of the surface at one place.
 *
 * @param[in]  follower              The follower.
 * @param[in]  rate_mm_per_pump_deg  Lift rate.
 * @param[in]  acceleration_mm_per_pump_deg2  Lift acceleration.
 * @param[out] curvature             The curvatures.
 * @return As dialarc_follower_pressure(); DIALARC_ERR_UNDERCUT (a crest whose radius is
 *         not above the roller's: no such surface can be made).
 * @par Equation
 * k = R s''/(R^2 + s'^2)^(3/2), primes d/dtheta; surface k/(1 + r k)
 * @par Source
 * As dialarc_follower_surface().
 */
DIALARC_API dialarc_status dialarc_follower_curvature(
    const dialarc_follower *follower, double rate_mm_per_pump_deg,
    double acceleration_mm_per_pump_deg2, dialarc_curvature *curvature);

/**
 * @brief Greatest pressure angles and least crest radius of a whole cam.
 *
 * @param[in]  follower  The follower.
 * @param[in]  cam       The cam.
 * @param[out] survey    The survey.
 * @return As dialarc_follower_pressure(), a code of dialarc_cam_check(), or
 *         DIALARC_ERR_NO_MEMORY. An undercut is no error here.
 * @note Rules of thumb ask for a crest radius of at least 2 to 3 times the roller's and
 * for pressure angles of at most 30 degrees.
 * @note Of a measured cam the curvature is told by its second derivative: smooth the
 *       points (dialarc_camtable_smooth()), or errors of points look like crests.
 * @par Equation
 * As dialarc_follower_pressure() and dialarc_follower_curvature(); u(k) = u(s'') R /
 * (R^2 + s'^2)^(3/2), u(s'') of dialarc_camtable_motion_sd()
 * @par Source
 * As dialarc_follower_surface(); rules of thumb from lecture notes.
 */
DIALARC_API dialarc_status dialarc_follower_survey_cam(const dialarc_follower *follower,
                                                       const dialarc_cam *cam,
                                                       dialarc_follower_survey *survey);

DIALARC_END_DECLS
#endif
