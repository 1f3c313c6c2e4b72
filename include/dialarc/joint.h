/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Joint: several sweeps of one setting as one, with a verdict whose risk holds however
 * often one looks.
 *
 * Who sweeps again until it says `in` will be told so in the end: each look has its own
 * chance to err. Here all sweeps of a setting, called looks, count together, errors that
 * they share do not average out, and a later look must be surer than the one before.
 */
#ifndef DIALARC_JOINT_H
#define DIALARC_JOINT_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/decision.h>
#include <dialarc/finding.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/timing.h>

/** Most looks at one setting. */
#define DIALARC_LOOKS_MAX 24

/** One look at a setting: its lift, standard uncertainties by cause, and whose errors it
 * shares. Looks with the same number share the error; 0 is a number like any other. */
typedef struct dialarc_look {
    double lift_mm;       /**< lift at TDC that it found, mm */
    double readings_mm;   /**< scatter of its readings, drawn anew each time */
    double tdc_mm;        /**< error of the TDC mark, shared by looks at one mark */
    double hysteresis_mm; /**< hysteresis, shared by looks with one dial */
    double dial_mm;       /**< errors of indication, shared likewise */
    double wheel_mm;      /**< degree wheel, shared until it is fitted anew */
    double cam_mm;        /**< shape of the cam, shared by looks at one pump */
    int mark;             /**< number of the TDC mark as it was found */
    int dial;             /**< number of the dial */
    int wheel;            /**< number of the fitting of the degree wheel */
    int cam;              /**< number of the pump */
} dialarc_look;

/** What the looks say together. Fields that cannot be given are DIALARC_UNKNOWN. */
typedef struct dialarc_joint {
    size_t looks;          /**< how many there were */
    double lift_mm;        /**< their lift at TDC */
    double lift_u_mm;      /**< its expanded uncertainty, 95 % */
    dialarc_budget budget; /**< its standard uncertainty by component; what looks scatter
                              beyond what they state is in readings_mm */
    double excess_mm;      /**< that scatter, sd of one look; UNKNOWN for one alone */
    double agree_probability;  /**< chance that looks of one setting differ so much */
    int together;              /**< 1: they may be of one setting; 0: they are not */
    dialarc_verdict verdict;   /**< of all looks together, the risk spent look by look */
    double probability_in;     /**< probability that the true lift lies in the window */
    double probability_low;    /**< ... below it */
    double probability_high;   /**< ... above it */
    double sure;               /**< probability that the latest look asks of a verdict */
    dialarc_findings findings; /**< rows count looks from 0 */
} dialarc_joint;

DIALARC_BEGIN_DECLS

/**
 * @brief The look that a timing is, all errors shared with other looks.
 *
 * @param[in]  timing  What a sweep says; its lift must be known.
 * @param[out] look    The look, all its numbers 0. Give mark, dial, wheel or cam another
 *                     number where another stood in its place.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE (lift or a part of the
 *         budget is not known), DIALARC_ERR_SD (a part below 0 or
 *         above 100 mm), DIALARC_ERR_LIFT (a lift beyond 100 mm).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_joint_look(const dialarc_timing *timing,
                                              dialarc_look *look);

/**
 * @brief Pools looks at one setting and judges it, each look counted.
 *
 * The lift is that of generalised least squares. Of two looks that share an error the
 * covariance is the square of the smaller of both standard uncertainties: the larger is
 * the same error and some of its own besides. Where looks scatter more than they state,
 * an excess is learned from them, never below 0: before there are looks it is thought to
 * be about 0.001 mm (half Student, 3 degrees of freedom), and all sizes that the looks
 * allow are averaged by their likelihood, so that few looks get the wide tails of a
 * scatter badly known. One look alone says what its sweep says.
 *
 * The verdict. Of the risk of 2.5 % look k may spend its 1/(k (k + 1)) part: half, a
 * sixth, a twelfth. It spends the chance that a lift at a limit passes at this look and
 * did not at the one before, so looks that share most of their errors count little. A
 * verdict once given stands as long as it has 97.5 % of all looks together. So the chance
 * of a false verdict is at most 2.5 % over all looks, whatever their errors share. That
 * holds for who counts every look, from the first on.
 *
 * Looks that differ more than an excess of 0.003 mm explains, with a chance below 0.002,
 * are not of one setting: `together` is 0, repeatability is found as a caution at the
 * look that lies farthest off, and the verdict is `undecided`. No look at all is
 * `unusable`, with the finding too_few_readings.
 *
 * @param[in]  setup  The window; checked by dialarc_setup_check().
 * @param[in]  n      Looks, 0 to DIALARC_LOOKS_MAX; with 0 `looks` may be NULL.
 * @param[in]  looks  n looks in the order taken.
 * @param[out] joint  What they say together.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE (too many), DIALARC_ERR_SD (a
 *         standard uncertainty below 0 or above 100 mm), DIALARC_ERR_LIFT (a lift beyond
 *         100 mm),
 *         DIALARC_ERR_NOT_FINITE, or a code of dialarc_setup_check().
 * @par Equation
 * P(look k passes, look k - 1 does not) = 0.025 / (k (k + 1)), Cov(E_j, E_k) = Var(E_k);
 * lift = 1'C^-1 y / 1'C^-1 1; C = diag(r^2 + t^2) + sum over causes of min(u_i, u_j)^2
 * where i and j share them; weight of an excess t: its prior times the restricted
 * likelihood of the looks.
 * @par Source
 * Generalised least squares: JCGM 102:2011, 6.2 names the covariance matrix it needs;
 * random effects and restricted likelihood: A. Gelman et al., Bayesian Data Analysis,
 * 5.4 (from memory); spending of risk, and the
 * independent increments of estimates that use all looks: K. K. G. Lan and D. L. DeMets,
 * Biometrika 70, 1983 (from memory). Sizes of the
 * excess: common practice, no source.
 */
DIALARC_API dialarc_status dialarc_joint_assess(const dialarc_setup *setup, size_t n,
                                                const dialarc_look *looks,
                                                dialarc_joint *joint);

/**
 * @brief The timing of all looks together, for results and pages.
 *
 * @param[in]  latest  Timing of one of the looks, as a rule the latest: cam, slack,
 *                     minimum and readings stay as there.
 * @param[in]  joint   What the looks say together.
 * @param[out] timing  The same with lift, uncertainty and budget of all looks, and the
 *                     findings of both.
 * @return DIALARC_OK, DIALARC_ERR_NULL.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_joint_timing(const dialarc_timing *latest,
                                                const dialarc_joint *joint,
                                                dialarc_timing *timing);

/**
 * @brief Verdict, correction and advice from all looks together.
 *
 * As dialarc_decision_judge(), but for the verdict and its probabilities, which are those
 * of the looks. Looks that are not of one setting get the advice to see the findings.
 *
 * @param[in]  setup     Window, drive and dial; checked by dialarc_setup_check().
 * @param[in]  timing    A result of dialarc_joint_timing().
 * @param[in]  joint     What the looks say together.
 * @param[out] decision  The decision.
 * @return The codes of dialarc_decision_judge().
 * @par Source
 * JCGM 106:2012, 7.4 and 8.2.
 */
DIALARC_API dialarc_status dialarc_joint_judge(const dialarc_setup *setup,
                                               const dialarc_timing *timing,
                                               const dialarc_joint *joint,
                                               dialarc_decision *decision);

DIALARC_END_DECLS
#endif
