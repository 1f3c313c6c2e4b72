/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Quantiles of the distributions of mean squares: values that are exceeded with a given
 * probability, from 0.001 to 0.999, for degrees of freedom from 1 on.
 *
 * Own code, because the quantiles of GSL report a search that fails to the error handler
 * of the host. Those are found here by halving, on its distribution functions.
 */
#ifndef DARC_QUANTILE_H
#define DARC_QUANTILE_H

/* Of chi-square over its degrees of freedom; above 1000 of them by Wilson and Hilferty's
 * approximation, good to 1e-6. */
double darc_mean_square_quantile(double exceeded, double dof);

/* Of the ratio of two such mean squares. More than 1000 degrees of freedom count as 1000,
 * which changes it by less than 1 %. */
double darc_f_quantile(double exceeded, double dof, double other_dof);

#endif
