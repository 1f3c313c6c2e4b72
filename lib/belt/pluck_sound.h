/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A recording made small and clean, and the stretch of it that rings.
 */
#ifndef DARC_PLUCK_SOUND_H
#define DARC_PLUCK_SOUND_H

#include <complex.h>
#include <stddef.h>

#include <dialarc/status.h>

typedef struct darc_sound {
    size_t n;
    double rate_hz;
    double *sample;
} darc_sound;

/* Sum of x[i] exp(-i 2 pi hz i / rate): one value of the spectrum. */
double complex darc_line(const darc_sound *sound, double hz);

/*
 * Copy of a recording without what lies well below low_hz, resampled to at least 5
 * high_hz; the caller frees its samples.
 */
dialarc_status darc_sound_condition(size_t n, const double *sample, double rate_hz,
                                    double low_hz, double high_hz, darc_sound *sound);

/* The stretch from the loudest pluck to the next one. */
darc_sound darc_sound_pluck(const darc_sound *sound);

#endif
