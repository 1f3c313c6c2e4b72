/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The readings of a live sweep on the disk: a table of sweeps that is whole after every
 * row, whatever happens to program and machine.
 */
#ifndef TAKE_FILE_H
#define TAKE_FILE_H

#include <dialarc.h>

typedef struct take_file {
    const char *path, *sweep, *engine;
    int descriptor; /* -1: not open */
} take_file;

/*
 * Opens the table, new or begun by dialarc take before; a row of which only a part was
 * written is taken away. Readings of this sweep go to `live`. DONE, or FAILED after a
 * complaint.
 */
int take_open(const char *who, const dialarc_setups *setups, take_file *file,
              dialarc_live *live);

/* Puts the last reading of `live` on the disk; FAILED after a complaint. */
int take_append(const char *who, const take_file *file, const dialarc_live *live);

/* Takes the last row away. */
int take_strike(const char *who, const take_file *file);

void take_close(take_file *file);

#endif
