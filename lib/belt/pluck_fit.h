/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Damped partials and steady hum fitted together, by least squares.
 */
#ifndef DARC_PLUCK_FIT_H
#define DARC_PLUCK_FIT_H

#include <complex.h>
#include <stdbool.h>
#include <stddef.h>

#include "belt/pluck_hum.h"
#include "belt/pluck_sound.h"

#define DARC_PARTIALS 8 /* most partials that are fitted */

typedef struct darc_partial {
    int order; /* 1: the fundamental */
    double hz, hz_sd;
    double decay;             /* 1/s, > 0 dies away */
    double complex amplitude; /* as in darc_hum */
} darc_partial;

typedef struct darc_string {
    int partials;
    darc_partial partial[DARC_PARTIALS]; /* in rising order */
    darc_hum hum;
    double decay_sd;             /* of partial[0] */
    double lowest_energy, noise; /* of partial[0]; power per sample around it */
    double string_energy, rest_energy;
    size_t fitted; /* samples that were used */
} darc_string;

/* Numbers that the fit of a sound of n samples needs as scratch. */
size_t darc_fit_scratch(size_t n);

/* Refines partials (orders and frequencies given) and hum; false when it cannot. */
bool darc_string_fit(const darc_sound *pluck, double *scratch, darc_string *string);

/* Takes a tone out of a sound. */
void darc_partial_subtract(const darc_partial *partial, const darc_sound *sound);

#endif
