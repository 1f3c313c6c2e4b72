/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Monte Carlo: distributions of inputs through a model, by so many trials or by as many
 * as it takes.
 */
#ifndef DIALARC_MONTECARLO_H
#define DIALARC_MONTECARLO_H

#include <stddef.h>
#include <stdint.h>

#include <dialarc/api.h>
#include <dialarc/propagate.h>
#include <dialarc/status.h>

/** Fewest trials. */
#define DIALARC_TRIALS_MIN 100
/** Most trials. */
#define DIALARC_TRIALS_MAX 100000000

/** Most significant digits that dialarc_propagate_adaptive() is asked for. */
#define DIALARC_DIGITS_MAX 4

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

/** What Monte Carlo says of the output of a model, and how many digits of it stand. */
typedef struct dialarc_adaptive {
    dialarc_propagation output; /**< the output, of all trials */
    int trials;                 /**< trials made */
    int digits;       /**< significant digits of sd to which mean, sd, low and high are
                           stable; fewer than asked for: the trials did not suffice */
    double tolerance; /**< half a unit of the last digit asked for */
    double scatter; /**< how far the worst of mean, sd, low and high may still be off, as
                         the blocks of trials scatter; 95 % */
} dialarc_adaptive;

DIALARC_BEGIN_DECLS

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

/**
 * @brief Output of a model by as many trials as its digits need.
 *
 * Blocks of trials follow one another until mean, standard uncertainty and both ends of
 * the interval with equal tails no longer move by half a unit of the last digit asked
 * for. Trials for which the model has no value are counted and left out.
 *
 * @param[in]     n            Inputs, 1..DIALARC_INPUTS_MAX.
 * @param[in]     input        n inputs.
 * @param[in]     correlation  As dialarc_propagate_budget(), or NULL.
 * @param[in]     model        The model.
 * @param[in,out] context      Handed to the model.
 * @param[in]     digits       Significant digits of the standard uncertainty that must
 *                             stand, 1..DIALARC_DIGITS_MAX; 1 or 2 are usual.
 * @param[in]     most         Most trials, at least two blocks and at most
 *                             DIALARC_TRIALS_MAX; a block has the larger of 10,000 and
 *                             100 / (1 - coverage).
 * @param[in]     seed         Start of the generator; the same seed gives the same bits.
 * @param[in]     coverage     Coverage wanted, above 0 and below 1, such as 0.95.
 * @param[out]    result       The output, and how far it can be trusted.
 * @return DIALARC_OK, also when the trials did not suffice; as
 * dialarc_propagate_budget(), DIALARC_ERR_SIZE (n, digits or most), or
 * DIALARC_ERR_NO_SOLUTION as dialarc_propagate_monte_carlo().
 * @par Equation
 * stable: t s <= tolerance, s = sqrt(sum (y_r - mean of y)^2 / (h (h - 1))) over h blocks
 * for each of the four; t is 2 for many blocks, Student's factor for few
 * @par Source
 * JCGM 101:2008, 7.9, which has 2 for any number of blocks; correlated normal inputs:
 * 6.4.8.
 */
DIALARC_API dialarc_status dialarc_propagate_adaptive(
    size_t n, const dialarc_input *input, const double *correlation, dialarc_model model,
    void *context, int digits, size_t most, uint32_t seed, double coverage,
    dialarc_adaptive *result);

DIALARC_END_DECLS
#endif
