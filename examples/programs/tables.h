/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The tables that the commands read, each from a file or for "-" from standard input,
 * compressed by gzip or not; and how they complain about them.
 */
#ifndef TABLES_H
#define TABLES_H

#include <dialarc.h>

#include "input.h"

/* The table as messages name it. */
const char *tables_name(const char *path);

/* What is wrong with a table, or why its bytes do not come; FAILED. */
int tables_fail(const char *who, const char *path, const input *in,
                const dialarc_error *error);

/* What is done with an open table. */
typedef dialarc_status (*tables_use)(input *in, void *job, dialarc_error *error);

/* Opens a table, uses and closes it: DONE, or FAILED after a complaint. */
int tables_read(const char *who, const char *path, tables_use use, void *job);

/* The table of engines; with that of dials, unless `dials` is NULL, by which their
 * readings are corrected. */
int tables_setups(const char *who, const char *path, const char *dials,
                  dialarc_setups **setups);

/* The same, and the dials too, for their certificates; both are to be freed, however it
 * ends. */
int tables_engines(const char *who, const char *path, const char *from,
                   dialarc_setups **setups, dialarc_dials **dials);

/* A table of the columns that dialarc_rows_read() is asked for; DONE, or FAILED. */
int tables_rows(const char *who, const char *path, const char *columns,
                dialarc_rows **rows);

/* A complaint about what a row says in a column, or (NULL) in all; FAILED. */
int tables_row_fails(const char *who, const char *path, const dialarc_rows *rows,
                     size_t index, const char *column, const char *text);

/* A number of a row, or what stands for it where the field is blank. */
double tables_number(const dialarc_rows *rows, size_t index, const char *column,
                     double blank);

/* What is done with a sweep; DONE to go on, FAILED after a complaint. */
typedef int (*tables_take)(void *job, dialarc_sweep_record *record);

/* Hands over the sweeps of a table one after the other; it must hold one at least. */
int tables_sweeps(const char *who, const char *path, const dialarc_setups *setups,
                  tables_take take, void *job);

/* A complaint about a table of sweeps that holds none; FAILED. */
int tables_no_sweep(const char *who, const char *path);

#endif
