/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a person is told of the lobes of a pump: as text, with a plot of characters, or as
 * a sheet of an HTML page, with pictures.
 */
#ifndef LOBES_PAGE_H
#define LOBES_PAGE_H

#include <dialarc.h>
#include <stdio.h>

#include "sheet.h"

/* A sweep over a whole turn and what was found. */
typedef struct lobes_found {
    const char *engine, *file;          /* `file`: table of the sweeps */
    const dialarc_sweep_record *record; /* one of them */
    const dialarc_lobes *lobes;
    int cylinder[DIALARC_LOBES_MAX]; /* that each lobe serves; 0: not known */
} lobes_found;

/* Titles of the columns of the summary, for sheet_begin(). */
extern const char *const lobes_columns[];

/* Whether the lobes could be compared. */
int lobes_are_compared(const dialarc_lobes *l);

void lobes_text(writer *w, const lobes_found *it);
void lobes_sheet(sheet *s, const lobes_found *it);

#endif
