/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The door for numbers: what is not finite, or so large or small that no engine has it.
 */
#ifndef DARC_FINITE_H
#define DARC_FINITE_H

#include <float.h>
#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include <dialarc/status.h>

#if defined(__FAST_MATH__) || (__FINITE_MATH_ONLY__ + 0)
#error "dialarc relies on NaN and infinity: compile it without -ffast-math"
#endif

/* Reading, writing and cutting to lobes rely on results that are rounded to binary64. */
#if FLT_EVAL_METHOD == 2 || FLT_EVAL_METHOD < 0
#error "dialarc needs arithmetic without excess precision: -msse2 -mfpmath=sse on x86"
#endif

/* Whether every one of n numbers is finite. */
bool darc_all_finite(size_t n, const double *x);

/* Lengths, angles, readings and their like end here, and what is divided by begins here:
 * between them no sum of this library leaves the doubles. */
#define DARC_LARGEST  1e9 /* as DIALARC_SWEEP_LARGEST */
#define DARC_SMALLEST 1e-9

/* Whether every one of n numbers is finite and within +-DARC_LARGEST. */
bool darc_all_within(size_t n, const double *x);

/* From DARC_SMALLEST to DARC_LARGEST; or 0 as well. */
bool darc_positive(double x);
bool darc_not_negative(double x);

/* Stores a result; DIALARC_ERR_RANGE, and nothing stored, when it is not finite. */
dialarc_status darc_give(double value, double *result);

#endif
