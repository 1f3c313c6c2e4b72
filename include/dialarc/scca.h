/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * SCCA: the family of cam laws whose acceleration is a sine, a constant and a cosine.
 *
 * One formula with three fractions holds the constant-acceleration, modified-trapezoid,
 * harmonic, modified-sine and cycloidal laws, and everything between them.
 */
#ifndef DIALARC_SCCA_H
#define DIALARC_SCCA_H

#include <dialarc/api.h>
#include <dialarc/law.h>
#include <dialarc/status.h>

/**
 * Fractions of the flank; each is >= 0 and together they are 1 (to 1e-12). Half of the
 * sine zone and half of the constant zone lie at each end, the cosine zone in the middle.
 */
typedef struct dialarc_scca {
    double sine; /**< b: acceleration as sin(pi u/b), in the quarter wave to its peak */
    double constant; /**< c: constant acceleration */
    double cosine;   /**< d: acceleration falling as a cosine through 0 at half-way */
} dialarc_scca;

DIALARC_BEGIN_DECLS

/**
 * @brief Motion of a law of the family on the unit flank.
 *
 * @param[in]  scca    The fractions.
 * @param[in]  u       Place on the flank, 0..1.
 * @param[out] motion  Displacement, rate and acceleration; at u = 0 and 1 the
 *                     acceleration is that of the dwell, 0.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_FRACTION,
 *         DIALARC_ERR_ANGLE (u outside 0..1).
 * @par Equation
 * a = Ca sin(pi u/b) to u = b/2, then Ca, then from u2 = (1-d)/2 Ca cos(pi (u - u2)/d)
 * to u = 1/2; the second half mirrors the first
 * @par Source
 * R. L. Norton, Cam Design and Manufacturing Handbook (from memory); checked by
 * quadrature.
 */
DIALARC_API dialarc_status dialarc_scca_motion(const dialarc_scca *scca, double u,
                                               dialarc_unit_motion *motion);

/**
 * @brief Peak factors of a law of the family.
 *
 * @param[in]  scca   The fractions.
 * @param[out] peaks  The factors; the jerk is HUGE_VAL where the acceleration jumps.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_FRACTION.
 * @par Equation
 * Ca = 4 pi^2 / ((pi^2 - 8)(b^2 - d^2) - 2 pi (pi - 2) b + pi^2),
 * Cv = Ca ((b + d)/pi + c/2), Cj = Ca pi / min(b, d)
 * @par Source
 * As dialarc_scca_motion().
 */
DIALARC_API dialarc_status dialarc_scca_peak_factors(const dialarc_scca *scca,
                                                     dialarc_law_peaks *peaks);

DIALARC_END_DECLS
#endif
