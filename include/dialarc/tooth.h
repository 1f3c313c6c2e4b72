/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Tooth: telling a drive fitted a whole tooth out from a pump that only wants adjusting.
 *
 * A pump set by hand is out by little; a belt fitted wrongly is out by whole teeth. The
 * two explanations are weighed against each other by their probabilities.
 */
#ifndef DIALARC_TOOTH_H
#define DIALARC_TOOTH_H

#include <dialarc/api.h>
#include <dialarc/cam.h>
#include <dialarc/status.h>

/** Most teeth considered to either side. */
#define DIALARC_TOOTH_MAX 8

/** The likeliest explanation of an error. */
typedef struct dialarc_tooth {
    int teeth;          /**< teeth that the pump is early; negative: late; 0: none */
    double probability; /**< probability of exactly that */
    double probability_jumped; /**< probability of any number of teeth but 0 */
} dialarc_tooth;

DIALARC_BEGIN_DECLS

/**
 * @brief Whether an error of advance is a whole number of teeth.
 *
 * @param[in]  advance_error_crank_deg  Error, crank degrees, -720..720; positive: early.
 * @param[in]  sd_crank_deg             Its standard uncertainty, crank degrees, >= 0.
 * @param[in]  tooth_crank_deg          One tooth, crank degrees, above 0 to 720.
 * @param[in]  setting_sd_crank_deg     Standard deviation of ordinary wrong settings,
 *                                      crank degrees, >= 0; the root sum of squares of
 *                                      both must be 1e-12..720.
 * @param[in]  jump_probability         Share of drives fitted wrongly, 0 to 1, exclusive.
 * @param[out] tooth                    The likeliest explanation.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SD,
 *         DIALARC_ERR_ANGLE, DIALARC_ERR_PROBABILITY.
 * @par Equation
 * posterior of k ~ prior(k) N(error - k tooth; sd^2 + setting_sd^2), prior 1 - p for 0
 * and p/2^(|k|+1) for k teeth
 * @par Source
 * Bayes' rule; the prior is common practice, no source.
 */
DIALARC_API dialarc_status dialarc_tooth_from_advance(
    double advance_error_crank_deg, double sd_crank_deg, double tooth_crank_deg,
    double setting_sd_crank_deg, double jump_probability, dialarc_tooth *tooth);

/**
 * @brief Whether a wrong lift at TDC is a whole number of teeth.
 *
 * Unlike an error of advance, the lift stays in the range of the cam: each number of
 * teeth is judged by the lift that the cam has there. Teeth that would move the pump by
 * half a lobe pitch or more are left out.
 *
 * @param[in]  cam                  The cam.
 * @param[in]  target_lift_mm       Lift wanted at TDC, mm, on the rising flank.
 * @param[in]  lift_mm              Lift found, mm, 0..total lift.
 * @param[in]  lift_sd_mm           Its standard uncertainty, mm, at least 1e-12.
 * @param[in]  tooth_pump_deg       One tooth, pump degrees, above 0 to 720.
 * @param[in]  setting_sd_pump_deg  Standard deviation of ordinary wrong settings, pump
 *                                  degrees, >= 0.
 * @param[in]  jump_probability     Share of drives fitted wrongly, 0 to 1, exclusive.
 * @param[out] tooth                The likeliest explanation.
 * @return As dialarc_tooth_from_advance(), or a code of dialarc_cam_angle_at_lift().
 * @par Equation
 * posterior of k ~ prior(k) N(lift - L_k; lift_sd^2 + (rate_k setting_sd)^2), L_k and
 * rate_k those of the cam k teeth from the target
 * @par Source
 * As dialarc_tooth_from_advance().
 */
DIALARC_API dialarc_status dialarc_tooth_from_lift(
    const dialarc_cam *cam, double target_lift_mm, double lift_mm, double lift_sd_mm,
    double tooth_pump_deg, double setting_sd_pump_deg, double jump_probability,
    dialarc_tooth *tooth);

DIALARC_END_DECLS
#endif
