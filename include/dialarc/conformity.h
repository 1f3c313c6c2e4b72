/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Conformity: whether a measured quantity lies within its limits, and the risks of saying
 * so.
 *
 * Everything here is about normal distributions; lengths, limits and standard
 * uncertainties share one unit, whichever it is.
 */
#ifndef DIALARC_CONFORMITY_H
#define DIALARC_CONFORMITY_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** Where the true value lies: three probabilities that add up to 1. */
typedef struct dialarc_conformity {
    double below;  /**< below the lower limit */
    double inside; /**< between the limits */
    double above;  /**< above the upper limit */
} dialarc_conformity;

/** Items from a process, each measured once, accepted or rejected. */
typedef struct dialarc_inspection {
    double process_mean; /**< mean of the true values */
    double process_sd;   /**< their standard deviation, > 0 */
    double gauge_sd;     /**< standard uncertainty of a measured value, > 0 */
    double low;          /**< lower limit of what is good */
    double high;         /**< upper limit of what is good, > low */
    double guard;        /**< acceptance limits lie this far inside; below 0: outside */
} dialarc_inspection;

/** Global risks of an inspection: shares of all the items. */
typedef struct dialarc_risks {
    double consumer; /**< bad and accepted */
    double producer; /**< good and rejected */
} dialarc_risks;

DIALARC_BEGIN_DECLS

/**
 * @brief Probability that a true value lies between two limits.
 *
 * @param[in]  mean    Best estimate.
 * @param[in]  sd      Its standard uncertainty, >= 0; with 0 a limit itself is inside.
 * @param[in]  low     Lower limit.
 * @param[in]  high    Upper limit, > low.
 * @param[out] inside  The probability, 0..1.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SD,
 *         DIALARC_ERR_WINDOW (low not below high).
 * @par Equation
 * Phi((high - mean) / sd) - Phi((low - mean) / sd)
 * @par Source
 * JCGM 106:2012, 7.4.
 */
DIALARC_API dialarc_status dialarc_conformity_probability(double mean, double sd,
                                                          double low, double high,
                                                          double *inside);

/**
 * @brief The same for an array of estimates and one pair of limits.
 *
 * @param[in]  n       Estimates, >= 0; with 0 the arrays may be NULL.
 * @param[in]  mean    n best estimates.
 * @param[in]  sd      n standard uncertainties, >= 0.
 * @param[in]  low     Lower limit.
 * @param[in]  high    Upper limit, > low.
 * @param[out] inside  n probabilities, 0..1.
 * @return As dialarc_conformity_probability(); nothing is written unless all are good.
 * @par Source
 * JCGM 106:2012, 7.4.
 */
DIALARC_API dialarc_status dialarc_conformity_probabilities(size_t n, const double *mean,
                                                            const double *sd, double low,
                                                            double high, double *inside);

/**
 * @brief Probabilities that a true value lies below, between and above two limits.
 *
 * @param[in]  mean   Best estimate.
 * @param[in]  sd     Its standard uncertainty, >= 0; with 0 a limit itself is inside.
 * @param[in]  low    Lower limit.
 * @param[in]  high   Upper limit, > low.
 * @param[out] where  The three probabilities; small ones keep their digits.
 * @return As dialarc_conformity_probability().
 * @par Source
 * JCGM 106:2012, 7.4.
 */
DIALARC_API dialarc_status dialarc_conformity_split(double mean, double sd, double low,
                                                    double high,
                                                    dialarc_conformity *where);

/**
 * @brief One-sided normal quantile: how many standard uncertainties make one sure.
 *
 * @param[in]  probability  Probability of conformity wanted, above 1e-100 and below 1.
 * @param[out] z            The quantile; 1.645 for 0.95.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_PROBABILITY.
 * @par Source
 * JCGM 106:2012, 7.3 and table 1.
 */
DIALARC_API dialarc_status dialarc_conformity_z(double probability, double *z);

/**
 * @brief Guard band: how far inside a limit a value must be measured to be accepted.
 *
 * @param[in]  probability  Probability of conformity wanted at the acceptance limit,
 *                          above 1e-100 and below 1.
 * @param[in]  sd           Standard uncertainty of the measured value, >= 0.
 * @param[out] guard        Width of the band; below 0 when probability is below 1/2.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_PROBABILITY,
 *         DIALARC_ERR_SD.
 * @note Right for one limit, or for two that are many sd apart.
 * @par Equation
 * guard = z(probability) * sd
 * @par Source
 * JCGM 106:2012, 8.3.2; ISO 14253-1.
 */
DIALARC_API dialarc_status dialarc_conformity_guard_band(double probability, double sd,
                                                         double *guard);

/**
 * @brief Acceptance limits of a window: between them a measured value is accepted.
 *
 * Unlike dialarc_conformity_guard_band() it counts both limits.
 *
 * @param[in]  probability  Probability of conformity wanted at both acceptance limits,
 *                          above 1/2 and below 1.
 * @param[in]  sd           Standard uncertainty of the measured value, >= 0.
 * @param[in]  low          Lower limit.
 * @param[in]  high         Upper limit, > low.
 * @param[out] accept_low   Lower acceptance limit.
 * @param[out] accept_high  Upper acceptance limit.
 * @return DIALARC_OK, DIALARC_ERR_NO_SOLUTION (not even a value in the middle is so
 * sure), DIALARC_ERR_PROBABILITY, or a code of dialarc_conformity_probability().
 * @par Equation
 * dialarc_conformity_probability() of either limit = probability
 * @par Source
 * JCGM 106:2012, 7.4 and 8.3.2.
 */
DIALARC_API dialarc_status dialarc_conformity_acceptance(double probability, double sd,
                                                         double low, double high,
                                                         double *accept_low,
                                                         double *accept_high);

/**
 * @brief Budget of a window: the largest standard uncertainty with which a value in its
 * middle is still as surely inside as wanted.
 *
 * @param[in]  probability  Probability wanted, above 0 and below 1; 0.975 decides.
 * @param[in]  low          Lower limit.
 * @param[in]  high         Upper limit, > low.
 * @param[out] sd           Standard uncertainty.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_WINDOW,
 *         DIALARC_ERR_PROBABILITY.
 * @par Equation
 * sd = (high - low) / 2 / z((1 + probability) / 2)
 * @par Source
 * JCGM 106:2012, 7.4.
 */
DIALARC_API dialarc_status dialarc_conformity_budget(double probability, double low,
                                                     double high, double *sd);

/**
 * @brief Global risks of accepting by measurement.
 *
 * @param[in]  inspection  Process, gauge, limits and guard band.
 * @param[out] risks       Share of all items that are bad and accepted, and that are good
 *                         and rejected; absolute error below 1e-14.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SD,
 *         DIALARC_ERR_WINDOW (low not below high, or the guard bands leave nothing).
 * @par Equation
 * consumer: integral outside the limits of f(y) F(y); producer: integral between them of
 * f(y) (1 - F(y)), f the density of the process, F(y) the chance that y is accepted.
 * @par Source
 * JCGM 106:2012, 9.5.
 */
DIALARC_API dialarc_status dialarc_conformity_risks(const dialarc_inspection *inspection,
                                                    dialarc_risks *risks);

DIALARC_END_DECLS
#endif
