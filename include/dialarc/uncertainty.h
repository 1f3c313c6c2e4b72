/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Uncertainty: the sums of an uncertainty budget.
 *
 * Degrees of freedom are at least 1, not necessarily whole; 0 stands for infinitely many
 * (a quantity whose standard uncertainty is taken as exact).
 */
#ifndef DIALARC_UNCERTAINTY_H
#define DIALARC_UNCERTAINTY_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** Distributions of an input quantity. */
typedef enum dialarc_shape {
    DIALARC_SHAPE_NORMAL = 0,
    DIALARC_SHAPE_STUDENT,     /**< scaled and shifted t distribution */
    DIALARC_SHAPE_RECTANGULAR, /**< anywhere between its limits, equally likely */
    DIALARC_SHAPE_TRIANGULAR,  /**< between its limits, likeliest in the middle */
    DIALARC_SHAPE_ARCSINE,     /**< likeliest at its limits: a quantity that cycles */
    DIALARC_SHAPE_INEXACT,     /**< rectangular with limits that are not known exactly */
    DIALARC_SHAPE_COUNT
} dialarc_shape;

DIALARC_BEGIN_DECLS

/**
 * @brief Standard uncertainty of a quantity known to lie between two limits.
 *
 * @param[in]  shape       DIALARC_SHAPE_RECTANGULAR, _TRIANGULAR or _ARCSINE.
 * @param[in]  half_width  Half the distance of the limits, any unit, >= 0.
 * @param[out] sd          Standard uncertainty, same unit.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SD
 *         (half_width below 0), DIALARC_ERR_SHAPE.
 * @par Equation
 * a / sqrt(3), a / sqrt(6), a / sqrt(2).
 * @par Source
 * JCGM 100:2008, 4.3.7 and 4.3.9; JCGM 101:2008, 6.4.6.
 */
DIALARC_API dialarc_status dialarc_uncertainty_half_width(dialarc_shape shape,
                                                          double half_width, double *sd);

/**
 * @brief Standard uncertainty due to reading to the nearest graduation.
 *
 * @param[in]  step  Graduation, any unit, >= 0.
 * @param[out] sd    Standard uncertainty, same unit.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SD
 *         (step below 0).
 * @par Equation
 * step / sqrt(12).
 * @par Source
 * JCGM 100:2008, F.2.2.1.
 */
DIALARC_API dialarc_status dialarc_uncertainty_rounding(double step, double *sd);

/**
 * @brief Shares of a budget: the part of the variance that each input makes.
 *
 * @param[in]  n            Inputs, >= 0, not correlated; with 0 the arrays may be NULL.
 * @param[in]  sensitivity  n partial derivatives of the result.
 * @param[in]  sd           n standard uncertainties, >= 0.
 * @param[out] share        n shares, 0..1; together 1. May be either array.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SD (also when
 *         nothing is uncertain).
 * @par Equation
 * c_i^2 u_i^2 / sum_j c_j^2 u_j^2.
 * @par Source
 * JCGM 100:2008, 5.1.2.
 */
DIALARC_API dialarc_status dialarc_uncertainty_shares(size_t n, const double *sensitivity,
                                                      const double *sd, double *share);

/**
 * @brief Combined standard uncertainty of a result from its inputs.
 *
 * @param[in]  n            Inputs, >= 0; with 0 the arrays may be NULL and the result is
 * 0.
 * @param[in]  sensitivity  n partial derivatives of the result.
 * @param[in]  sd           n standard uncertainties, >= 0.
 * @param[in]  correlation  n x n correlation coefficients, rows one after another,
 *                          symmetric with unit diagonal; NULL: not correlated.
 * @param[out] combined     Combined standard uncertainty, >= 0.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SD,
 *         DIALARC_ERR_PROBABILITY (not a correlation matrix).
 * @par Equation
 * u^2 = sum_i sum_j c_i c_j u_i u_j r_ij.
 * @par Source
 * JCGM 100:2008, equations 13 and 15.
 */
DIALARC_API dialarc_status dialarc_uncertainty_combine(size_t n,
                                                       const double *sensitivity,
                                                       const double *sd,
                                                       const double *correlation,
                                                       double *combined);

/**
 * @brief Effective degrees of freedom of a sum of components that are not correlated.
 *
 * @param[in]  n          Components, >= 1.
 * @param[in]  component  n components: sensitivity times standard uncertainty, any sign,
 *                        not all 0.
 * @param[in]  dof        n degrees of freedom, each >= 1, or 0 for infinitely many.
 * @param[out] effective  Effective degrees of freedom; 0 when infinitely many.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, DIALARC_ERR_NOT_FINITE,
 *         DIALARC_ERR_DOF, DIALARC_ERR_SD (all components 0).
 * @par Equation
 * nu = (sum u_i^2)^2 / sum(u_i^4 / nu_i).
 * @par Source
 * Welch-Satterthwaite, JCGM 100:2008, equation G.2b.
 */
DIALARC_API dialarc_status dialarc_uncertainty_effective_dof(size_t n,
                                                             const double *component,
                                                             const double *dof,
                                                             double *effective);

/**
 * @brief Quantile of Student's t distribution.
 *
 * @param[in]  probability  Probability of a smaller value, above 1e-100 and below 1.
 * @param[in]  dof          Degrees of freedom, >= 1, or 0 for infinitely many (normal).
 * @param[out] t            The quantile.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_PROBABILITY,
 *         DIALARC_ERR_DOF.
 * @par Source
 * JCGM 100:2008, G.3.
 */
DIALARC_API dialarc_status dialarc_uncertainty_t_quantile(double probability, double dof,
                                                          double *t);

/**
 * @brief Coverage factor: expanded uncertainty over standard uncertainty.
 *
 * @param[in]  probability  Coverage wanted, above 0 and below 1, such as 0.95.
 * @param[in]  dof          Degrees of freedom, >= 1, or 0 for infinitely many (normal).
 * @param[out] factor       Two-sided coverage factor.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_PROBABILITY,
 *         DIALARC_ERR_DOF.
 * @par Source
 * JCGM 100:2008, G.3 and table G.2.
 */
DIALARC_API dialarc_status dialarc_uncertainty_coverage_factor(double probability,
                                                               double dof,
                                                               double *factor);

DIALARC_END_DECLS
#endif
