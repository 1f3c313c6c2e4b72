/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The tables of a history. Each later version has added columns to that of sweeps: a
 * history of before gets them when something is put into it, blank in the rows that it
 * has, and is read as it is until then.
 */
#ifndef HISTORY_SCHEMA_H
#define HISTORY_SCHEMA_H

#include "history_store.h"

/* So that another program's file is not taken for a history. */
#define HISTORY_MARK 1684108903

/* Makes the tables of a new history, and brings one of before up to date: all of it
 * within the transaction that is open. 0, or -1 with a reason. */
int schema_make(store *s);

/* Whether the history has the table in which it is noted what was set anew. */
int schema_has_anew(store *s, int *has);

/* The names as a list for SELECT, NULL in place of each column that this history does not
 * have yet; `name` ends with NULL. 0, or -1 with a reason. */
int schema_columns(store *s, const char *const *name, char *list, size_t size);

/* What is gathered beside a history, in a table like that of its sweeps, to be put into
 * it as a whole. */
extern const char schema_gather[], schema_insert[], schema_count[], schema_merge[];

#endif
