/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A sweep cut into passes: stretches in which the crank moved one way. */
#ifndef DARC_RECORD_H
#define DARC_RECORD_H

#include <stdbool.h>
#include <stddef.h>

#include <dialarc/status.h>
#include <dialarc/sweep.h>

#include "record/travel.h"

#define DARC_MAX_PASSES 64

/* How the state of the drive at the start of a pass is known. */
typedef enum darc_start {
    DARC_START_FREE, /* first pass, or a jump without readings before it */
    DARC_START_TURN  /* the last reading of the pass before is the turning point */
} darc_start;

typedef struct darc_pass {
    size_t begin, end; /* readings begin .. end-1 */
    int direction;     /* +1 with, -1 against running direction */
    darc_start start;
} darc_pass;

/* Readings in the order in which the crank moved. Never altered once it is made. */
typedef struct darc_record {
    size_t n;
    const double *crank_deg; /* unrolled over whole turns */
    const double *lift_mm;   /* travel of the plunger from the dial's zero */
    const size_t *row;       /* row of the caller's arrays */
    darc_pass pass[DARC_MAX_PASSES];
    int passes;
    bool sorted; /* put in order by the directions given */
} darc_record;

/* The arrays that a record is written into. */
typedef struct darc_readings {
    double *crank_deg, *lift_mm;
    size_t *row;
} darc_readings;

/* Makes a record of a sweep that has passed darc_sweep_check(). `dial` is the one that
 * was used; a reversal counts when it exceeds the error of the angles. `room` holds as
 * many readings as the sweep. DIALARC_OK or DIALARC_ERR_NO_MEMORY. */
dialarc_status darc_record_make(const dialarc_sweep *sweep, const darc_dial_use *dial,
                                double angle_sd_deg, const darc_readings *room,
                                darc_record *record);

/* Counts the angles of a record from `crank_deg` instead of TDC; `room` is that in which
 * it was made. */
void darc_record_count_from(double crank_deg, const darc_readings *room,
                            const darc_record *record);

/* A wheel of 360 degrees passes 0 more than once in a turn of the pump: the first time is
 * meant, and not the one that was read closest to 0. Shifts the angles in `room`, in
 * which the record was made, accordingly. */
void darc_record_meet_first_tdc(const dialarc_sweep *sweep, const darc_readings *room,
                                const darc_record *record);

/* How many readings in a row of a pass, the i-th among them, were taken at one stand of
 * the crank: at one angle of the wheel, whose error is then the same in all. */
size_t darc_record_stand(const darc_record *record, const darc_pass *pass, size_t i);

/* Median of a reading and its neighbours, mm: single misreads vanish, slopes stay. The
 * first and the last reading stand for themselves. */
double darc_record_middle(const darc_record *record, size_t i);

/* Lowest and highest median of three neighbours, mm; low > high with fewer than three
 * readings. */
void darc_record_span(const darc_record *record, double *low_mm, double *high_mm);

#endif
