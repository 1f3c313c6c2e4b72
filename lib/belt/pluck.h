/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Steps from a recording to the note of a string. Private.
 *
 *   condition   band-limited, resampled copy; the stretch from the pluck on
 *   hum         steady lines at multiples of the mains frequency
 *   peaks       spectrum, noise floor, tones that die away
 *   comb        their common fundamental
 *   fit         damped partials and hum together, by least squares
 */
#ifndef DARC_PLUCK_H
#define DARC_PLUCK_H

#include <complex.h>
#include <stddef.h>

#include <dialarc/status.h>

#define DARC_HUM_LINES   12  /* most multiples of the mains frequency */
#define DARC_QUALITY_MIN 4.0 /* pi f / decay; below it a sound is a thump */
#define DARC_PEAKS       16  /* most tones that are told apart */
#define DARC_PARTIALS    8   /* most partials that are fitted */

typedef struct darc_sound {
    size_t n;
    double rate_hz;
    double *sample;
} darc_sound;

typedef struct darc_hum {
    double mains_hz; /* 0: none */
    int lines;
    int order[DARC_HUM_LINES];
    double complex amplitude[DARC_HUM_LINES]; /* times exp(i w t); its real part */
} darc_hum;

typedef struct darc_partial {
    int order; /* 1: the fundamental */
    double hz;
    double decay;             /* 1/s, > 0 dies away */
    double complex amplitude; /* as in darc_hum */
} darc_partial;

typedef struct darc_peak {
    darc_partial tone; /* order not known */
    double hz_sd;
    double width_hz;   /* within which another is taken for the same */
    double over_floor; /* energy over the power per sample of the noise around */
} darc_peak;

typedef struct darc_string {
    int partials;
    darc_partial partial[DARC_PARTIALS]; /* in rising order */
    darc_hum hum;
    double hz_sd, decay_sd;      /* of partial[0] */
    double lowest_energy, noise; /* of partial[0]; power per sample around it */
    double string_energy, rest_energy;
    size_t fitted; /* samples that were used */
} darc_string;

/* Sum of x[i] exp(-i 2 pi hz i / rate): one value of the spectrum. */
double complex darc_line(const darc_sound *sound, double hz);

/*
 * Copy of a recording without what lies well below low_hz, resampled to at least 5
 * high_hz; the caller frees its samples.
 */
dialarc_status darc_sound_condition(size_t n, const double *sample, double rate_hz,
                                    double low_hz, double high_hz, darc_sound *sound);

/* First sample and length of the stretch from the loudest pluck to the next one. */
darc_sound darc_sound_pluck(const darc_sound *sound);

/* Hum in a sound from a sample on. The scratch is as long as the sound. */
void darc_hum_find(const darc_sound *sound, size_t from, double *scratch, darc_hum *hum);

/* Takes hum out of a sound that begins where the one it was found in began. */
void darc_hum_subtract(const darc_hum *hum, darc_sound *sound);

/* Tones of a pluck without hum that die away, in the order found; their number. They
 * are taken out of the sound. */
dialarc_status darc_peaks_find(const darc_sound *clean, double low_hz, double high_hz,
                               darc_peak *tone, int *n);

/* Partials of the likeliest fundamental within the band; 0 when there is none. */
int darc_peaks_comb(int n, const darc_peak *tone, double low_hz, double high_hz,
                    darc_partial *partial);

/* Takes a tone out of a sound. */
void darc_partial_subtract(const darc_partial *partial, const darc_sound *sound);

/* Refines partials (orders and frequencies given) and hum; 0 when it cannot. The scratch
 * is as long as the pluck. */
int darc_string_fit(const darc_sound *pluck, double *scratch, darc_string *string);

/* How many of the `most` samples before the pluck the fitted string and hum explain as
 * well as those in it. */
size_t darc_string_lead(const darc_sound *pluck, const darc_string *string, size_t most);

#endif
