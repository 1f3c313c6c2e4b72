/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The problem: all that an estimate is made from, as numbers. It is made once at the door
 * from setup, sweep and, where there is one, a table of the cam; below nobody asks
 * whether a field was stated, and nobody alters it. To ask "what if the errors were
 * larger" or "without these readings", copy the struct and change the copy.
 */
#ifndef DARC_PROBLEM_H
#define DARC_PROBLEM_H

#include <dialarc/camtable.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/sweep.h>

#include "record/instruments.h"
#include "record/known.h"
#include "record/record.h"

/* The cam, and its shape when that is given: by a law, or by a table in its place. */
typedef struct darc_given_cam {
    bool given;                      /* false: it is learned from the readings */
    double lift_mean_mm, lift_sd_mm; /* total lift, before any reading */
    dialarc_law law, fall_law;
    double blend;
    double rise_deg, top_deg, base_deg; /* pump degrees */
    const dialarc_camtable *table;      /* NULL: by the law */
    double table_low_mm, table_high_mm;
    double rise_sd_deg; /* of each of the segments; 0: they are exact */
    double sd_mm;       /* of the form: of the given lift near TDC */
} darc_given_cam;

typedef struct darc_problem {
    darc_known known;
    darc_noise noise; /* the graduation as the readings show it where none is stated */
    darc_instruments instruments;
    darc_given_cam cam;
    darc_record record;
    double zero_mm, zero_sd_mm; /* of the minimum, before any reading; sd 0: not known */
    double counted_from_deg; /* the wheel's angle from which those of the record count */
} darc_problem;

/* Checks setup and sweep and makes the problem. Its angles are counted from that at which
 * the window is asked for, which is TDC as a rule: below, "TDC" is that angle; `room`
 * holds the sweep's readings and has to live as long. `table` with the standard
 * uncertainty of its lift takes the place of the setup's cam unless it is NULL.
 * DIALARC_OK, a code of dialarc_setup_check() or of darc_sweep_check(),
 * DIALARC_ERR_SEGMENTS when the table's period is not the lobe pitch, DIALARC_ERR_LIFT
 * when it has no lift, DIALARC_ERR_READING when the dial's calibration does not cover the
 * readings, or DIALARC_ERR_NO_MEMORY. */
dialarc_status darc_problem_make(const dialarc_setup *setup,
                                 const dialarc_camtable *table, double table_sd_mm,
                                 const dialarc_sweep *sweep, const darc_readings *room,
                                 darc_problem *problem);

/* The same for a sweep over a whole turn of the pump, with the cam of the setup: the
 * first TDC that the wheel passes is meant, and angles are counted from it. */
dialarc_status darc_problem_make_turn(const dialarc_setup *setup,
                                      const dialarc_sweep *sweep,
                                      const darc_readings *room, darc_problem *problem);

#endif
