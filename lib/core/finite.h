/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole arrays checked for numbers that are not finite. */
#ifndef DARC_FINITE_H
#define DARC_FINITE_H

#include <float.h>
#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#if defined(__FAST_MATH__) || (__FINITE_MATH_ONLY__ + 0)
#error "dialarc relies on NaN and infinity: compile it without -ffast-math"
#endif

/* Reading, writing and cutting to lobes rely on results that are rounded to binary64. */
#if FLT_EVAL_METHOD == 2 || FLT_EVAL_METHOD < 0
#error "dialarc needs arithmetic without excess precision: -msse2 -mfpmath=sse on x86"
#endif

/* Whether every one of n numbers is finite. */
bool darc_all_finite(size_t n, const double *x);

#endif
