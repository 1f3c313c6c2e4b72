/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Crank: piston position against crank angle, with gudgeon-pin offset, and back.
 *
 * Crank angles count from TDC, the place where the piston is highest. With an offset the
 * throw does not point along the cylinder there; dialarc_crank_tdc_throw_deg() tells by
 * how much.
 */
#ifndef DIALARC_CRANK_H
#define DIALARC_CRANK_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** A slider-crank. The rod must be longer than radius and offset together, by 1e-9. */
typedef struct dialarc_crank {
    double radius_mm; /**< throw of the crank, half the stroke when centred, mm, > 0 */
    double rod_mm;    /**< connecting rod between centres, mm, > 0 */
    double offset_mm; /**< gudgeon pin from the cylinder axis through the crank centre,
                         mm; positive to the side to which the throw moves after TDC */
} dialarc_crank;

/** Sides of TDC, in running direction. */
typedef enum dialarc_side {
    DIALARC_SIDE_BEFORE = -1,
    DIALARC_SIDE_AFTER = 1
} dialarc_side;

/** Motion of the piston, downwards from TDC. */
typedef struct dialarc_crank_motion {
    double drop_mm;                        /**< distance below TDC, mm, >= 0 */
    double rate_mm_per_crank_deg;          /**< its slope */
    double acceleration_mm_per_crank_deg2; /**< its second derivative */
} dialarc_crank_motion;

DIALARC_BEGIN_DECLS

/**
 * @brief Whether a slider-crank can turn.
 *
 * @param[in] crank  The slider-crank.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH,
 *         DIALARC_ERR_CRANK (rod not longer than radius and offset together).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_crank_check(const dialarc_crank *crank);

/**
 * @brief Stroke of the piston.
 *
 * @param[in]  crank      The slider-crank.
 * @param[out] stroke_mm  From TDC to BDC, mm.
 * @return DIALARC_OK, or a code of dialarc_crank_check(); DIALARC_ERR_NULL.
 * @par Equation
 * stroke = sqrt((r+l)^2 - e^2) - sqrt((l-r)^2 - e^2)
 * @par Source
 * Slider-crank kinematics as in textbooks on the theory of machines; recomputed.
 */
DIALARC_API dialarc_status dialarc_crank_stroke_mm(const dialarc_crank *crank,
                                                   double *stroke_mm);

/**
 * @brief Angle of the throw from the cylinder direction when the piston is at TDC.
 *
 * @param[in]  crank      The slider-crank.
 * @param[out] throw_deg  Degrees, positive in running direction; 0 without offset.
 * @return As dialarc_crank_stroke_mm().
 * @par Equation
 * sin(throw) = e/(r+l)
 * @par Source
 * As dialarc_crank_stroke_mm().
 */
DIALARC_API dialarc_status dialarc_crank_tdc_throw_deg(const dialarc_crank *crank,
                                                       double *throw_deg);

/**
 * @brief Crank angle of BDC, counted from TDC.
 *
 * @param[in]  crank      The slider-crank.
 * @param[out] crank_deg  Crank degrees; 180 without offset.
 * @return As dialarc_crank_stroke_mm().
 * @par Equation
 * 180 + asin(e/(l-r)) - asin(e/(r+l))
 * @par Source
 * As dialarc_crank_stroke_mm().
 */
DIALARC_API dialarc_status dialarc_crank_bdc_deg(const dialarc_crank *crank,
                                                 double *crank_deg);

/**
 * @brief Drop of the piston below TDC, its rate and its acceleration.
 *
 * @param[in]  crank      The slider-crank.
 * @param[in]  crank_deg  Crank degrees from TDC, positive in running direction.
 * @param[out] motion     The motion; the drop keeps its relative accuracy down to TDC.
 * @return As dialarc_crank_stroke_mm(); DIALARC_ERR_NOT_FINITE.
 * @par Equation
 * drop = sqrt((r+l)^2 - e^2) - r cos t - sqrt(l^2 - (r sin t - e)^2), t = throw angle
 * @par Source
 * As dialarc_crank_stroke_mm().
 */
DIALARC_API dialarc_status dialarc_crank_motion_at(const dialarc_crank *crank,
                                                   double crank_deg,
                                                   dialarc_crank_motion *motion);

/**
 * @brief Drops of the piston at an array of crank angles; the crank is checked once.
 *
 * @param[in]  crank      The slider-crank.
 * @param[in]  n          Number of angles; 0 is allowed, the arrays may then be NULL.
 * @param[in]  crank_deg  n crank angles from TDC, degrees.
 * @param[out] drop_mm    n drops, mm; may be the same array as crank_deg.
 * @return As dialarc_crank_motion_at(); nothing is written unless every angle is finite.
 * @par Equation
 * As dialarc_crank_motion_at().
 * @par Source
 * As dialarc_crank_stroke_mm().
 */
DIALARC_API dialarc_status dialarc_crank_drop_array(const dialarc_crank *crank, size_t n,
                                                    const double *crank_deg,
                                                    double *drop_mm);

/**
 * @brief Speed of the piston at an engine speed, positive downwards.
 *
 * @param[in]  crank             The slider-crank.
 * @param[in]  crank_deg         Crank degrees from TDC.
 * @param[in]  crank_rpm         Crank speed, revolutions per minute, >= 0.
 * @param[out] velocity_m_per_s  Speed, m/s.
 * @return As dialarc_crank_motion_at(); DIALARC_ERR_SPEED.
 * @par Equation
 * v = rate * 6 * crank_rpm
 * @par Source
 * As dialarc_crank_stroke_mm().
 */
DIALARC_API dialarc_status dialarc_crank_velocity(const dialarc_crank *crank,
                                                  double crank_deg, double crank_rpm,
                                                  double *velocity_m_per_s);

/**
 * @brief Crank angle at which the piston is a distance below TDC.
 *
 * @param[in]  crank      The slider-crank.
 * @param[in]  drop_mm    Distance below TDC, mm, 0..stroke.
 * @param[in]  side       Before or after TDC.
 * @param[out] crank_deg  Crank degrees from TDC, from BDC to BDC; negative before TDC.
 * @return As dialarc_crank_stroke_mm(); DIALARC_ERR_NOT_FINITE, DIALARC_ERR_DROP,
 *         DIALARC_ERR_SIDE.
 * @par Equation
 * With y = sqrt((r+l)^2 - e^2) - drop and D^2 = y^2 + e^2:
 * t = asin(e/D) +- acos((D^2 + r^2 - l^2)/(2 r D))
 * @par Source
 * As dialarc_crank_stroke_mm().
 */
DIALARC_API dialarc_status dialarc_crank_angle_at_drop(const dialarc_crank *crank,
                                                       double drop_mm, dialarc_side side,
                                                       double *crank_deg);

DIALARC_END_DECLS
#endif
