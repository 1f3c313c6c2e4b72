/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Cam comparison: what wear has taken from a cam, angle by angle.
 *
 * Both tables count pump angles from the same place, such as a mark or a keyway.
 */
#ifndef DIALARC_CAMCOMPARE_H
#define DIALARC_CAMCOMPARE_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/camtable.h>
#include <dialarc/status.h>

/** Two cams compared. Quantities that cannot be given are quiet NaN. */
typedef struct dialarc_camwear {
    double total_lift_lost_mm;     /**< loss of highest minus lowest lift */
    double greatest_loss_mm;       /**< greatest loss of lift at one pump angle */
    double greatest_loss_pump_deg; /**< where, to a 4096th of the period */
    double rising_shift_pump_deg;  /**< mean shift of the rising flank, positive: later */
    double falling_shift_pump_deg; /**< mean shift of the falling flank */
} dialarc_camwear;

DIALARC_BEGIN_DECLS

/**
 * @brief Lift lost and flank shifted at an array of pump angles.
 *
 * @param[in]  reference  The cam as it should be.
 * @param[in]  worn       The cam as it is, of the same period.
 * @param[in]  least_rate_mm_per_pump_deg  Rate of the reference from which on a shift is
 *                        given, mm per pump degree, > 0; a dwell has none.
 * @param[in]  n          Number of angles; 0 is allowed, the arrays may then be NULL.
 * @param[in]  pump_deg   n pump angles, any finite values.
 * @param[out] lost_mm    n losses of lift, mm: reference minus worn.
 * @param[out] shift_pump_deg  n shifts, pump degrees: how much later the worn flank
 *                        passes the lift that the reference has at the angle; quiet NaN
 * on dwells and where the worn cam does not reach the lift.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_ANGLE (the
 *         periods differ), DIALARC_ERR_POSITIVE (least rate). Nothing is written unless
 *         every angle is finite; the arrays must not overlap.
 * @par Equation
 * lost = reference(angle) - worn(angle); worn(angle + shift) = reference(angle)
 * @par Source
 * Definition.
 */
DIALARC_API dialarc_status dialarc_camcompare_array(const dialarc_camtable *reference,
                                                    const dialarc_camtable *worn,
                                                    double least_rate_mm_per_pump_deg,
                                                    size_t n, const double *pump_deg,
                                                    double *lost_mm,
                                                    double *shift_pump_deg);

/**
 * @brief Comparison in five numbers.
 *
 * The mean shift of a flank is taken at 13 lifts from 20 to 80 % of the range of the
 * reference. In a table of several lobes it is that of the flanks nearest to angle 0.
 *
 * @param[in]  reference  The cam as it should be.
 * @param[in]  worn       The cam as it is, of the same period.
 * @param[out] wear       The comparison.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_ANGLE (the periods differ).
 * @par Equation
 * As dialarc_camcompare_array().
 * @par Source
 * Definition.
 */
DIALARC_API dialarc_status dialarc_camcompare_summary(const dialarc_camtable *reference,
                                                      const dialarc_camtable *worn,
                                                      dialarc_camwear *wear);

DIALARC_END_DECLS
#endif
