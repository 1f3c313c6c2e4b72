/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The variance of a quantity, part by part. */
#ifndef DARC_PARTS_H
#define DARC_PARTS_H

#include "estimate/fit.h"

/* What the errors of dial and wheel and the tolerance of a stated cam's angles add to the
 * variance of a quantity that the rest of the fit leaves. */
typedef struct darc_parts {
    double dial, wheel, segments, rest;
} darc_parts;

/* Splits the variance of a quantity with this gradient, under the prior now set. Parts of
 * which the fit has no parameters are 0. The factor is that of the prior afterwards. */
darc_parts darc_parts_of(const darc_fit *fit, const double *gradient);

/* Makes parameters from..to-1 count as known. */
void darc_parts_hold(darc_fit *fit, int from, int to);

#endif
