/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The law of a stiff string, f_k^2 = a k^2 + b k^4, through the partials that were
 * fitted: a is the share of tension, b that of bending.
 */
#ifndef DARC_PLUCK_LAW_H
#define DARC_PLUCK_LAW_H

#include <stdbool.h>

#include "belt/pluck_fit.h"

/* What is known of b beforehand, in Hz^2. */
typedef struct darc_bending {
    double hz2, hz2_sd;
} darc_bending;

typedef struct darc_law {
    double hz, hz_sd;               /* of the fundamental */
    double stiffness, stiffness_sd; /* b / a */
} darc_law;

/* False when the partials and what is known, or NULL, do not determine both. */
bool darc_law_fit(const darc_string *string, const darc_bending *known, darc_law *law);

#endif
