/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tables that programs read through input.h, and how they complain about them.
 */
#ifndef TABLES_H
#define TABLES_H

#include <dialarc.h>

#include "input.h"

/* What is wrong with a table, or why its bytes do not come; FAILED. */
int tables_fail(const char *program, const char *path, const input *in,
                const dialarc_error *error);

/* What is done with an open table. */
typedef dialarc_status (*tables_use)(input *in, void *job, dialarc_error *error);

/* Opens a table, uses and closes it: DONE, or FAILED after a complaint. */
int tables_read(const char *program, const char *path, tables_use use, void *job);

/* The table of engines. */
int tables_setups(const char *program, const char *path, dialarc_setups **setups);

#endif
