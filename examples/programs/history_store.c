/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "history_store.h"

#include <sqlite3.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "history_schema.h"
#include "history_sql.h"

#define PATIENCE_MS 60000 /* for another writer */

/* With the column of what sweeps share, or NULL for it, and what was set anew. */
static const char sql_settings[] =
    "SELECT setup, sweep, taken_on, verdict, julianday(taken_on) / 365.25, lift_mm,"
    " lift_u_mm, rate_mm_per_crank_deg, lift_low_mm, lift_high_mm, %s"
    " FROM history.sweeps"
    " WHERE verdict <> 'unusable' AND lift_mm IS NOT NULL AND lift_u_mm > 0"
    " AND (?1 IS NULL OR setup = ?1) AND (?2 IS NULL OR taken_on >= ?2)%s"
    " ORDER BY setup, taken_on, sweep";
static const char sql_since_anew[] =
    " AND taken_on >= ifnull((SELECT max(set_on) FROM history.anew"
    " WHERE anew.setup = sweeps.setup), '')";

/* A file without tables is a new history; every other one must bear the mark. In this
 * order, for another writer may be making the history just now. */
static int check_mark(store *s, int to_add)
{
    int tables, mark;
    if (sql_ask(s, "SELECT count(*) FROM history.sqlite_master", &tables) ||
        sql_ask(s, "PRAGMA history.application_id", &mark))
        return -1;
    if (mark == HISTORY_MARK || (tables == 0 && to_add))
        return 0;
    snprintf(s->fault, sizeof s->fault, "%s",
             tables ? "is the database of another program" : "holds no history");
    return -1;
}

/* Whole pages, and in them nothing that contradicts itself. SQLite by itself reads what
 * is missing of the last page as zeros. */
static int check_damage(store *s)
{
    struct stat status;
    int page_size;
    sqlite3_stmt *q;
    if (sql_ask(s, "PRAGMA history.page_size", &page_size))
        return -1;
    if (stat(s->path, &status) == 0 && status.st_size % page_size != 0)
        return sql_fail_damaged(s);
    if (sql_prepare(s, "PRAGMA history.quick_check(1)", &q))
        return -1;
    int row = sqlite3_step(q) == SQLITE_ROW;
    int good = row && strcmp(sql_text(q, 0), "ok") == 0;
    if (!row)
        sql_fail(s);
    else if (!good)
        sql_fail_damaged(s);
    sqlite3_finalize(q);
    return good ? 0 : -1;
}

static int attach(store *s, int to_add)
{
    sqlite3_stmt *q;
    if (sql_prepare(s, "ATTACH ? AS history", &q))
        return -1;
    sqlite3_bind_text(q, 1, s->path, -1, SQLITE_STATIC);
    int failed = sqlite3_step(q) == SQLITE_DONE ? 0 : sql_fail(s);
    if (sqlite3_finalize(q) == SQLITE_CANTOPEN)
        snprintf(s->fault, sizeof s->fault, "cannot be opened");
    s->attached = !failed;
    return failed || check_mark(s, to_add) ? -1 : check_damage(s);
}

/* Names by which SQLite means no file, and what is put into them is lost. */
static int is_no_file(const char *path)
{
    return path[0] == '\0' || strcmp(path, ":memory:") == 0 ||
           strncmp(path, "file:", 5) == 0;
}

int store_open(store *s, const char *path, int to_add)
{
    *s = (store){.path = path};
    if (is_no_file(path)) {
        snprintf(s->fault, sizeof s->fault,
                 "does not name a file; put ./ in front if it is the name of one");
        return -1;
    }
    /* For reading too: what a writer that was killed left behind has to be undone. */
    int how = SQLITE_OPEN_READWRITE | (to_add ? SQLITE_OPEN_CREATE : 0);
    if (sqlite3_open_v2("", &s->db, how, NULL) ||
        sqlite3_busy_timeout(s->db, PATIENCE_MS))
        return sql_fail(s);
    /* A new history is made when there is something to put into it. */
    return to_add && access(path, F_OK) ? 0 : attach(s, to_add);
}

int store_day(store *s, const char *day, int months, char after[11])
{
    sqlite3_stmt *q;
    if (sql_prepare(s,
                    "SELECT date(ifnull(?1, 'now'), ?2 || ' months'),"
                    " ?1 IS NULL OR date(?1, '+0 days') IS ?1",
                    &q))
        return -1;
    sqlite3_bind_text(q, 1, day, -1, SQLITE_STATIC);
    sqlite3_bind_int(q, 2, months);
    int good = sqlite3_step(q) == SQLITE_ROW && sqlite3_column_int(q, 1) &&
               sqlite3_column_bytes(q, 0) == 10;
    if (good)
        snprintf(after, 11, "%s", (const char *)sqlite3_column_text(q, 0));
    else
        snprintf(s->fault, sizeof s->fault, "is no day; write it as 2026-01-31");
    sqlite3_finalize(q);
    return good ? 0 : -1;
}

int store_year(store *s, const char *day, double *year)
{
    sqlite3_stmt *q;
    if (sql_prepare(s, "SELECT julianday(?) / 365.25", &q))
        return -1;
    sqlite3_bind_text(q, 1, day, -1, SQLITE_STATIC);
    int good = sqlite3_step(q) == SQLITE_ROW;
    *year = sqlite3_column_double(q, 0);
    sqlite3_finalize(q);
    return good ? 0 : sql_fail(s);
}

/* Of a new history, and what one of before lacks. */
static int make_tables(store *s)
{
    return check_mark(s, 1) || schema_make(s) ? -1 : 0;
}

static int merge(store *s, long *added, long *renewed)
{
    sqlite3_stmt *q;
    if (make_tables(s) || sql_prepare(s, schema_count, &q))
        return -1;
    if (sqlite3_step(q) != SQLITE_ROW)
        return sql_fail(s);
    *renewed = (long)sqlite3_column_int64(q, 1);
    *added = (long)sqlite3_column_int64(q, 0) - *renewed;
    sqlite3_finalize(q);
    return sql_run(s, schema_merge);
}

int store_commit(store *s, long *added, long *renewed)
{
    /* The gathering has its own transaction in the temporary file. The lock on the
     * history is asked for before anything is read from it, so that two writers can
     * never wait for each other. */
    if (sql_run(s, "COMMIT") || (!s->attached && attach(s, 1)) ||
        sql_run(s, "BEGIN IMMEDIATE"))
        return -1;
    if (merge(s, added, renewed) == 0 && sql_run(s, "COMMIT") == 0)
        return 0;
    sqlite3_exec(s->db, "ROLLBACK", NULL, NULL, NULL);
    return -1;
}

static int insert_anew(store *s, const char *setup, const char *day)
{
    sqlite3_stmt *q;
    if (sql_prepare(s, "INSERT OR IGNORE INTO history.anew VALUES (?, ?)", &q))
        return -1;
    sqlite3_bind_text(q, 1, setup, -1, SQLITE_STATIC);
    sqlite3_bind_text(q, 2, day, -1, SQLITE_STATIC);
    int failed = sqlite3_step(q) == SQLITE_DONE ? 0 : sql_fail(s);
    sqlite3_finalize(q);
    return failed;
}

int store_anew(store *s, const char *setup, const char *day)
{
    if (sql_run(s, "BEGIN IMMEDIATE"))
        return -1;
    if (make_tables(s) == 0 && insert_anew(s, setup, day) == 0 &&
        sql_run(s, "COMMIT") == 0)
        return 0;
    sqlite3_exec(s->db, "ROLLBACK", NULL, NULL, NULL);
    return -1;
}

int store_settings(store *s, const char *setup, const char *since, store_take take,
                   void *context)
{
    sqlite3_stmt *q;
    static const char *const later[] = {"lift_shared_sd_mm", NULL};
    char sql[sizeof sql_settings + sizeof sql_since_anew + 32];
    char shared[32];
    int step, stopped = 0, anew;
    if (schema_columns(s, later, shared, sizeof shared) || schema_has_anew(s, &anew))
        return -1;
    snprintf(sql, sizeof sql, sql_settings, shared, anew ? sql_since_anew : "");
    if (sql_prepare(s, sql, &q))
        return -1;
    sqlite3_bind_text(q, 1, setup, -1, SQLITE_STATIC);
    sqlite3_bind_text(q, 2, since, -1, SQLITE_STATIC);
    while ((step = sqlite3_step(q)) == SQLITE_ROW && !stopped) {
        setting it = {.setup = sql_text(q, 0),
                      .sweep = sql_text(q, 1),
                      .day = sql_text(q, 2),
                      .verdict = sql_text(q, 3),
                      .year = sql_number(q, 4),
                      .lift_mm = sql_number(q, 5),
                      .lift_u_mm = sql_number(q, 6),
                      .rate_mm_per_crank_deg = sql_number(q, 7),
                      .lift_low_mm = sql_number(q, 8),
                      .lift_high_mm = sql_number(q, 9),
                      .shared_sd_mm = sql_number(q, 10)};
        stopped = take(context, &it);
    }
    int failed = step == SQLITE_DONE || stopped ? 0 : sql_fail(s);
    sqlite3_finalize(q);
    if (stopped)
        snprintf(s->fault, sizeof s->fault, "there is not enough memory");
    return failed || stopped ? -1 : 0;
}

void store_close(store *s)
{
    sqlite3_finalize(s->insert);
    sqlite3_close(s->db);
}
