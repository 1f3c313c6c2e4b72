/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Seeded generator of recordings of a plucked span: invented data, for tests and the
 * example. It shares no code with the library.
 */
#ifndef DARC_PLUCK_SIM_H
#define DARC_PLUCK_SIM_H

#include <stddef.h>
#include <stdint.h>

typedef enum pluck_noise { NOISE_WHITE, NOISE_PINK, NOISE_BROWN } pluck_noise;

typedef struct pluck_sim {
    uint64_t seed;
    double rate_hz;
    double seconds; /* of recording */
    double onset_s; /* where the pluck begins */
    double hz;      /* lowest natural frequency; 0: no pluck */
    double decay_s; /* of the fundamental; higher partials die sooner */
    double place;   /* where it is plucked, 0..1 of the span */
    double
        stiffness; /* partial k lies at k f sqrt((1 + stiffness k^2) / (1 + stiffness)) */
    double snr_db; /* string over noise, mean power from the onset to the end */
    pluck_noise noise;
    double hum; /* rms of the hum over that of the string; 0: none */
    double mains_hz;
    double thump; /* peak of a short burst at the onset over the string's; 0: none */
    double
        drop_first; /* factor on the fundamental's amplitude (a deaf microphone); 0: 1 */
    /* Off the law, 0: none. */
    double detune;     /* sd of each partial but the first about its place, relative */
    unsigned missing;  /* bit k - 1 set: partial k is not heard */
    double again_s;    /* seconds from the onset to a second pluck of the same span ... */
    double again_loud; /* ... and its amplitude over that of the first */
    double split;      /* a second wave beside each partial, as of a second direction of
                          swing: its distance, relative, at half the amplitude */
    double damping;    /* added loss of partial k, by damping (k^2 - 1), relative */
    double slow_decay; /* share of each amplitude that dies away three times as slowly */
    double glide;      /* rise of all frequencies at the onset, relative, as of a span
                          pulled far aside; it goes with the square of the amplitude */
    double other_hz;   /* lowest frequency of another span that rings along ... */
    double other_loud; /* ... and its amplitude over that of this one */
} pluck_sim;

/* Fills n samples; n is rate_hz * seconds. Without a pluck, noise has rms 1. */
void pluck_simulate(const pluck_sim *sim, size_t n, double *sample);

/* A second of a pluck at 120 Hz in mains hum, and its samples. */
#define PLUCK_CLEAR_N 4000
extern const pluck_sim pluck_clear;

/* Uniform number in (0, 1) from a generator of its own; for drawing scenarios. */
double pluck_uniform(uint64_t *state);

#endif
