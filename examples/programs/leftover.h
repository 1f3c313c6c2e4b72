/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Temporary files that lie beside the file they are to become: TARGET.dialarc-XXXXXX. One
 * that is being written is locked; what a killed program has left is not, and goes the
 * next time that something is written to the same target.
 */
#ifndef LEFTOVER_H
#define LEFTOVER_H

#define LEFTOVER_ENDING ".dialarc-XXXXXX" /* as for mkstemp() */

/* Marks an open temporary file as being written, until it is closed. */
void leftover_lock(int handle);

/* Removes what was left of this target: older than a minute, and locked by nobody. */
void leftover_sweep(const char *target);

#endif
