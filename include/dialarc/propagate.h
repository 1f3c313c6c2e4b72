/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Propagation: distributions of inputs through a model, to first order and by Monte
 * Carlo.
 */
#ifndef DIALARC_PROPAGATE_H
#define DIALARC_PROPAGATE_H

#include <stddef.h>
#include <stdint.h>

#include <dialarc/api.h>
#include <dialarc/status.h>
#include <dialarc/uncertainty.h>

/** Fewest trials. */
#define DIALARC_TRIALS_MIN 100
/** Most trials. */
#define DIALARC_TRIALS_MAX 100000000

/** One input quantity of a model, any unit. */
typedef struct dialarc_input {
    dialarc_shape shape; /**< its distribution */
    double centre;       /**< best estimate: mean, or middle of the limits */
    /** normal: standard uncertainty; Student: scale; else half the distance of the
     * limits;
     * >= 0, and 0 fixes the input */
    double spread;
    double dof;     /**< Student: degrees of freedom, >= 1; else not used */
    double inexact; /**< inexact limits: each is known to this much either way, >= 0 */
} dialarc_input;

/**
 * A model: its value for one set of inputs. It must not keep the array, and must give the
 * same value for the same inputs. NaN: there is none, such as a lift that no cam has;
 * infinity ends the propagation.
 */
typedef double (*dialarc_model)(const double *input, void *context);

/** What Monte Carlo says of the output of a model. */
typedef struct dialarc_propagation {
    double mean;          /**< best estimate */
    double sd;            /**< standard uncertainty */
    double low;           /**< coverage interval with equal tails ... */
    double high;          /**< ... its upper end */
    double shortest_low;  /**< shortest coverage interval ... */
    double shortest_high; /**< ... its upper end */
    double refused;       /**< share of the trials for which the model has no value; all
                             else is told of the others */
} dialarc_propagation;

DIALARC_BEGIN_DECLS

/**
 * @brief Standard uncertainty of an input from its distribution.
 *
 * @param[in]  input  The input.
 * @param[out] sd     Its standard deviation.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SHAPE, DIALARC_ERR_NOT_FINITE,
 *         DIALARC_ERR_SD (spread or inexact below 0, or inexact above spread),
 *         DIALARC_ERR_DOF (Student's has one only above 2 degrees of freedom).
 * @par Equation
 * Student: scale sqrt(nu / (nu - 2)); inexact limits: sqrt(a^2 / 3 + d^2 / 9).
 * @par Source
 * JCGM 101:2008, 6.4.
 */
DIALARC_API dialarc_status dialarc_input_sd(const dialarc_input *input, double *sd);

/**
 * @brief Output of a model and its standard uncertainty to first order.
 *
 * @param[in]     n        Inputs, >= 1.
 * @param[in]     input    n inputs, not correlated.
 * @param[in]     model    The model.
 * @param[in,out] context  Handed to the model.
 * @param[out]    slope    n partial derivatives at the centres, or NULL.
 * @param[out]    value    Output at the centres.
 * @param[out]    sd       Its standard uncertainty.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, a code of dialarc_input_sd(),
 *         DIALARC_ERR_NO_SOLUTION (the model has no finite value at or near the centres),
 *         DIALARC_ERR_NO_MEMORY.
 * @par Equation
 * u^2 = sum (df/dx_i u_i)^2, derivatives by central differences of fourth order over a
 * hundredth of u_i
 * @par Source
 * JCGM 100:2008, 5.1.
 */
DIALARC_API dialarc_status dialarc_propagate_linear(size_t n, const dialarc_input *input,
                                                    dialarc_model model, void *context,
                                                    double *slope, double *value,
                                                    double *sd);

/**
 * @brief Output of a model by Monte Carlo.
 *
 * Trials for which the model has no value are counted and left out. Where they are more
 * than a few in a hundred the inputs reach beyond what the model describes, and the
 * interval says too little.
 *
 * @param[in]     n         Inputs, >= 1.
 * @param[in]     input     n inputs, not correlated.
 * @param[in]     model     The model.
 * @param[in,out] context   Handed to the model.
 * @param[in]     trials    Trials, DIALARC_TRIALS_MIN..DIALARC_TRIALS_MAX; memory for as
 *                          many numbers is needed.
 * @param[in]     seed      Start of the generator; the same seed gives the same bits.
 * @param[in]     coverage  Coverage wanted, above 0 and below 1, such as 0.95; at least
 *                          one trial must be left outside the interval.
 * @param[out]    output    The output.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, DIALARC_ERR_SHAPE,
 *         DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SD, DIALARC_ERR_DOF,
 *         DIALARC_ERR_PROBABILITY, DIALARC_ERR_NO_SOLUTION (an infinite value,
 *         or none in half of the trials), DIALARC_ERR_NO_MEMORY.
 * @par Source
 * JCGM 101:2008, clauses 5 to 7; generator: M. Matsumoto and T. Nishimura, Mersenne
 * Twister, 1998 (from memory), as in GSL.
 */
DIALARC_API dialarc_status dialarc_propagate_monte_carlo(
    size_t n, const dialarc_input *input, dialarc_model model, void *context,
    size_t trials, uint32_t seed, double coverage, dialarc_propagation *output);

DIALARC_END_DECLS
#endif
