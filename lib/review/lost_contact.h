/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A dial that has lost the plunger stands still, at a reading above the true minimum, and
 * looks just like a base dwell: a learned cam fits it perfectly. What tells them apart is
 * the way in and out. A cam leaves its dwell with zero slope. So the readings in which
 * the dial stood still are left out of a copy of the record, and the others are asked for
 * the minimum.
 */
#ifndef DARC_LOST_CONTACT_H
#define DARC_LOST_CONTACT_H

#include <stdbool.h>
#include <stddef.h>

#include <dialarc/timing.h>

#include "estimate/memory.h"

/* What the other readings say of those in which the dial stood still at its lowest. */
typedef struct darc_contact {
    bool found;      /* there are such readings, and enough others */
    bool good;       /* the others are fitted well */
    size_t row;      /* the first of them */
    double below_mm; /* how far below them the plunger went ... */
    double sd_mm;    /* ... and how surely */
} darc_contact;

/* Looks for such readings and fits the record without them, by the given cam or by one
 * learned from it. A cam is learned only when they seem to leave off abruptly. Uses the
 * copy, both fits beside the first, and the sample. */
darc_contact darc_contact_look(const darc_problem *problem, bool learn,
                               darc_memory *memory);

/* Adds the finding when contact was lost; returns whether it was. */
bool darc_check_contact(const darc_contact *contact, dialarc_timing *timing);

#endif
