/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the programs have in common: their exit status, how they complain, and the tables
 * that they read from a file or, for "-", from standard input.
 */
#ifndef PROGRAM_H
#define PROGRAM_H

#include <dialarc.h>
#include <stdio.h>

enum { DONE = 0, SOME_UNUSABLE = 1, FAILED = 2 };

/* One line on standard error, "program: what: text"; FAILED. */
int program_fail(const char *program, const char *what, const char *text);

/* The same for a table, with row and column; FAILED. */
int program_fail_table(const char *program, const char *path, const dialarc_error *error);

/* One line on standard error about a sweep, with the findings that stop its verdict. */
void program_unusable(const char *program, const char *name,
                      const dialarc_findings *findings);

/* The path as messages name it. */
const char *program_table_name(const char *path);

/* Whether two paths are there and at most one of them is standard input. */
int program_two_tables(const char *first, const char *second);

/* DONE, or FAILED after a complaint. */
int program_read_setups(const char *program, const char *path, dialarc_setups **setups);

#endif
