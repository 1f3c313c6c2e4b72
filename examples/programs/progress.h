/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One line on the terminal that says how far the work is; nothing when standard error is
 * no terminal.
 */
#ifndef PROGRESS_H
#define PROGRESS_H

#include <stddef.h>

typedef struct progress {
    int watched; /* standard error is a terminal */
    double began_s, told_s;
    int width; /* of the line that stands there now */
} progress;

void progress_begin(progress *p);

/* A few times a second at most. `share` of the work that is done; below 0: not known. */
void progress_tell(progress *p, size_t rows, size_t sweeps, double share);

/* Wipes the line, before anything else is written there and at the end. */
void progress_wipe(progress *p);

#endif
