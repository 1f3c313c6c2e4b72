/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Crosscheck: one setting seen by several witnesses that measure it in different ways.
 *
 * The dial tells the lift at TDC, the spill or drip method the crank angle at which flow
 * stops, a strobe or a pickup the timing of a running engine. Brought to one quantity,
 * they are pooled with what they share: who reads at the same mark errs with it alike.
 * Then it shows whether they agree, and which one does not.
 *
 * That quantity is the advance at a reference lift: crank degrees before TDC at which the
 * plunger has risen so far; more of it is earlier.
 */
#ifndef DIALARC_CROSSCHECK_H
#define DIALARC_CROSSCHECK_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/cam.h>
#include <dialarc/status.h>

/** Most witnesses of a setting. */
#define DIALARC_WITNESSES_MAX 24

/** What a witness says, standard uncertainties by cause, and whose errors it shares.
 * Witnesses with the same number share the error; 0 is a number like any other. */
typedef struct dialarc_witness {
    double advance_crank_deg; /**< advance that it found, crank degrees */
    double own_sd_crank_deg;  /**< what is its own: readings, delay, lift it stands for */
    double mark_sd_crank_deg; /**< error of the TDC mark, shared at one mark */
    double wheel_sd_crank_deg; /**< degree wheel, shared until it is fitted anew */
    double cam_sd_crank_deg;   /**< cam that turned lifts into angles, shared likewise */
    int mark;                  /**< number of the mark */
    int wheel;                 /**< number of the fitting of the degree wheel */
    int cam;                   /**< number of the cam */
} dialarc_witness;

/** What the witnesses say together. What cannot be given is quiet NaN. */
typedef struct dialarc_crosscheck {
    size_t witnesses;          /**< how many there were */
    double advance_crank_deg;  /**< their advance */
    double sd_crank_deg;       /**< its standard uncertainty */
    double chi_square;         /**< sum of squares by which they differ */
    double dof;                /**< its degrees of freedom, witnesses less 1 */
    double agree_probability;  /**< chance that witnesses who are right differ so much */
    int agree;                 /**< 1 unless that chance is below 0.05 */
    size_t farthest;           /**< the one farthest from what the others say, from 0 */
    double farthest_crank_deg; /**< by how much: its advance minus theirs */
    double farthest_sd_crank_deg; /**< standard uncertainty of that difference */
    double farthest_probability;  /**< chance that one of so many is so far off */
} dialarc_crosscheck;

/** Timing of a running engine, brought to rest. What cannot be given is quiet NaN. */
typedef struct dialarc_at_rest {
    double advance_crank_deg; /**< advance at no speed: the line's beginning */
    double sd_crank_deg;      /**< its standard uncertainty */
    double delay_ms;          /**< delay that makes the timing later with speed */
    double delay_sd_ms;       /**< its standard uncertainty */
    double dof;               /**< degrees of freedom of both; 0: infinitely many */
    double scatter;           /**< rms of what is left over the stated sd */
} dialarc_at_rest;

DIALARC_BEGIN_DECLS

/**
 * @brief Advance at a reference lift of a setting that was found as a lift at an angle.
 *
 * For the dial: its lift at TDC, angle 0. For the spill or drip method: the lift at which
 * flow stops, and the crank angle at which it does, below 0 before TDC.
 *
 * @param[in]  cam                The cam.
 * @param[in]  lift_mm            Lift that was found or that stands for flow stopping,
 * mm, on the rise.
 * @param[in]  at_crank_deg       Crank angle at which it was, degrees, 0 at TDC.
 * @param[in]  reference_lift_mm  Lift of the advance, mm, on the rise.
 * @param[in]  crank_per_pump     Crank turns per pump turn, > 0.
 * @param[out] advance_crank_deg  Crank degrees before TDC at which the reference lift is.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_RATIO, or a
 *         code of dialarc_cam_angle_at_lift().
 * @par Equation
 * advance = (angle(lift) - angle(reference)) crank_per_pump - at
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_crosscheck_from_lift(
    const dialarc_cam *cam, double lift_mm, double at_crank_deg, double reference_lift_mm,
    double crank_per_pump, double *advance_crank_deg);

/**
 * @brief Advance at rest of timing that a strobe or pickup showed at several speeds.
 *
 * Line, pressure and light take time, which is more degrees the faster the engine turns:
 * a straight line over the speed, as long as no timing device moves the pump. Where the
 * timings scatter more than is stated, and with 0 stated always, both uncertainties are
 * those of the scatter.
 *
 * @param[in]  n                  Timings, 2 to 1000, at two speeds at least.
 * @param[in]  crank_rpm          n speeds, revolutions a minute, > 0, at most 1e5.
 * @param[in]  timing_crank_deg   n timings, crank degrees before TDC.
 * @param[in]  timing_sd_deg      Standard uncertainty of one timing, degrees, >= 0.
 * @param[out] at_rest            Advance and delay.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, DIALARC_ERR_NOT_FINITE,
 *         DIALARC_ERR_SPEED, DIALARC_ERR_SD, DIALARC_ERR_RANGE, DIALARC_ERR_NO_SOLUTION
 *         (one speed only).
 * @par Equation
 * timing = advance - 0.006 delay rpm, by least squares
 * @par Source
 * This project; 6 degrees a second at 1 rpm.
 */
DIALARC_API dialarc_status dialarc_crosscheck_at_rest(size_t n, const double *crank_rpm,
                                                      const double *timing_crank_deg,
                                                      double timing_sd_deg,
                                                      dialarc_at_rest *at_rest);

/**
 * @brief How far one witness is from what the others say.
 *
 * @param[in]  n             Witnesses, 2 to DIALARC_WITNESSES_MAX.
 * @param[in]  witness       n witnesses.
 * @param[in]  which         Which one, from 0.
 * @param[out] off_crank_deg Its advance minus that of the others, crank degrees.
 * @param[out] off_sd_deg    Standard uncertainty of that difference, crank degrees; what
 *                           they share cancels.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, DIALARC_ERR_NOT_FINITE,
 *         DIALARC_ERR_SD (below 0, or own_sd_crank_deg 0), DIALARC_ERR_RANGE.
 * @par Equation
 * off = e'C^-1 r / e'P e, sd = 1/sqrt(e'P e), P = C^-1 - C^-1 1 1'C^-1 / 1'C^-1 1, r the
 * residuals: generalised least squares with a shift of that witness as an unknown
 * @par Source
 * A mean-shift outlier, W. Baarda, A testing procedure for use in geodetic networks,
 * 1968, from memory.
 */
DIALARC_API dialarc_status dialarc_crosscheck_apart(size_t n,
                                                    const dialarc_witness *witness,
                                                    size_t which, double *off_crank_deg,
                                                    double *off_sd_deg);

/**
 * @brief Pools the witnesses, and tells whether they agree and which one does not.
 *
 * @param[in]  n           Witnesses, 1 to DIALARC_WITNESSES_MAX.
 * @param[in]  witness     n witnesses; own_sd_crank_deg is above 0.
 * @param[out] crosscheck  What they say together. With two, which one is wrong cannot be
 *                         told: both are as far from the other.
 * @return As dialarc_crosscheck_apart().
 * @par Equation
 * advance = 1'C^-1 y / 1'C^-1 1; C = diag(own^2) + sum over causes of min(u_i, u_j)^2
 * where i and j share them; chi-square = r'C^-1 r; farthest_probability = 1 - (1 - p)^n,
 * p that of |off|/sd of a normal distribution
 * @par Source
 * M. G. Cox, The evaluation of key comparison data, Metrologia 39 (2002) 589, from
 * memory: weighted mean, chi-square test at 5 %; generalised least squares: JCGM
 * 102:2011, 6.2 names the covariance matrix it needs.
 */
DIALARC_API dialarc_status dialarc_crosscheck_assess(size_t n,
                                                     const dialarc_witness *witness,
                                                     dialarc_crosscheck *crosscheck);

DIALARC_END_DECLS
#endif
