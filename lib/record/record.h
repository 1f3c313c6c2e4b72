/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A sweep cut into passes: stretches in which the crank moved one way. Private. */
#ifndef DARC_PASSES_H
#define DARC_PASSES_H

#include <stddef.h>

#include <dialarc/setup.h>
#include <dialarc/sweep.h>

#define DARC_MAX_PASSES 64

/* How the state of the drive at the start of a pass is known. */
typedef enum darc_start {
    DARC_START_FREE, /* first pass, or a jump without readings before it */
    DARC_START_TURN  /* the last reading of the pass before is the turning point */
} darc_start;

typedef struct darc_pass {
    size_t begin, end; /* readings begin .. end-1, in the order of `order` */
    int direction;     /* +1 with, -1 against running direction */
    darc_start start;
} darc_pass;

/* Readings in the order taken, angles unrolled over whole turns. */
typedef struct darc_record {
    size_t n;
    double *crank_deg; /* unrolled */
    double *lift_mm;   /* dial reading with its sense removed */
    size_t *row;       /* row of the caller's arrays */
    darc_pass pass[DARC_MAX_PASSES];
    int passes;
    int sorted; /* 1: the directions given put the readings in order */
} darc_record;

/* Median of a reading and its neighbours, mm: single misreads vanish, slopes stay. The
 * first and the last reading stand for themselves. */
double darc_record_middle(const darc_record *record, size_t i);

/* Fills `record` (arrays of sweep->n provided by the caller). */
dialarc_status darc_record_fill(const dialarc_sweep *sweep, const dialarc_setup *setup,
                                double angle_sd_deg, darc_record *record);

#endif
