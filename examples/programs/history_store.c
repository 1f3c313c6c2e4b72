/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "history_store.h"

#include <math.h>
#include <sqlite3.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define PATIENCE_MS 60000 /* for another writer */

/* So that another program's file is not taken for a history. */
#define HISTORY_MARK 1684108903
#define TEXT_OF(x)   #x
#define SET_MARK(x)  "PRAGMA history.application_id = " TEXT_OF(x) ";"

/* A table of sweeps; the history and what is gathered for it are alike. */
#define COLUMNS                                                                          \
    "(setup TEXT NOT NULL, sweep TEXT NOT NULL, taken_on TEXT NOT NULL,"                 \
    " verdict TEXT NOT NULL, lift_mm REAL, lift_u_mm REAL,"                              \
    " rate_mm_per_crank_deg REAL, slack_crank_deg REAL, slack_u_crank_deg REAL,"         \
    " advance_error_crank_deg REAL, turn_pump_deg REAL, probability_in REAL,"            \
    " lift_low_mm REAL, lift_high_mm REAL, readings_used INTEGER,"                       \
    " readings_rejected INTEGER, findings TEXT, lift_shared_sd_mm REAL,"                 \
    " PRIMARY KEY (setup, sweep, taken_on)) WITHOUT ROWID"

static const char sql_create[] =
    SET_MARK(HISTORY_MARK) "CREATE TABLE IF NOT EXISTS history.sweeps " COLUMNS;
static const char sql_create_anew[] =
    "CREATE TABLE IF NOT EXISTS history.anew (setup TEXT NOT NULL, set_on TEXT NOT NULL,"
    " PRIMARY KEY (setup, set_on)) WITHOUT ROWID";
/* Histories of before have neither this column nor that table. */
static const char sql_has_shared[] =
    "SELECT count(*) FROM pragma_table_info('sweeps', 'history')"
    " WHERE name = 'lift_shared_sd_mm'";
static const char sql_has_anew[] =
    "SELECT count(*) FROM history.sqlite_master WHERE name = 'anew'";
static const char sql_gather[] = "CREATE TABLE gathered " COLUMNS "; BEGIN";
static const char sql_insert[] =
    "INSERT INTO gathered VALUES"
    " (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)";
static const char sql_count[] =
    "SELECT count(*), (SELECT count(*) FROM gathered JOIN history.sweeps"
    " USING (setup, sweep, taken_on)) FROM gathered";
static const char sql_merge[] =
    "INSERT INTO history.sweeps SELECT * FROM gathered WHERE true"
    " ON CONFLICT (setup, sweep, taken_on) DO UPDATE SET"
    " verdict = excluded.verdict, lift_mm = excluded.lift_mm,"
    " lift_u_mm = excluded.lift_u_mm,"
    " rate_mm_per_crank_deg = excluded.rate_mm_per_crank_deg,"
    " slack_crank_deg = excluded.slack_crank_deg,"
    " slack_u_crank_deg = excluded.slack_u_crank_deg,"
    " advance_error_crank_deg = excluded.advance_error_crank_deg,"
    " turn_pump_deg = excluded.turn_pump_deg, probability_in = excluded.probability_in,"
    " lift_low_mm = excluded.lift_low_mm, lift_high_mm = excluded.lift_high_mm,"
    " readings_used = excluded.readings_used,"
    " readings_rejected = excluded.readings_rejected, findings = excluded.findings,"
    " lift_shared_sd_mm = excluded.lift_shared_sd_mm";
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

static int fail_damaged(store *s)
{
    snprintf(
        s->fault, sizeof s->fault,
        "the file is damaged: it has been cut off or written over; use a copy of it");
    return -1;
}

static int fail(store *s)
{
    if (s->db && sqlite3_errcode(s->db) == SQLITE_CORRUPT)
        return fail_damaged(s);
    snprintf(s->fault, sizeof s->fault, "%s",
             s->db ? sqlite3_errmsg(s->db) : "there is not enough memory");
    return -1;
}

static int run(store *s, const char *sql)
{
    return sqlite3_exec(s->db, sql, NULL, NULL, NULL) == SQLITE_OK ? 0 : fail(s);
}

/* The number that a query answers with. */
static int ask(store *s, const char *sql, int *number)
{
    sqlite3_stmt *q;
    if (sqlite3_prepare_v2(s->db, sql, -1, &q, NULL))
        return fail(s);
    int failed = sqlite3_step(q) == SQLITE_ROW ? 0 : fail(s);
    *number = sqlite3_column_int(q, 0);
    sqlite3_finalize(q);
    return failed;
}

/* A file without tables is a new history; every other one must bear the mark. In this
 * order, for another writer may be making the history just now. */
static int check_mark(store *s, int to_add)
{
    int tables, mark;
    if (ask(s, "SELECT count(*) FROM history.sqlite_master", &tables) ||
        ask(s, "PRAGMA history.application_id", &mark))
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
    if (ask(s, "PRAGMA history.page_size", &page_size))
        return -1;
    if (stat(s->path, &status) == 0 && status.st_size % page_size != 0)
        return fail_damaged(s);
    if (sqlite3_prepare_v2(s->db, "PRAGMA history.quick_check(1)", -1, &q, NULL))
        return fail(s);
    int row = sqlite3_step(q) == SQLITE_ROW;
    int good = row && strcmp((const char *)sqlite3_column_text(q, 0), "ok") == 0;
    if (!row)
        fail(s);
    else if (!good)
        fail_damaged(s);
    sqlite3_finalize(q);
    return good ? 0 : -1;
}

static int attach(store *s, int to_add)
{
    sqlite3_stmt *q;
    if (sqlite3_prepare_v2(s->db, "ATTACH ? AS history", -1, &q, NULL))
        return fail(s);
    sqlite3_bind_text(q, 1, s->path, -1, SQLITE_STATIC);
    int failed = sqlite3_step(q) == SQLITE_DONE ? 0 : fail(s);
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
        return fail(s);
    /* A new history is made when there is something to put into it. */
    return to_add && access(path, F_OK) ? 0 : attach(s, to_add);
}

int store_day(store *s, const char *day, int months, char after[11])
{
    sqlite3_stmt *q;
    if (sqlite3_prepare_v2(s->db,
                           "SELECT date(ifnull(?1, 'now'), ?2 || ' months'),"
                           " ?1 IS NULL OR date(?1, '+0 days') IS ?1",
                           -1, &q, NULL))
        return fail(s);
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
    if (sqlite3_prepare_v2(s->db, "SELECT julianday(?) / 365.25", -1, &q, NULL))
        return fail(s);
    sqlite3_bind_text(q, 1, day, -1, SQLITE_STATIC);
    int good = sqlite3_step(q) == SQLITE_ROW;
    *year = sqlite3_column_double(q, 0);
    sqlite3_finalize(q);
    return good ? 0 : fail(s);
}

int store_begin(store *s, const char *day)
{
    s->day = day;
    if (run(s, sql_gather))
        return -1;
    return sqlite3_prepare_v2(s->db, sql_insert, -1, &s->insert, NULL) ? fail(s) : 0;
}

/* The codes joined by ';', as in the results table. */
static void join_findings(const dialarc_findings *findings, char *text, size_t size)
{
    size_t used = 0;
    text[0] = '\0';
    for (int k = 0; k < DIALARC_FINDING_COUNT && used < size; k++)
        if (dialarc_findings_has(findings, (dialarc_finding)k))
            used += (size_t)snprintf(text + used, size - used, "%s%s", used ? ";" : "",
                                     dialarc_finding_code((dialarc_finding)k));
}

int store_gather(store *s, const char *setup, const dialarc_sweep_record *record,
                 const dialarc_batch_result *result)
{
    const dialarc_timing *t = &result->timing;
    const dialarc_decision *d = &result->decision;
    int told = d->verdict != DIALARC_VERDICT_UNUSABLE;
    const double number[] = {told ? t->lift_mm : DIALARC_UNKNOWN,
                             told ? t->lift_u_mm : DIALARC_UNKNOWN,
                             t->rate_mm_per_crank_deg,
                             t->slack_crank_deg,
                             t->slack_u_crank_deg,
                             d->advance_error_crank_deg,
                             d->turn_pump_deg,
                             d->probability_in,
                             record->setup.lift_low_mm,
                             record->setup.lift_high_mm};
    enum { FIRST = 5, NUMBERS = sizeof number / sizeof *number };
    char findings[DIALARC_RESULT_SIZE];
    sqlite3_stmt *q = s->insert;
    join_findings(&t->findings, findings, sizeof findings);
    sqlite3_bind_text(q, 1, setup, -1, SQLITE_STATIC);
    sqlite3_bind_text(q, 2, record->name, -1, SQLITE_STATIC);
    sqlite3_bind_text(q, 3, s->day, -1, SQLITE_STATIC);
    sqlite3_bind_text(q, 4, dialarc_verdict_name(d->verdict), -1, SQLITE_STATIC);
    for (int i = 0; i < NUMBERS; i++) /* NaN, not known, becomes NULL */
        sqlite3_bind_double(q, FIRST + i, number[i]);
    sqlite3_bind_int64(q, FIRST + NUMBERS, (sqlite3_int64)t->readings_used);
    sqlite3_bind_int64(q, FIRST + NUMBERS + 1, (sqlite3_int64)t->readings_rejected);
    sqlite3_bind_text(q, FIRST + NUMBERS + 2, findings, -1, SQLITE_STATIC);
    const dialarc_budget *b = &t->budget;
    double own = b->readings_mm, all = b->total_mm;
    sqlite3_bind_double(q, FIRST + NUMBERS + 3,
                        told ? sqrt(fmax(all * all - own * own, 0.0)) : DIALARC_UNKNOWN);
    int failed = sqlite3_step(q) == SQLITE_DONE ? 0 : fail(s);
    sqlite3_reset(q);
    return failed;
}

/* Makes the tables of a new history, and brings one of before up to date. */
static int make_tables(store *s)
{
    int shared;
    if (check_mark(s, 1) || run(s, sql_create) || run(s, sql_create_anew) ||
        ask(s, sql_has_shared, &shared))
        return -1;
    return shared
               ? 0
               : run(s, "ALTER TABLE history.sweeps ADD COLUMN lift_shared_sd_mm REAL");
}

static int merge(store *s, long *added, long *renewed)
{
    sqlite3_stmt *q;
    if (make_tables(s))
        return -1;
    if (sqlite3_prepare_v2(s->db, sql_count, -1, &q, NULL) ||
        sqlite3_step(q) != SQLITE_ROW)
        return fail(s);
    *renewed = (long)sqlite3_column_int64(q, 1);
    *added = (long)sqlite3_column_int64(q, 0) - *renewed;
    sqlite3_finalize(q);
    return run(s, sql_merge);
}

int store_commit(store *s, long *added, long *renewed)
{
    /* The gathering has its own transaction in the temporary file. The lock on the
     * history is asked for before anything is read from it, so that two writers can
     * never wait for each other. */
    if (run(s, "COMMIT") || (!s->attached && attach(s, 1)) || run(s, "BEGIN IMMEDIATE"))
        return -1;
    if (merge(s, added, renewed) == 0 && run(s, "COMMIT") == 0)
        return 0;
    sqlite3_exec(s->db, "ROLLBACK", NULL, NULL, NULL);
    return -1;
}

static int insert_anew(store *s, const char *setup, const char *day)
{
    sqlite3_stmt *q;
    if (sqlite3_prepare_v2(s->db, "INSERT OR IGNORE INTO history.anew VALUES (?, ?)", -1,
                           &q, NULL))
        return fail(s);
    sqlite3_bind_text(q, 1, setup, -1, SQLITE_STATIC);
    sqlite3_bind_text(q, 2, day, -1, SQLITE_STATIC);
    int failed = sqlite3_step(q) == SQLITE_DONE ? 0 : fail(s);
    sqlite3_finalize(q);
    return failed;
}

int store_anew(store *s, const char *setup, const char *day)
{
    if (run(s, "BEGIN IMMEDIATE"))
        return -1;
    if (make_tables(s) == 0 && insert_anew(s, setup, day) == 0 && run(s, "COMMIT") == 0)
        return 0;
    sqlite3_exec(s->db, "ROLLBACK", NULL, NULL, NULL);
    return -1;
}

static double number(sqlite3_stmt *q, int column)
{
    return sqlite3_column_type(q, column) == SQLITE_NULL
               ? DIALARC_UNKNOWN
               : sqlite3_column_double(q, column);
}

int store_settings(store *s, const char *setup, const char *since, store_take take,
                   void *context)
{
    sqlite3_stmt *q;
    char sql[sizeof sql_settings + sizeof sql_since_anew + 32];
    int step, stopped = 0, shared, anew;
    if (ask(s, sql_has_shared, &shared) || ask(s, sql_has_anew, &anew))
        return -1;
    snprintf(sql, sizeof sql, sql_settings, shared ? "lift_shared_sd_mm" : "NULL",
             anew ? sql_since_anew : "");
    if (sqlite3_prepare_v2(s->db, sql, -1, &q, NULL))
        return fail(s);
    sqlite3_bind_text(q, 1, setup, -1, SQLITE_STATIC);
    sqlite3_bind_text(q, 2, since, -1, SQLITE_STATIC);
    while ((step = sqlite3_step(q)) == SQLITE_ROW && !stopped) {
        setting it = {.setup = (const char *)sqlite3_column_text(q, 0),
                      .sweep = (const char *)sqlite3_column_text(q, 1),
                      .day = (const char *)sqlite3_column_text(q, 2),
                      .verdict = (const char *)sqlite3_column_text(q, 3),
                      .year = number(q, 4),
                      .lift_mm = number(q, 5),
                      .lift_u_mm = number(q, 6),
                      .rate_mm_per_crank_deg = number(q, 7),
                      .lift_low_mm = number(q, 8),
                      .lift_high_mm = number(q, 9),
                      .shared_sd_mm = number(q, 10)};
        stopped = take(context, &it);
    }
    int failed = step == SQLITE_DONE || stopped ? 0 : fail(s);
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
