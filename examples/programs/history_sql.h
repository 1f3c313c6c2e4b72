/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * SQL on a history: what fails leaves its reason in store.fault. All return 0, or -1.
 */
#ifndef HISTORY_SQL_H
#define HISTORY_SQL_H

#include "history_store.h"

/* The reason is what SQLite says. */
int sql_fail(store *s);

/* The reason is that the file is damaged. */
int sql_fail_damaged(store *s);

int sql_run(store *s, const char *sql);

/* A query to be stepped through and finalized. */
int sql_prepare(store *s, const char *sql, sqlite3_stmt **q);

/* The number that a query answers with. */
int sql_ask(store *s, const char *sql, int *number);

/* A number of the row at which a query is; NULL is DIALARC_UNKNOWN. */
double sql_number(sqlite3_stmt *q, int column);

/* A text of that row; NULL is "". */
const char *sql_text(sqlite3_stmt *q, int column);

#endif
