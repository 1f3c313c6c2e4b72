/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Root of a rising function of one variable: Newton's method kept inside a bracket.
 *
 * Own code, because the solvers of GSL allocate and report a failed allocation to the
 * error handler of the host.
 */
#ifndef DARC_ROOT_H
#define DARC_ROOT_H

/* Value and slope of the function at x. */
typedef void (*darc_function)(double x, const void *context, double *value,
                              double *slope);

/*
 * Root between lo and hi of a function that is not above 0 at lo, nor below 0 at hi.
 * `start` must lie between them. Goes on until x no longer changes in its last place.
 */
double darc_root(darc_function function, const void *context, double lo, double hi,
                 double start);

#endif
