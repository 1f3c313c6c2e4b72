/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The periodic cubic smoothing spline: of all curves the one that makes
 *   sum (y - f)^2 + lambda times the integral of f''^2
 * least (Reinsch, 1967, from memory). It is a spline with a knot at each point, and
 * linear in y, so the errors of what it says follow.
 *
 * Our own: GSL's B-splines do not close, and report what goes wrong to the host's
 * handler.
 */
#ifndef DARC_SMOOTHING_SPLINE_H
#define DARC_SMOOTHING_SPLINE_H

#include <stdbool.h>
#include <stddef.h>

#define DARC_SMOOTHING_MIN 8 /* fewest points */

typedef struct darc_smoothing {
    size_t n;
    const double *x; /* n places, from 0; the caller's, as long as this is used */
    double period;
    double lambda;
    double parameters; /* trace of the smoother: how many parameters it fits in effect */
    double rss;        /* residual sum of squares */
    double *stiffness; /* rows of a ring each (numeric/ring.h): second derivatives' Gram
                          ... */
    double *flexible;  /* ... its factor ... */
    double *factor;    /* ... and that of it with lambda */
    double *work;      /* while fitting */
} darc_smoothing;

/* Something linear in the curve: weights of two neighbouring values, and of the second
 * derivatives there. */
typedef struct darc_asked {
    size_t i; /* the first of the two; after the last comes the first */
    double value[2], second[2];
} darc_asked;

/* Numbers of memory for n points, and for darc_smoothing_variance(). */
size_t darc_smoothing_room(size_t n);
size_t darc_smoothing_work(size_t n);

/*
 * Smooths y, whose errors are independent with the given variance: y becomes the values
 * of the curve, `second` its second derivatives. Lambda makes the expected error of the
 * curve least, by Mallows' criterion: generalised cross-validation for errors that are
 * known. False when the system is not definite.
 */
bool darc_smoothing_fit(size_t n, const double *x, double *y, double period,
                        double variance, double *room, double *second, darc_smoothing *s);

/* Variance of what is asked, for errors of variance 1: from the errors of the points and
 * from what was smoothed away, as for a curve that bends at random (Wahba, 1983, from
 * memory). */
double darc_smoothing_variance(const darc_smoothing *s, const darc_asked *asked,
                               double *work);

#endif
