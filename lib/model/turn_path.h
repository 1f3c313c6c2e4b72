/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whole-turn sweeps: the path model with a timing and a lift of its own for every lobe,
 * and run-out once per pump turn.
 *
 * Parameters: those of the common cam (darc_model), then run-out by cosine and sine, then
 * the timing and the lift of the second and further lobes relative to the first.
 */
#ifndef DARC_TURN_PATH_H
#define DARC_TURN_PATH_H

#include <stdbool.h>

#include <dialarc/setup.h>

#include "model/path.h"
#include "model/pump_side.h"

#define DARC_LOBES_PARAM (DARC_MAX_PARAM + 2 + 2 * (DIALARC_LOBES_MAX - 1))

/* Turns of the lift of each lobe, pump degrees from the foot of the first. */
typedef struct darc_lobes_turn {
    double minimum_deg; /* before its rise */
    double maximum_deg;
} darc_lobes_turn;

typedef struct darc_lobes_model {
    const darc_model *cam;
    const double *common; /* parameters of the cam */
    const double *own;    /* the others: run-out, timings, lifts */
    int lobes;
    darc_lobes_turn turn[DIALARC_LOBES_MAX];
} darc_lobes_model;

/* Expected reading with its derivatives; those by timing and lift are of one lobe. */
typedef struct darc_lobes_row {
    double mean;  /* mm */
    double slope; /* by the recorded crank angle, mm per degree */
    double common[DARC_MAX_PARAM];
    double by_cos, by_sin, by_timing, by_lift;
    int lobe;
} darc_lobes_row;

/* Reads a record through the model, reading by reading. */
typedef struct darc_lobes_walk {
    const darc_lobes_model *model;
    const darc_record *record;
    double angle_sd_deg;
    int pass;
    bool turns;            /* the pass ends where the next one begins ... */
    int next;              /* ... at an angle that is this parameter, or -1 */
    bool fresh;            /* the pass before tells nothing about this one */
    bool begun_known;      /* the pump's place at the start of the pass is known */
    darc_pump_side begun;  /* that place ... */
    darc_pump_side turned; /* ... and where the pass before it ended */
    long region;           /* monotone stretch of the lift */
    darc_lobes_row held;   /* the dial where that stretch began */
} darc_lobes_walk;

/* Index among the own parameters of lobe 1..lobes-1. */
static inline int darc_lobes_timing(int lobe)
{
    return 2 + lobe - 1;
}

static inline int darc_lobes_lift(int lobes, int lobe)
{
    return 2 + lobes - 1 + lobe - 1;
}

/* Finds the turns of the lift; needed after every change of a parameter. */
void darc_lobes_find_turns(darc_lobes_model *model);

void darc_lobes_begin(const darc_lobes_model *model, const darc_record *record,
                      double angle_sd_deg, darc_lobes_walk *walk);

/* Rows for i = 0, 1, ... in this order. */
void darc_lobes_next(darc_lobes_walk *walk, size_t i, darc_lobes_row *row);

#endif
