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
    const char *title;          /* of the page */
    const char *const *columns; /* titles of the summary; ends with NULL */
    FILE *rows;                 /* of the summary */
    writer page;                /* what comes below it */
    size_t sheets, verdicts[SHEET_VERDICTS];
} sheet;

/* Title of a page about settings, and columns of its summary after that of the names. */
#define SHEET_OF_SETTINGS     "dialarc: the setting of the injection pump"
#define SHEET_SETTING_COLUMNS "Lift, mm", "Verdict", "Worst finding", NULL

/* 0, or -1 with errno. End it always. */
int sheet_begin(sheet *s, const char *title, const char *const *columns);
void sheet_end(sheet *s);

/*
 * A sheet: its row in the summary, which leads to it, then the heading by the writer, the
 * verdict in large letters and what is to be done; then pictures, and what is to be known
 * beside them. `engine` may be NULL. A row is that of a setting, or its cells are written
 * one by one, by HTML of our own; the worst finding is the last.
 */
void sheet_begin_row(sheet *s, const char *name, const char *engine);
void sheet_cell(sheet *s, const char *format, ...) __attribute__((format(printf, 2, 3)));
void sheet_end_row(sheet *s, const dialarc_findings *findings);
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
