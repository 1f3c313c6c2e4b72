/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Symmetric positive definite systems of a few dozen unknowns, by Cholesky's factor.
 *
 * Our own, in place of GSL's: a fit factorises thousands of times a second, GSL's goes by
 * way of a BLAS that the host may have put another in place of, and so the last bits of a
 * result would depend on the host. Matrices lie row by row, `stride` numbers from one
 * row to the next; only the upper triangle is read or written.
 */
#ifndef DARC_CHOLESKY_H
#define DARC_CHOLESKY_H

#include <stdbool.h>

/* The factor U of U'U = a + diagonal, n by n; false when that is not positive definite.
 * The logarithm of the determinant goes to *log_det unless it is NULL. */
bool darc_cholesky(int n, int stride, const double *a, const double *diagonal,
                   double *factor, double *log_det);

/* Solves U'U x = v in place. */
void darc_cholesky_solve(int n, int stride, const double *factor, double *v);

#endif
