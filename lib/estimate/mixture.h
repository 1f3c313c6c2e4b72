/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An estimate beside other explanations of the same readings. */
#ifndef DARC_MIXTURE_H
#define DARC_MIXTURE_H

#include "estimate/estimate.h"

/* Another explanation: what it gives for the lift at TDC, and the logarithm of its odds
 * against the estimate, -INFINITY when there is no such thing. */
typedef struct darc_rival {
    double lift_mm, var;
    double log_odds;
} darc_rival;

/* Probability of each of n rivals; returns what is left for the estimate. */
double darc_rivals_weigh(const darc_rival *rival, int n, double *probability);

/* Makes the lift of an estimate, and its variance, those of the mixture with its rivals.
 * What the variance gains is put down to the readings: more of them would tell. */
void darc_estimate_mix(darc_estimate *estimate, const darc_rival *rival,
                       const double *probability, int n);

#endif
