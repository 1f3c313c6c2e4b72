/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Kinds of simulated plucks, drawn with a seed, and how many of a kind are read right,
 * refused, or read wrong: off by more than the stated U and 0.2 % of the note.
 */
#ifndef PLUCK_TRIALS_H
#define PLUCK_TRIALS_H

#include <stddef.h>

#include "kit/pluck_sim.h"

#define PLUCK_TRIAL_SECONDS 1.5
#define PLUCK_TRIAL_RATE_HZ 8000.0
#define PLUCK_TRIAL_SAMPLES 12000

typedef struct pluck_kind {
    const char *name;
    void (*change)(pluck_sim *sim, uint64_t *state); /* of a drawn recording */
} pluck_kind;

/* Within the law of a stiff string. */
extern const pluck_kind pluck_kinds[];
extern const size_t pluck_kinds_n;

/* Outside it. Drift and tones left over were looked at while the library was written:
 * gliding, split, plucked twice, another span and fundamental missing are no fresh kinds.
 */
extern const pluck_kind pluck_strange_kinds[];
extern const size_t pluck_strange_kinds_n;

typedef struct pluck_count {
    int right, refused, wrong; /* of those that were made */
    int another;               /* of the wrong: by over 5 %, another note */
    int covered;               /* of those that got a number: truth within U */
    double farthest;           /* largest error, relative */
} pluck_count;

/* A span of 35 to 350 Hz with a quality of 15 to 60 and a stiffness of 0 to 0.2, plucked
 * somewhere, at 0 to 30 dB; in white or pink noise, with and without hum. */
pluck_sim pluck_draw(uint64_t *state);

/* Makes and hears n recordings of a kind. */
pluck_count pluck_try(const pluck_kind *kind, uint64_t seed, int n);

#endif
