/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The readings at one end of a record in which the dial stood still. */
#ifndef DARC_STILL_H
#define DARC_STILL_H

#include <stddef.h>

#include "record/problem.h"

/* At which end of its readings a dial is thought not to have followed the plunger. */
typedef enum darc_end {
    DARC_END_LOW,  /* it had not enough preload */
    DARC_END_HIGH, /* it was at its stop */
    DARC_ENDS
} darc_end;

#define DARC_MOST_STRETCHES 16

typedef struct darc_stretch {
    size_t begin, end;
} darc_stretch;

/* Readings count in the sense of the end: the lower, the further out. */
typedef struct darc_still {
    double sense; /* 1 at the low end, -1 at the high one */
    double level_mm, tolerance_mm, span_mm;
    int count;
    darc_stretch part[DARC_MOST_STRETCHES];
    int muted_count;
    size_t muted[DARC_MOST_STRETCHES];
} darc_still;

/* Stretches at the outermost level, each within a pass; none when all of them are short.
 * `sample_mm` has room for all readings. */
darc_still darc_still_find(const darc_record *record, const darc_noise *noise,
                           darc_end end, double *sample_mm);

typedef enum darc_role { DARC_KEPT, DARC_LEFT_OUT, DARC_MUTED } darc_role;

/* What becomes of reading i, asked in turn from the first on with *part, the first
 * stretch that does not end before it, 0 to begin with. */
darc_role darc_still_role(const darc_still *x, size_t i, int *part);

/* A copy of a record without the still readings; those that must stay are made to count
 * as misread. */
void darc_still_copy_others(const darc_record *from, const darc_still *x,
                            const darc_readings *room, darc_record *to);

#endif
