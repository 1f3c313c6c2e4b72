/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A verdict whose risk holds however often one looks at one setting.
 *
 * Of the risk of 2.5 % look k may spend its 1 / (k (k + 1)) part: half, a sixth, a
 * twelfth; all looks together spend it once. What a look spends is the chance that a lift
 * at a limit passes it and did not pass the look before: looks that share most of their
 * errors pass together, and count little. The chance that any look passes is at most the
 * sum of those (each look that is the first to pass has not passed the one before it).
 * Estimates that use all readings so far have errors E with Cov(E_j, E_k) = Var(E_k) for
 * j < k, which is all that the bivariate normal needs.
 */
#ifndef DARC_LOOKS_H
#define DARC_LOOKS_H

#include <stdbool.h>
#include <stddef.h>

#include <dialarc/conformity.h>
#include <dialarc/decision.h>

/* Which verdicts the looks so far have allowed. Begins with all 0. */
typedef struct darc_looks {
    size_t n;
    bool in, low, high;
    double sure; /* probability that the latest look asks of a verdict */
    double z;    /* the same as a normal quantile */
} darc_looks;

/* Counts a look: what all readings up to it say, and the variance of their estimate over
 * that of the look before it; above 1, when that is no longer believed, nothing counts as
 * shared. */
void darc_looks_count(const dialarc_conformity *where, double variance_ratio,
                      darc_looks *looks);

/* The verdict of all looks: what one of them was sure enough of stands as long as it is
 * likely enough for a single look. */
dialarc_verdict darc_looks_verdict(const dialarc_conformity *where,
                                   const darc_looks *looks);

#endif
