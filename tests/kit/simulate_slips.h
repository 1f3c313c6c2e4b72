/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A sweep as it ends up on paper or in a spreadsheet, by a careful hand or a careless
 * one. Shares no code with the library.
 */
#ifndef SIMULATE_SLIPS_H
#define SIMULATE_SLIPS_H

#include "kit/simulate.h"

typedef enum sim_slip {
    SIM_AS_TAKEN,
    SIM_BOTTOM_TO_TOP, /* rows typed from the last to the first */
    SIM_EXCHANGED,     /* directions given, each the other one */
    SIM_BY_ANGLE,      /* directions given, rows sorted by angle: no slip, but usual */
    SIM_INCHES,        /* of a dial that is read to half a thousandth */
    SIM_CENTIMETRES,
    SIM_PASTED_TWICE, /* all rows once more below themselves */
    SIM_BACK_COPIED   /* the way back copied from the way out */
} sim_slip;

typedef struct sim_sheet {
    size_t n;
    int has_directions;
    double crank_deg[SIM_MAX], dial_mm[SIM_MAX];
    int direction[SIM_MAX]; /* 1 in running direction, else -1 */
} sim_sheet;

/* Writes a sweep down whose first `forward` readings were taken in running direction. */
void sim_write(const sim_sweep *sweep, size_t forward, sim_slip slip, sim_sheet *sheet);

#endif
