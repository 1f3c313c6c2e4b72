/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Normal equations of weighted least squares, built row by row.
 *
 * J'WJ lies row by row, `stride` numbers from one row to the next, upper triangle only,
 * as darc_cholesky() takes it.
 */
#ifndef DARC_NORMAL_EQUATIONS_H
#define DARC_NORMAL_EQUATIONS_H

/* Most unknowns. */
#define DARC_NORMAL_MAX 96

/* Empties J'WJ and J'g for n unknowns. */
void darc_normal_clear(int n, int stride, double *normal, double *pull);

/* Adds one row: derivatives by[n], slope g and weight w of its log likelihood.
 * Four and more derivatives that are 0, one after the other, cost nothing. */
void darc_normal_add(int n, int stride, const double *by, double g, double w,
                     double *normal, double *pull);

/* Adds four rows: to the last bit what they give one after the other, but faster. */
void darc_normal_add_four(int n, int stride, const double *const *by, const double *g,
                          const double *w, double *normal, double *pull);

#endif
