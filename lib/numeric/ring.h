/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Symmetric positive definite systems whose unknowns stand in a ring, each tied to at
 * most the two next to it on either side, as in splines that close: factor, solution and
 * trace in a time that grows with n alone.
 *
 * The ring is folded: unknowns 0, n-1, 1, n-2, 2 ... stand one behind the other. So
 * nowhere do tied ones stand more than DARC_RING_BAND places apart, and an ordinary band
 * matrix takes the place of one with corners.
 */
#ifndef DARC_RING_H
#define DARC_RING_H

#include <stdbool.h>
#include <stddef.h>

/* Places between tied unknowns, at most; numbers a row, the diagonal and those after it;
 * fewest unknowns. */
#define DARC_RING_BAND 4
#define DARC_RING_ROW  (DARC_RING_BAND + 1)
#define DARC_RING_MIN  5

/* Place of an unknown in folded order; there also the numbers of a right-hand side go. */
size_t darc_ring_place(size_t n, size_t unknown);

/* Adds to the element of two unknowns, one of the at most five that may differ from 0;
 * once for both orders. `band` has n rows. */
void darc_ring_add(size_t n, double *band, size_t i, size_t k, double value);

/* Replaces the band by its Cholesky factor; false when it is not positive definite. */
bool darc_ring_factor(size_t n, double *band);

/* Solves with a factor, in place, in folded order. */
void darc_ring_solve(size_t n, const double *factor, double *v);

/* Trace of A^-1 B, A by its factor, B by its band. */
double darc_ring_trace(size_t n, const double *factor, const double *b);

#endif
