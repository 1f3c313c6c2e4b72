/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A dial that has lost the plunger stands still, at a reading above the true minimum, and
 * looks just like a base dwell; one that has reached its stop looks like a top dwell.
 * What tells them apart is the way in and out: a cam leaves its dwell with zero slope. So
 * the readings in which the dial stood still are left out of a copy of the record, the
 * others are asked where the plunger went meanwhile, and the answer is weighed against
 * the one in which the dial never stood off.
 */
#ifndef DARC_CONTACT_H
#define DARC_CONTACT_H

#include <stdbool.h>
#include <stddef.h>

#include "estimate/memory.h"
#include "review/still.h"

/* What the other readings say of those in which the dial stood still at one end. */
typedef struct darc_contact {
    bool found;       /* there are such readings, and enough others that are fitted */
    bool good;        /* the others are fitted well */
    size_t row;       /* the first of them */
    double beyond_mm; /* how far beyond them the plunger went ... */
    double sd_mm;     /* ... and how surely */
    darc_estimate estimate; /* by the others; its evidence is that of all readings */
    double following; /* log evidence of all readings by a cam learned from the others, if
                         the dial followed: more than that of a fit of all gone astray */
} darc_contact;

/* Looks for such readings beside memory->fit, which is of all readings, and fits the
 * record without them, by the given cam or by one learned from it; unless it is clear
 * from memory->fit that the plunger went no further than they say. Uses the copy, both
 * fits beside the first, and the sample. */
darc_contact darc_contact_look(const darc_problem *problem, darc_end end, bool learn,
                               darc_memory *memory);

#endif
