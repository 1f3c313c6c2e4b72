/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * An HTML page of many sheets: a summary where there are several, then each of them. It
 * is gathered in temporary files while they come, of any number.
 */
#ifndef SHEET_H
#define SHEET_H

#include <dialarc.h>
#include <stdio.h>

#include "writer.h"

enum { SHEET_VERDICTS = DIALARC_VERDICT_UNUSABLE + 1 };

typedef struct sheet {
    const char *what; /* title of the first column of the summary */
    FILE *rows;       /* of the summary */
    writer page;      /* what comes below it */
    size_t sheets, verdicts[SHEET_VERDICTS];
} sheet;

/* 0, or -1 with errno. End it always. */
int sheet_begin(sheet *s, const char *what);
void sheet_end(sheet *s);

/*
 * A sheet: its row in the summary, which leads to it, then the heading by the writer, the
 * verdict in large letters and what is to be done; then pictures, and what is to be known
 * beside them. `engine` may be NULL.
 */
void sheet_row(sheet *s, const char *name, const char *engine, double lift_mm,
               double lift_u_mm, dialarc_verdict verdict,
               const dialarc_findings *findings);
void sheet_verdict(sheet *s, dialarc_verdict verdict);
void sheet_pictures(sheet *s);
void sheet_reasons(sheet *s);
void sheet_close(sheet *s);

/* The whole page; 0, or -1 with errno when what was gathered does not come back. */
int sheet_write(sheet *s, FILE *out);

#endif
