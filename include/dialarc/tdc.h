/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * TDC: finding it from equal heights of the piston on both sides, and what an error of
 * its mark does to the lift.
 *
 * Angles are readings of a degree wheel, which may start anywhere and wrap after a turn.
 * Take both contacts of a stop, and all readings of one side, turning the same way.
 */
#ifndef DIALARC_TDC_H
#define DIALARC_TDC_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/cam.h>
#include <dialarc/crank.h>
#include <dialarc/status.h>

/** TDC from pairs of equal drop. Quantities that cannot be given are quiet NaN. */
typedef struct dialarc_tdc {
    double wheel_deg;        /**< wheel reading of TDC, -180..180, offset error removed */
    double sd_deg;           /**< its standard uncertainty, crank degrees */
    double u_deg;            /**< its expanded uncertainty, 95 %, crank degrees */
    double dof;              /**< degrees of freedom of sd_deg; 0: infinitely many */
    double scatter;          /**< rms of the pairs about it over their stated sd */
    double excess_sd_deg;    /**< sd of a pair beyond what is stated, crank degrees */
    double offset_error_deg; /**< what was taken off the midpoints for the offset, mean */
    double shared_sd_deg;    /**< part of sd_deg that an eccentric wheel makes */
} dialarc_tdc;

DIALARC_BEGIN_DECLS

/**
 * @brief TDC half-way between two contacts with a piston stop.
 *
 * @param[in]  before_deg  Wheel reading of the contact before TDC, degrees.
 * @param[in]  after_deg   Wheel reading of the contact after TDC, degrees; less than half
 *                         a turn on from the other in running direction.
 * @param[out] wheel_deg   Wheel reading half-way from one to the other in running
 *                         direction, -180 to below 180.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_ANGLE (both
 *         readings the same), DIALARC_ERR_CONTACTS (half a turn or more: they are
 *         exchanged, and half-way is BDC).
 * @note Exact when the gudgeon pin is not offset; else see dialarc_tdc_stop_error().
 * @par Equation
 * (before + after)/2
 * @par Source
 * Common practice, no source.
 */
DIALARC_API dialarc_status dialarc_tdc_from_stops(double before_deg, double after_deg,
                                                  double *wheel_deg);

/**
 * @brief Error of the midpoint of two stop contacts when the gudgeon pin is offset.
 *
 * @param[in]  crank       The slider-crank.
 * @param[in]  before_deg  Wheel reading of the contact before TDC, degrees.
 * @param[in]  after_deg   Wheel reading of the contact after TDC, degrees.
 * @param[out] error_deg   Midpoint minus TDC, crank degrees.
 * @return As dialarc_tdc_from_stops(), or a code of dialarc_crank_check().
 * @par Equation
 * asin(e/D) - asin(e/(r+l)), D = r cos s + sqrt(l^2 - r^2 sin^2 s), s = half the arc
 * @par Source
 * Slider-crank kinematics as in textbooks on the theory of machines; recomputed.
 */
DIALARC_API dialarc_status dialarc_tdc_stop_error(const dialarc_crank *crank,
                                                  double before_deg, double after_deg,
                                                  double *error_deg);

/**
 * @brief TDC from several pairs of wheel readings, each pair at equal piston height.
 *
 * Pairs are weighted by what their angles and the slope of the piston there promise. When
 * they disagree by more than that, a variance common to all of them is added until they
 * no longer do: a stop that gives, or a reading in error, widens the result. With both
 * standard uncertainties 0 all of the variance is found so. Two or three pairs show only
 * large disagreement; what all pairs share, such as an eccentric wheel, none can show.
 *
 * @param[in]  crank         The slider-crank.
 * @param[in]  n             Pairs, at least 1.
 * @param[in]  before_deg    n wheel readings before TDC, degrees.
 * @param[in]  after_deg     n wheel readings after TDC, degrees.
 * @param[in]  angle_sd_deg  Standard uncertainty of one wheel reading, degrees, >= 0.
 * @param[in]  drop_sd_mm    Standard uncertainty with which one contact repeats the
 * height of its pair, mm, >= 0; 0 for a rigid stop. An error of the height itself, which
 * both contacts share, cancels.
 * @param[out] tdc           The result.
 * @return As dialarc_tdc_stop_error(); DIALARC_ERR_SIZE (n = 0), DIALARC_ERR_SD,
 *         DIALARC_ERR_NO_SOLUTION (the piston is where it hardly moves).
 * @par Equation
 * weighted mean m of the corrected midpoints x, weights w = 1/(v + excess^2), v =
 * (angle_sd^2 + mean (drop_sd/slope)^2) / 2; excess^2 the least >= 0 for which sum w (x -
 * m)^2 <= n - 1; sd = 1/sqrt(sum w); dof = n - 1 if excess > 0; u = t(95 %, dof) sd
 * @par Source
 * R. C. Paule and J. Mandel, Consensus values and weighting factors, J. Res. NBS 87
 * (1982) 377, from memory; JCGM 100:2008 clause 5 and annex G.
 */
DIALARC_API dialarc_status dialarc_tdc_from_pairs(const dialarc_crank *crank, size_t n,
                                                  const double *before_deg,
                                                  const double *after_deg,
                                                  double angle_sd_deg, double drop_sd_mm,
                                                  dialarc_tdc *tdc);

/**
 * @brief TDC from pairs of several means: stops, equal drops, a wheel, a tape.
 *
 * As dialarc_tdc_from_pairs(), each pair with standard uncertainties of its own. Pairs
 * that were read on one wheel share the error of its centring, which grows with their
 * arc: they do not average it out, and pairs that are close to TDC, or along a rim, count
 * more.
 *
 * @param[in]  crank            The slider-crank.
 * @param[in]  n                Pairs, at least 1.
 * @param[in]  before_deg       n readings before TDC, degrees.
 * @param[in]  after_deg        n readings after TDC, degrees.
 * @param[in]  angle_sd_deg     n standard uncertainties of one reading, degrees, >= 0.
 * @param[in]  drop_sd_mm       n standard uncertainties with which a contact repeats the
 *                              height of its pair, mm, >= 0; 0 for a rigid stop.
 * @param[in]  wheel_error_deg  n half spans of the error of the wheel's centring,
 * degrees,
 *                              >= 0; 0 for a pair that was not read on it.
 * @param[out] tdc              The result.
 * @return As dialarc_tdc_from_pairs(); DIALARC_ERR_SD also when some pairs have a
 *         standard uncertainty and some have none.
 * @par Equation
 * mean = 1'C^-1 x / 1'C^-1 1, C = diag(v + excess^2) + s s', s = wheel_error/sqrt(2) (1 -
 * cos(arc/2)); v and excess as for dialarc_tdc_from_pairs() with chi-square r'C^-1 r
 * @par Source
 * As dialarc_tdc_from_pairs(); generalised least squares: JCGM 102:2011, 6.2 names the
 * covariance matrix it needs; a sine at an unknown place: JCGM 101:2008, 6.4.6.
 */
DIALARC_API dialarc_status dialarc_tdc_from_means(
    const dialarc_crank *crank, size_t n, const double *before_deg,
    const double *after_deg, const double *angle_sd_deg, const double *drop_sd_mm,
    const double *wheel_error_deg, dialarc_tdc *tdc);

/**
 * @brief Standard uncertainty of the lift that comes from the error of the TDC mark.
 *
 * @param[in]  cam               The cam.
 * @param[in]  lift_mm           Lift at TDC, mm, on the rising flank.
 * @param[in]  crank_per_pump    Crank turns per pump turn, > 0.
 * @param[in]  tdc_sd_crank_deg  Standard uncertainty of the mark, crank degrees, >= 0.
 * @param[out] lift_sd_mm        Standard uncertainty of the lift, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_RATIO,
 *         DIALARC_ERR_SD, or a code of dialarc_cam_angle_at_lift().
 * @par Equation
 * u = |lift rate| / crank_per_pump * tdc_sd
 * @par Source
 * JCGM 100:2008 5.1.2.
 */
DIALARC_API dialarc_status dialarc_tdc_lift_sd(const dialarc_cam *cam, double lift_mm,
                                               double crank_per_pump,
                                               double tdc_sd_crank_deg,
                                               double *lift_sd_mm);

DIALARC_END_DECLS
#endif
