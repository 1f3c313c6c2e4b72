/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The HTML page of assess: a summary where there are several sweeps or engines, then one
 * sheet each. It is gathered in temporary files while sweeps come, of any number.
 */
#ifndef SHEET_H
#define SHEET_H

#include <dialarc.h>
#include <stdio.h>

#include "writer.h"

enum { SHEET_VERDICTS = DIALARC_VERDICT_UNUSABLE + 1 };

typedef struct sheet {
    FILE *rows;  /* of the summary */
    writer page; /* what comes below it */
    dialarc_workspace *workspace;
    double *residual_mm;
    size_t room, sheets, verdicts[SHEET_VERDICTS];
} sheet;

/* 0, or -1 with errno. End it always. */
int sheet_begin(sheet *s);
void sheet_end(sheet *s);

/* The sheet of one sweep; 0, or -1 when there is not enough memory. */
int sheet_add(sheet *s, const char *engine, const char *file,
              const dialarc_sweep_record *record, const dialarc_timing *timing,
              const dialarc_decision *decision);

/* The sheet of all sweeps of an engine. */
void sheet_add_joint(sheet *s, const char *engine, const dialarc_setup *setup,
                     const dialarc_look *look, const dialarc_joint *joint,
                     const dialarc_timing *timing, const dialarc_decision *decision);

/* The whole page; 0, or -1 with errno when what was gathered does not come back. */
int sheet_write(sheet *s, FILE *out);

#endif
