/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How far the flanks of a learned cam may be bent away from a law: levels of the
 * amplitude of its free terms, one for each flank, weighed by their evidence.
 */
#ifndef DARC_LEVELS_H
#define DARC_LEVELS_H

#include "estimate/fit.h"

/* A pair of levels: of the rise, of the fall, 0 ... DARC_LEVELS - 1. */
typedef struct darc_levels {
    int rise, fall;
} darc_levels;

/* The freest pair. */
darc_levels darc_levels_freest(void);

/* Puts a pair into the prior of the free terms, for a cam of this total lift. */
void darc_levels_set(darc_fit *fit, double total_mm, darc_levels levels);

/* Likeliest pair of levels about the present parameters, for readings of which the fit
 * holds the normal equations and `log_likelihood` is told; looks one flank at a time, at
 * its neighbours only or, with `all`, at every level. Leaves the pair in the prior and in
 * *levels, the step to its solution in `step`. Returns its log evidence; -INFINITY, and
 * no step, when the equations can be singular for all of them. */
double darc_levels_choose(darc_fit *fit, double log_likelihood, double total_mm, bool all,
                          darc_levels *levels, double *step);

/* Averages a hypothesis over all pairs of levels about its solution; false when there is
 * none. */
bool darc_levels_average(darc_fit *fit, double log_likelihood, double total_mm,
                         darc_hypothesis *hypothesis);

#endif
