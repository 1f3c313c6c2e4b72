/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Cam: plunger lift, rate and acceleration against pump angle.
 */
#ifndef DIALARC_CAM_H
#define DIALARC_CAM_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/law.h>
#include <dialarc/status.h>

typedef struct dialarc_camtable dialarc_camtable; /**< a cam table: camtable.h */

/** A cam of identical lobes. The fall fills what is left of the lobe pitch 360/lobes. */
typedef struct dialarc_cam {
    int lobes;             /**< 1..16 */
    double lift_mm;        /**< total lift, mm, > 0 */
    double rise_deg;       /**< pump degrees, > 0 */
    double top_dwell_deg;  /**< pump degrees, >= 0 */
    double base_dwell_deg; /**< pump degrees, >= 0 */
    dialarc_law law;       /**< law of the rise */
    dialarc_law fall_law;  /**< law of the fall; DIALARC_LAW_UNKNOWN: as the rise */
    /** blend fraction at each end of a constant-rate law, (0, 0.5]; 0: 0.25 */
    double blend;
    const dialarc_camtable *lobe_table; /**< form of a lobe in place of the laws; NULL:
                                           laws; tabled_cam.h */
} dialarc_cam;

/** Flanks of a lobe, in the running direction of the pump. */
typedef enum dialarc_flank {
    DIALARC_FLANK_RISING = 1,
    DIALARC_FLANK_FALLING = -1
} dialarc_flank;

DIALARC_BEGIN_DECLS

/**
 * @brief Whether a cam is complete and its segments fit the lobe pitch.
 *
 * @param[in] cam  The cam.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LOBES,
 *         DIALARC_ERR_LIFT, DIALARC_ERR_SEGMENTS (also when no room is left for the
 *         fall, or a table has not this lobe pitch), DIALARC_ERR_LAW, DIALARC_ERR_BLEND.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_cam_check(const dialarc_cam *cam);

/**
 * @brief Length of the fall: what rise and dwells leave of the lobe pitch.
 *
 * @param[in]  cam            The cam.
 * @param[out] fall_pump_deg  Pump degrees, > 0.
 * @return DIALARC_OK, or a code of dialarc_cam_check(); DIALARC_ERR_NULL.
 * @par Equation
 * fall = 360 / lobes - rise - top dwell - base dwell
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_cam_fall_deg(const dialarc_cam *cam,
                                                double *fall_pump_deg);

/**
 * @brief Plunger lift at a pump angle.
 *
 * @param[in]  cam       The cam.
 * @param[in]  pump_deg  Pump angle, 0 at the foot of a rise; any finite value.
 * @param[out] lift_mm   Lift above base dwell, mm, 0..total lift.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, or a code of
 *         dialarc_cam_check().
 * @par Equation
 * lift = total lift * s(u), u = angle from the foot of the flank / its length
 * @par Source
 * Closed forms of the laws: VDI 2143; R. L. Norton, Cam Design and Manufacturing
 * Handbook (from memory); checked by quadrature.
 */
DIALARC_API dialarc_status dialarc_cam_lift(const dialarc_cam *cam, double pump_deg,
                                            double *lift_mm);

/**
 * @brief Lift rate, the slope of the lift against pump angle.
 *
 * @param[in]  cam       The cam.
 * @param[in]  pump_deg  Pump angle, 0 at the foot of a rise; any finite value.
 * @param[out] rate_mm_per_pump_deg  Rate; negative on the fall.
 * @return As dialarc_cam_lift().
 * @par Equation
 * rate = total lift / flank length * ds/du
 * @par Source
 * As dialarc_cam_lift().
 */
DIALARC_API dialarc_status dialarc_cam_rate(const dialarc_cam *cam, double pump_deg,
                                            double *rate_mm_per_pump_deg);

/**
 * @brief Lift acceleration, the second derivative of the lift against pump angle.
 *
 * @param[in]  cam       The cam.
 * @param[in]  pump_deg  Pump angle, 0 at the foot of a rise; any finite value.
 * @param[out] acceleration_mm_per_pump_deg2  Acceleration; at the ends of a flank, where
 *             some laws jump, that of the dwell.
 * @return As dialarc_cam_lift().
 * @par Equation
 * acceleration = total lift / flank length^2 * d2s/du2
 * @par Source
 * As dialarc_cam_lift().
 */
DIALARC_API dialarc_status dialarc_cam_acceleration(
    const dialarc_cam *cam, double pump_deg, double *acceleration_mm_per_pump_deg2);

/**
 * @brief Plunger lift at an array of pump angles; the cam is checked once.
 *
 * Equals dialarc_cam_lift() to a few units of the last place of lift and angle.
 *
 * @param[in]  cam       The cam.
 * @param[in]  n         Number of angles; 0 is allowed, the arrays may then be NULL.
 * @param[in]  pump_deg  n pump angles, any finite values.
 * @param[out] lift_mm   n lifts, mm; may be the same array as pump_deg.
 * @return As dialarc_cam_lift(); nothing is written unless every angle is finite.
 * @par Source
 * As dialarc_cam_lift().
 */
DIALARC_API dialarc_status dialarc_cam_lift_array(const dialarc_cam *cam, size_t n,
                                                  const double *pump_deg,
                                                  double *lift_mm);

/**
 * @brief Lift rate at an array of pump angles; the cam is checked once.
 *
 * @param[in]  cam       The cam.
 * @param[in]  n         Number of angles; 0 is allowed, the arrays may then be NULL.
 * @param[in]  pump_deg  n pump angles, any finite values.
 * @param[out] rate_mm_per_pump_deg  n rates; may be the same array as pump_deg.
 * @return As dialarc_cam_lift_array().
 * @par Source
 * As dialarc_cam_lift().
 */
DIALARC_API dialarc_status dialarc_cam_rate_array(const dialarc_cam *cam, size_t n,
                                                  const double *pump_deg,
                                                  double *rate_mm_per_pump_deg);

/**
 * @brief Lift acceleration at an array of pump angles; the cam is checked once.
 *
 * @param[in]  cam       The cam.
 * @param[in]  n         Number of angles; 0 is allowed, the arrays may then be NULL.
 * @param[in]  pump_deg  n pump angles, any finite values.
 * @param[out] acceleration_mm_per_pump_deg2  n accelerations; may be the same array.
 * @return As dialarc_cam_lift_array().
 * @par Source
 * As dialarc_cam_lift().
 */
DIALARC_API dialarc_status
dialarc_cam_acceleration_array(const dialarc_cam *cam, size_t n, const double *pump_deg,
                               double *acceleration_mm_per_pump_deg2);

/**
 * @brief Pump angle at which a flank passes a lift.
 *
 * @param[in]  cam       The cam.
 * @param[in]  lift_mm   Lift, mm, 0..total lift.
 * @param[in]  flank     The flank meant.
 * @param[out] pump_deg  Pump angle in the first lobe: 0..rise on the rising flank, the
 *                       end of the top dwell to the end of the fall on the falling one.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LIFT,
 *         DIALARC_ERR_FLANK, or a code of dialarc_cam_check().
 * @par Equation
 * lift(pump_deg) = lift_mm, to 1e-12 of the lift on the rising flank and to 1e-12 of the
 * total lift on the falling one
 * @par Source
 * As dialarc_cam_lift().
 */
DIALARC_API dialarc_status dialarc_cam_angle_at_lift(const dialarc_cam *cam,
                                                     double lift_mm, dialarc_flank flank,
                                                     double *pump_deg);

/**
 * @brief Pump angles at which a flank passes an array of lifts; the cam is checked once.
 *
 * @param[in]  cam       The cam.
 * @param[in]  n         Number of lifts; 0 is allowed, the arrays may then be NULL.
 * @param[in]  lift_mm   n lifts, mm, each 0..total lift.
 * @param[in]  flank     The flank meant.
 * @param[out] pump_deg  n pump angles; may be the same array as lift_mm.
 * @return As dialarc_cam_angle_at_lift(); nothing is written unless every lift is good.
 * @par Source
 * As dialarc_cam_lift().
 */
DIALARC_API dialarc_status dialarc_cam_angle_at_lift_array(const dialarc_cam *cam,
                                                           size_t n,
                                                           const double *lift_mm,
                                                           dialarc_flank flank,
                                                           double *pump_deg);

DIALARC_END_DECLS
#endif
