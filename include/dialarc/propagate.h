/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Propagation: uncertainty of inputs through a model, to first and second order. Where
 * these do not do, and for intervals: montecarlo.h.
 */
#ifndef DIALARC_PROPAGATE_H
#define DIALARC_PROPAGATE_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>
#include <dialarc/uncertainty.h>

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

/** Most inputs of dialarc_propagate_budget() and dialarc_propagate_adaptive(). */
#define DIALARC_INPUTS_MAX 1000

/** Output of a model as an uncertainty budget tells it. */
typedef struct dialarc_propagated {
    double value;     /**< output at the centres */
    double sd;        /**< standard uncertainty to first order */
    double dof;       /**< its effective degrees of freedom; 0: infinitely many */
    double mean;      /**< value, with what the curvature of the model adds to it */
    double second_sd; /**< standard uncertainty with the terms of second order; quiet NaN:
                           they outweigh the first, use Monte Carlo */
} dialarc_propagated;

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
 * @brief Output of a model as an uncertainty budget: correlated inputs, degrees of
 * freedom, and the terms of second order.
 *
 * Where a slope vanishes or the model bends within the spread of its inputs, first order
 * alone says too little: compare sd with second_sd, value with mean. A Student input is
 * taken as JCGM 100 does: its scale is its standard uncertainty, its degrees of freedom
 * go into those of the output. (dialarc_input_sd() gives the larger one of JCGM 101.)
 *
 * @param[in]     n            Inputs, 1..DIALARC_INPUTS_MAX.
 * @param[in]     input        n inputs.
 * @param[in]     correlation  n x n correlation coefficients, rows one after another,
 *                             symmetric with unit diagonal, other than 0 between normal
 *                             inputs alone; NULL: not correlated.
 * @param[in]     model        The model.
 * @param[in,out] context      Handed to the model.
 * @param[out]    budget       The budget.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, DIALARC_ERR_SHAPE (also: a
 *         correlated input is not normal), DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SD,
 *         DIALARC_ERR_DOF, DIALARC_ERR_PROBABILITY (not a correlation matrix),
 *         DIALARC_ERR_NO_SOLUTION (no finite value at or near the centres),
 *         DIALARC_ERR_NO_MEMORY.
 * @par Equation
 * u^2 = sum sum f_i f_j r_ij u_i u_j; second order adds, in independent quantities of
 * variance 1 and fourth moment k: sum (k_i - 1) f_ii^2 / 4 + k_i f_i f_iii / 3 + sum over
 * i < j of f_ij^2 + f_i f_ijj + f_j f_jii; the mean moves by sum f_ii / 2;
 * dof = u^4 / sum((f_i u_i)^4 / dof_i). Differences over a tenth of u_i.
 * @par Source
 * JCGM 100:2008, 5.1.2 with its note, 5.2.2 and G.4.1; fourth moments of other shapes
 * than the normal: this project.
 */
DIALARC_API dialarc_status dialarc_propagate_budget(size_t n, const dialarc_input *input,
                                                    const double *correlation,
                                                    dialarc_model model, void *context,
                                                    dialarc_propagated *budget);

DIALARC_END_DECLS
#endif
