/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Tooth: telling a drive fitted a whole tooth out from a pump that only wants adjusting.
 *
 * A pump set by hand is out by little; a belt fitted wrongly is out by whole teeth; and
 * there are errors that are neither, such as another pump or a key that has sheared. The
 * explanations are weighed against each other by their probabilities.
 */
#ifndef DIALARC_TOOTH_H
#define DIALARC_TOOTH_H

#include <dialarc/api.h>
#include <dialarc/cam.h>
#include <dialarc/status.h>

/** Most teeth considered to either side. */
#define DIALARC_TOOTH_MAX 8

/**
 * What explains an error. Where probability_neither is above the probability of the
 * likeliest number of teeth, nothing here does: look for another cause.
 */
typedef struct dialarc_tooth {
    int teeth;                  /**< likeliest teeth that the pump is early; negative:
                                   late; 0: an ordinary wrong setting */
    double probability;         /**< probability of exactly that */
    double probability_jumped;  /**< probability of any number of teeth but 0 */
    double probability_neither; /**< probability of neither teeth nor a wrong setting */
} dialarc_tooth;

DIALARC_BEGIN_DECLS

/**
 * @brief Whether an error of advance is a whole number of teeth.
 *
 * @param[in]  advance_error_crank_deg  Error, crank degrees, -720..720; positive: early.
 * @param[in]  sd_crank_deg             Its standard uncertainty, crank degrees, >= 0.
 * @param[in]  tooth_crank_deg          One tooth, crank degrees, above 0 to 720.
 * @param[in]  setting_sd_crank_deg     Standard deviation of ordinary wrong settings,
 *                                      crank degrees, >= 0; one in ten is taken to err
 *                                      three times as far. The root sum of squares of
 *                                      both must be 1e-12..720.
 * @param[in]  jump_probability         Share of drives fitted wrongly, 0 to 1, exclusive.
 * @param[out] tooth                    The likeliest explanation.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SD,
 *         DIALARC_ERR_ANGLE, DIALARC_ERR_PROBABILITY.
 * @par Equation
 * posterior of k ~ 0.99 prior(k) M(error - k tooth), prior 1 - p for 0 and p/2^(|k|+1)
 * for k teeth; M = 0.9 N(sd^2 + setting_sd^2) + 0.1 N(sd^2 + 9 setting_sd^2); neither:
 * 0.01 times an even density over the 17 teeth considered
 * @par Source
 * Bayes' rule; the mixture is the contaminated normal of J. W. Tukey, A survey of
 * sampling from contaminated distributions, 1960, from memory; the shares are common
 * practice, no source.
 */
DIALARC_API dialarc_status dialarc_tooth_from_advance(
    double advance_error_crank_deg, double sd_crank_deg, double tooth_crank_deg,
    double setting_sd_crank_deg, double jump_probability, dialarc_tooth *tooth);

/**
 * @brief Whether a wrong lift at TDC is a whole number of teeth.
 *
 * Unlike an error of advance, the lift stays in the range of the cam, which has it on
 * both flanks: turn the crank on a little at TDC to see whether it rises or falls. Teeth
 * that would move the pump by half a lobe pitch or more are left out.
 *
 * @param[in]  cam                  The cam.
 * @param[in]  target_lift_mm       Lift wanted at TDC, mm, on the rising flank.
 * @param[in]  lift_mm              Lift found, mm, 0..total lift.
 * @param[in]  lift_sd_mm           Its standard uncertainty, mm, at least 1e-12.
 * @param[in]  flank                Flank on which it was found.
 * @param[in]  tooth_pump_deg       One tooth, pump degrees, above 0 to 720.
 * @param[in]  setting_sd_pump_deg  Standard deviation of ordinary wrong settings, pump
 *                                  degrees, >= 0, as in dialarc_tooth_from_advance().
 * @param[in]  jump_probability     Share of drives fitted wrongly, 0 to 1, exclusive.
 * @param[out] tooth                The likeliest explanation.
 * @return As dialarc_tooth_from_advance(), or a code of dialarc_cam_angle_at_lift().
 * @par Equation
 * posterior of k ~ 0.99 prior(k) integral over the flank of N(lift - L(a); lift_sd^2)
 * M(a - target - k tooth) da, L the lift of the cam at a; neither: 0.01 times the same
 * with an even density over a lobe pitch
 * @par Source
 * As dialarc_tooth_from_advance().
 */
DIALARC_API dialarc_status dialarc_tooth_from_lift(
    const dialarc_cam *cam, double target_lift_mm, double lift_mm, double lift_sd_mm,
    dialarc_flank flank, double tooth_pump_deg, double setting_sd_pump_deg,
    double jump_probability, dialarc_tooth *tooth);

DIALARC_END_DECLS
#endif
