/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The errors of reading of a shop, told on a page or as rows for the table of engines.
 */
#ifndef READING_H
#define READING_H

#include <dialarc.h>
#include <stdio.h>

/* What there is to tell. */
typedef struct reading {
    const dialarc_setups *setups;
    dialarc_reading_errors errors; /* of one sweep at least */
} reading;

/* Paragraphs of a page. */
void reading_say(FILE *out, const reading *r);

/* One row an engine; names guarded or not. */
void reading_rows(FILE *out, const reading *r, int guard);

#endif
