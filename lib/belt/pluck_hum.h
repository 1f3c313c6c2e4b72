/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Mains hum: steady lines at the multiples of one frequency near 50 or 60 Hz.
 */
#ifndef DARC_PLUCK_HUM_H
#define DARC_PLUCK_HUM_H

#include <complex.h>
#include <stddef.h>

#include "belt/pluck_sound.h"

#define DARC_HUM_LINES 12 /* most multiples of the mains frequency */

typedef struct darc_hum {
    double mains_hz; /* 0: none */
    int lines;
    int order[DARC_HUM_LINES];
    double complex amplitude[DARC_HUM_LINES]; /* times exp(i w t); its real part */
} darc_hum;

/* Hum in a sound from a sample on. The scratch is as long as the sound. */
void darc_hum_find(const darc_sound *sound, size_t from, double *scratch, darc_hum *hum);

/* Takes hum out of a sound that begins where the one it was found in began. */
void darc_hum_subtract(const darc_hum *hum, darc_sound *sound);

#endif
