/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The job sheet of a sweep: what was measured, by whom, with what, what came out and what
 * that says of the window, each with what it rests on.
 *
 * It has what ISO/IEC 17025:2017 asks of a report and of a statement of conformity, 7.8.2
 * (from memory) and 7.8.6.2: to which result the statement applies, which requirement is
 * met or not, and the decision rule.
 */
#ifndef JOB_SHEET_H
#define JOB_SHEET_H

#include "history_kept.h"
#include "writer.h"

/* What the history does not know; NULL: a line to fill in by hand. */
typedef struct job_sheet_words {
    const char *shop, *customer, *literature;
} job_sheet_words;

void job_sheet(writer *w, const job_sheet_words *words, const kept *k);

#endif
