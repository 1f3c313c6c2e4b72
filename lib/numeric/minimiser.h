/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Least value of a function of one variable, by parabolas through the three lowest places
 * seen, and golden section where they do not help (R. P. Brent, Algorithms for
 * Minimization without Derivatives, 1973, chapter 5, from memory).
 *
 * Own code, because the minimisers of GSL allocate and report a failed allocation to the
 * error handler of the host.
 */
#ifndef DARC_MINIMISER_H
#define DARC_MINIMISER_H

typedef double (*darc_curve)(double x, const void *context);

/*
 * Where between lo and hi a curve that first falls, then rises is lowest. Ends when the
 * place is known to within `fine`, which must be above the spacing of doubles there; the
 * curve itself is flat at its lowest, and seldom shows more than half of their digits.
 */
double darc_minimum(darc_curve curve, const void *context, double lo, double hi,
                    double fine);

#endif
