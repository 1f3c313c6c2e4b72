/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Memory for estimates, reused from sweep to sweep: it holds no result and no state.
 * Whatever a function leaves here is for the function that called it.
 */
#ifndef DARC_MEMORY_H
#define DARC_MEMORY_H

#include <stddef.h>

#include <dialarc/status.h>

#include "estimate/fit.h"
#include "record/problem.h"

typedef struct darc_memory {
    size_t capacity;        /* readings */
    darc_readings readings; /* of the record */
    darc_readings copy;     /* of the record without some of them */
    darc_fit fit;           /* the one that is reported */
    darc_fit other;         /* one that is compared with it */
    darc_fit trial;         /* the spare one of either */
    double *pump_crank_deg; /* where the pump stood at each reading */
    double *sample_mm;      /* readings gathered for a median and the like */
} darc_memory;

/* Makes room for n readings: DIALARC_OK or DIALARC_ERR_NO_MEMORY. */
dialarc_status darc_memory_reserve(darc_memory *memory, size_t n);

void darc_memory_release(darc_memory *memory);

/* darc_problem_make() in the memory's readings, for which room is made first. Besides its
 * codes DIALARC_ERR_SIZE and DIALARC_ERR_NO_MEMORY. */
dialarc_status darc_memory_open(darc_memory *memory, const dialarc_setup *setup,
                                const dialarc_camtable *table, double table_sd_mm,
                                const dialarc_sweep *sweep, darc_problem *problem);

/* The same by darc_problem_make_turn(). */
dialarc_status darc_memory_open_turn(darc_memory *memory, const dialarc_setup *setup,
                                     const dialarc_sweep *sweep, darc_problem *problem);

#endif
