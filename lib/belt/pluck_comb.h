/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The fundamental that a set of tones has in common.
 */
#ifndef DARC_PLUCK_COMB_H
#define DARC_PLUCK_COMB_H

#include "belt/pluck_peaks.h"

/* Partials of the likeliest fundamental within the band; 0 when there is none. */
int darc_peaks_comb(int n, const darc_peak *tone, double low_hz, double high_hz,
                    darc_partial *partial);

#endif
