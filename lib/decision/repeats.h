/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Readings that repeat one setting: what they say of it, and which of them is misread.
 *
 * One reading that is misread by a graduation mark or a turn of the needle must not move
 * the others: of three or more, those too far from the median are set aside, and the rest
 * averaged. What still scatters more than the instruments explain widens this setting,
 * and no other.
 */
#ifndef DARC_REPEATS_H
#define DARC_REPEATS_H

#include <stdbool.h>
#include <stddef.h>

#define DARC_REPEATS_FALSE_ALARM 0.002 /* chance of a finding when nothing is wrong */

/* Readings of one setting, in order, fetched one at a time. */
typedef struct darc_readings {
    double (*at)(const void *context, size_t i); /* NaN: not to be used */
    const void *context;
    size_t first, n;
} darc_readings;

typedef struct darc_repeats {
    size_t used;       /* readings that the mean rests on */
    size_t misread;    /* set aside, ... */
    size_t misread_at; /* ... the first of them */
    double mean_mm;    /* NaN when there is none */
    double variance;   /* of the mean, mm^2 */
    bool scattered;    /* more than the instruments explain, ... */
    size_t worst;      /* ... most at this one */
    double squares;    /* of the used ones about their mean, mm^2 */
} darc_repeats;

/* `variance` is that of one reading. */
darc_repeats darc_repeats_of(const darc_readings *readings, double variance);

/* Whether a sum of squares about means, of so many degrees of freedom, is larger than
 * chance makes it. */
bool darc_scatters(double squares, double dof, double variance);

#endif
