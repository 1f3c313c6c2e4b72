/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Errors of dial and wheel that are larger than stated, where readings are too few to
 * tell: what they would make of the lift, and how likely they are.
 */
#ifndef DARC_LARGER_ERRORS_H
#define DARC_LARGER_ERRORS_H

#include "estimate/memory.h"
#include "estimate/mixture.h"
#include "review/goodness.h"

#define DARC_ERROR_SCALES 3

/* Fits a given cam with errors several times those of the problem and fills
 * DARC_ERROR_SCALES rivals; none is likely, and nothing is fitted, where the goodness of
 * the fit by the problem's errors leaves no doubt of them. Their weights count from
 * `log_evidence`, that fit's. */
void darc_larger_errors(const darc_problem *problem, const darc_goodness *goodness,
                        double log_evidence, darc_memory *memory, darc_rival *rival);

/* By how much that makes the variance of readings larger on the average, where these
 * leave so many degrees of freedom and scatter by chance as stated: a mean square that is
 * chi-square over its freedom, by Wilson and Hilferty's approximation. */
double darc_larger_expected(double dof);

#endif
