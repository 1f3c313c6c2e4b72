/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The stiff string that a set of tones belongs to: its fundamental f, its stiffness s and
 * the order of each tone, by f_k = k f sqrt((1 + s k^2) / (1 + s)).
 */
#ifndef DARC_PLUCK_COMB_H
#define DARC_PLUCK_COMB_H

#include "belt/pluck_law.h"
#include "belt/pluck_peaks.h"

#define DARC_STIFFNESS_MAX 0.25 /* largest s that is looked for */

/*
 * Partials of the likeliest fundamental within the band; DIALARC_ERR_NO_TONE when there
 * is none, DIALARC_ERR_AMBIGUOUS when another explains the tones nearly as well. What is
 * known of the bending may be NULL.
 */
dialarc_status darc_peaks_comb(int n, const darc_peak *tone, double low_hz,
                               double high_hz, const darc_bending *known,
                               darc_string *string);

#endif
