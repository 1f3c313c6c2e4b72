/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which points make a cam table. Private. */
#ifndef DARC_CAMTABLE_H
#define DARC_CAMTABLE_H

#include <stdbool.h>

/* Least distance of two points, as a part of the period. */
#define DARC_CAMTABLE_STEP 1e-9

/* Whether a point may follow the one before it in a table that begins at `first_deg`. */
static inline bool darc_camtable_follows(double first_deg, double before_deg,
                                         double pump_deg, double period_deg)
{
    double least = DARC_CAMTABLE_STEP * period_deg;
    return pump_deg - before_deg >= least && period_deg - (pump_deg - first_deg) >= least;
}

#endif
