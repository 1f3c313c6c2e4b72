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

/* to[l] += f row[l], l = 0 ... n - 1. Four at a time: compilers then use two wide
 * operations. */
static inline void darc_add_row(int n, double f, const double *restrict row,
                                double *restrict to)
{
    int l = 0;
    for (; l + 4 <= n; l += 4) {
        to[l] += f * row[l];
        to[l + 1] += f * row[l + 1];
        to[l + 2] += f * row[l + 2];
        to[l + 3] += f * row[l + 3];
    }
    for (; l < n; l++)
        to[l] += f * row[l];
}

/* The factor U of U'U = a + diagonal, n by n; false when that is not positive definite.
 * The logarithm of the determinant goes to *log_det unless it is NULL. */
bool darc_cholesky(int n, int stride, const double *a, const double *diagonal,
                   double *factor, double *log_det);

/* Solves U'y = v, and U x = y, in place. The square of y is v'(U'U)^-1 v. */
void darc_cholesky_forward(int n, int stride, const double *factor, double *v);
void darc_cholesky_back(int n, int stride, const double *factor, double *v);

/* Solves U'U x = v in place: both of these. */
void darc_cholesky_solve(int n, int stride, const double *factor, double *v);

#endif
