/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tones of a pluck, the clearest first.
 */
#ifndef DARC_PLUCK_PEAKS_H
#define DARC_PLUCK_PEAKS_H

#include "belt/pluck_fit.h"

#define DARC_QUALITY_MIN 4.0 /* pi f / decay; below it a sound is a thump */
#define DARC_PEAKS       16  /* most tones that are told apart */

typedef struct darc_peak {
    darc_partial tone; /* order not known */
    double width_hz;   /* within which another is taken for the same */
    double over_floor; /* energy over the power per sample of the noise around */
} darc_peak;

/* Tones of a pluck without hum that die away, in the order found; their number. They
 * are taken out of the sound. */
dialarc_status darc_peaks_find(const darc_sound *clean, double low_hz, double high_hz,
                               darc_peak *tone, int *n);

#endif
