/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which points make a cam table, and how many do. */
#ifndef DARC_CAMTABLE_H
#define DARC_CAMTABLE_H

#include <stdbool.h>

#include <dialarc/camtable.h>
#include <stddef.h>

#include <dialarc/camtable.h>

/* Least distance of two points, as a part of the period. */
#define DARC_CAMTABLE_STEP 1e-9

/* Whether a point may follow the one before it in a table that begins at `first_deg`. */
static inline bool darc_camtable_follows(double first_deg, double before_deg,
                                         double pump_deg, double period_deg)
{
    double least = DARC_CAMTABLE_STEP * period_deg;
    return pump_deg - before_deg >= least && period_deg - (pump_deg - first_deg) >= least;
}

/* How many points a table was made of. */
size_t darc_camtable_points(const dialarc_camtable *table);

#endif
