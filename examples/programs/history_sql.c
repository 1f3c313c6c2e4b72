/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "history_sql.h"

#include <sqlite3.h>
#include <stdio.h>

int sql_fail_damaged(store *s)
{
    snprintf(
        s->fault, sizeof s->fault,
        "the file is damaged: it has been cut off or written over; use a copy of it");
    return -1;
}

int sql_fail(store *s)
{
    if (s->db && sqlite3_errcode(s->db) == SQLITE_CORRUPT)
        return sql_fail_damaged(s);
    snprintf(s->fault, sizeof s->fault, "%s",
             s->db ? sqlite3_errmsg(s->db) : "there is not enough memory");
    return -1;
}

int sql_run(store *s, const char *sql)
{
    return sqlite3_exec(s->db, sql, NULL, NULL, NULL) == SQLITE_OK ? 0 : sql_fail(s);
}

int sql_prepare(store *s, const char *sql, sqlite3_stmt **q)
{
    return sqlite3_prepare_v2(s->db, sql, -1, q, NULL) == SQLITE_OK ? 0 : sql_fail(s);
}

int sql_ask(store *s, const char *sql, int *number)
{
    sqlite3_stmt *q;
    if (sql_prepare(s, sql, &q))
        return -1;
    int failed = sqlite3_step(q) == SQLITE_ROW ? 0 : sql_fail(s);
    *number = sqlite3_column_int(q, 0);
    sqlite3_finalize(q);
    return failed;
}

double sql_number(sqlite3_stmt *q, int column)
{
    return sqlite3_column_type(q, column) == SQLITE_NULL
               ? DIALARC_UNKNOWN
               : sqlite3_column_double(q, column);
}

const char *sql_text(sqlite3_stmt *q, int column)
{
    const char *text = (const char *)sqlite3_column_text(q, column);
    return text ? text : "";
}
