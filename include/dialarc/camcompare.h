/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Cam comparison: what wear has taken from a cam, angle by angle.
 *
 * Both tables count pump angles from the same place, such as a mark or a keyway. A table
 * of a whole turn holds several lobes; each is compared with the one that stands there.
 */
#ifndef DIALARC_CAMCOMPARE_H
#define DIALARC_CAMCOMPARE_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/camtable.h>
#include <dialarc/status.h>

/**
 * One lobe of two cams compared. Quantities that cannot be given are quiet NaN; those
 * called u are expanded uncertainties, 95 %, from the errors of the points alone.
 */
typedef struct dialarc_camwear {
    double total_lift_lost_mm;     /**< loss of highest minus lowest lift */
    double total_lift_lost_u_mm;   /**< its uncertainty */
    double greatest_loss_mm;       /**< greatest loss of lift at one pump angle */
    double greatest_loss_u_mm;     /**< its uncertainty, that it was picked included */
    double greatest_loss_pump_deg; /**< where, to a 4096th of the lobe pitch */
    double probability_chance;     /**< probability that cams that are alike seem to
                                      differ so much: the risk of calling it wear */
    double rising_shift_pump_deg;  /**< mean shift of the rising flank, positive: later */
    double rising_shift_u_pump_deg;  /**< its uncertainty */
    double falling_shift_pump_deg;   /**< mean shift of the falling flank */
    double falling_shift_u_pump_deg; /**< its uncertainty */
} dialarc_camwear;

DIALARC_BEGIN_DECLS

/**
 * @brief Lift lost and flank shifted at an array of pump angles.
 *
 * @param[in]  reference  The cam as it should be.
 * @param[in]  worn       The cam as it is, of the same period.
 * @param[in]  lobes      Lobes in a period of the tables, 1..16.
 * @param[in]  least_rate_mm_per_pump_deg  Least rate of the reference at which a shift
 *                        is given, mm per pump degree, > 0; a dwell has none.
 * @param[in]  n          Number of angles; 0 is allowed, the arrays may then be NULL.
 * @param[in]  pump_deg   n pump angles, any finite values.
 * @param[out] lost_mm    n losses of lift, mm: reference minus worn.
 * @param[out] shift_pump_deg  n shifts, pump degrees: how much later the worn flank
 *                        passes the lift that the reference has at the angle; quiet NaN
 * on dwells and where the worn lobe does not reach the lift within half a lobe pitch.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LOBES,
 *         DIALARC_ERR_ANGLE (the periods differ), DIALARC_ERR_POSITIVE (least rate).
 * Nothing is written unless every angle is finite; the arrays must not overlap.
 * @par Equation
 * lost = reference(angle) - worn(angle); worn(angle + shift) = reference(angle)
 * @par Source
 * Definition.
 */
DIALARC_API dialarc_status
dialarc_camcompare_array(const dialarc_camtable *reference, const dialarc_camtable *worn,
                         int lobes, double least_rate_mm_per_pump_deg, size_t n,
                         const double *pump_deg, double *lost_mm, double *shift_pump_deg);

/**
 * @brief Comparison of one lobe in a few numbers, each with its uncertainty.
 *
 * The mean shift of a flank is taken at 13 lifts from 20 to 80 % of the range of the
 * reference. Where probability_chance is above 0.05 the points do not show that anything
 * is worn. What a whole table has in error, such as its zero of angle, is in no
 * uncertainty here.
 *
 * @param[in]  reference    The cam as it should be.
 * @param[in]  worn         The cam as it is, of the same period.
 * @param[in]  lobes        Lobes in a period of the tables, 1..16.
 * @param[in]  lobe         Lobe, 0..lobes - 1: the one between lobe and lobe + 1 pitches
 *                          from angle 0.
 * @param[in]  point_sd_mm  Standard uncertainty of one point of either table, mm, >= 0;
 *                          0: exact tables.
 * @param[out] wear         The comparison.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LOBES,
 *         DIALARC_ERR_SIZE (lobe), DIALARC_ERR_SD, DIALARC_ERR_ANGLE (the periods
 *         differ).
 * @par Equation
 * s = point_sd sqrt(2); u(total) = 1.96 s sqrt(2); u(greatest) = z s, z the normal
 * quantile of 0.975^(1/m) for the m points of the lobe; chance = 1 - P(greatest / s)^m;
 * u(shift) = 1.96 times the root mean square of s / rate over the lifts, over sqrt(the
 * points of the flank, at most 13)
 * @par Source
 * JCGM 100:2008, 5.1; the quantile of a greatest of m after Z. Sidak, 1967, from memory.
 * A value between two points of a spline is no less certain than a point.
 */
DIALARC_API dialarc_status dialarc_camcompare_summary(const dialarc_camtable *reference,
                                                      const dialarc_camtable *worn,
                                                      int lobes, int lobe,
                                                      double point_sd_mm,
                                                      dialarc_camwear *wear);

DIALARC_END_DECLS
#endif
