/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The rows of a witness, out of a table with a row a reading: at this crank angle the
 * plunger stood at that lift.
 */
#ifndef CROSSCHECK_ROWS_H
#define CROSSCHECK_ROWS_H

#include <dialarc.h>

#include "engine.h"

enum { CROSSCHECK_READINGS_MAX = 1000 };

/* A table that is read about an engine, and a row of it. */
typedef struct crosscheck_place {
    const char *who, *path;
    const engine *engine;
    const dialarc_rows *rows;
    size_t row;
} crosscheck_place;

/* Standard uncertainties that hold for a witness as a whole. */
enum {
    CROSSCHECK_LIFT_MM,
    CROSSCHECK_CRANK_DEG,
    CROSSCHECK_MARK_DEG,
    CROSSCHECK_WHEEL_DEG,
    CROSSCHECK_CAM_DEG,
    CROSSCHECK_SDS
};

/* What the rows of one witness say. */
typedef struct crosscheck_rows {
    size_t n;
    double advance_deg[CROSSCHECK_READINGS_MAX]; /* from mid-window, by the cam */
    double crank_rpm[CROSSCHECK_READINGS_MAX];   /* of a running engine */
    double lift_mm, crank_deg;                   /* means */
    int running, at_angle;                       /* a speed, a crank angle is stated */
    double sd[CROSSCHECK_SDS];                   /* DIALARC_UNKNOWN: in no row */
    const char *mark, *wheel;                    /* "": in no row */
} crosscheck_rows;

/* The columns, as dialarc_rows_read() is asked for them. */
extern const char crosscheck_columns[];

/* A complaint about the row; FAILED. */
int crosscheck_refuse(const crosscheck_place *at, const char *column, const char *text);

/* Whether a row is about the engine. */
int crosscheck_is_ours(const crosscheck_place *at, size_t row);

/* The name of a row's witness. */
const char *crosscheck_name(const crosscheck_place *at, size_t row);

/* All rows of the witness whose first row this is: DONE, or FAILED after a complaint. */
int crosscheck_gather(const crosscheck_place *first, crosscheck_rows *rows);

#endif
