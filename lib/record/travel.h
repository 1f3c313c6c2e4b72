/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From what the dial shows to what the plunger did, and back: its sense, and what a
 * calibration tells of it. Both ways 0 stays 0.
 */
#ifndef DARC_TRAVEL_H
#define DARC_TRAVEL_H

#include <stdbool.h>

#include <dialarc/dialcal.h>
#include <dialarc/sweep.h>

typedef struct darc_dial_use {
    double sense; /* 1, or -1 where its reading falls as lift rises */
    const dialarc_dialcal *calibration; /* NULL: none */
    double preload_mm;                  /* reading of the calibration at its 0 */
} darc_dial_use;

/* Travel of the plunger from where the dial shows 0, mm, for a reading. */
double darc_travel(const darc_dial_use *dial, double shown_mm);

/* What the dial shows, mm, for a travel: the inverse. */
double darc_shown(const darc_dial_use *dial, double travel_mm);

/* What the dial, set to zero where it showed `minimum_mm`, shows for a way of the plunger
 * from there, in the sense of rising lift. */
double darc_shown_way(const darc_dial_use *dial, double minimum_mm, double way_mm);

/* Whether the calibration, if there is one, covers the readings but for a few, which may
 * be misread. */
bool darc_travel_covers(const darc_dial_use *dial, const dialarc_sweep *sweep);

#endif
