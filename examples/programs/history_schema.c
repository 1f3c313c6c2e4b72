/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "history_schema.h"

#include <sqlite3.h>
#include <stdio.h>

#include "history_sql.h"

#define TEXT_OF(x)  #x
#define SET_MARK(x) "PRAGMA history.application_id = " TEXT_OF(x) ";"

/* What a sweep is known by. */
#define KEY         "setup, sweep, taken_on"
#define KEY_COLUMNS "setup TEXT NOT NULL, sweep TEXT NOT NULL, taken_on TEXT NOT NULL"

/* What is kept of it: name and type, in the order of schema_insert. The first ones every
 * history has; new ones are added at the end of the others. */
#define FIRST_COLUMNS(X)                                                                 \
    X(verdict, "TEXT NOT NULL")                                                          \
    X(lift_mm, "REAL")                                                                   \
    X(lift_u_mm, "REAL")                                                                 \
    X(rate_mm_per_crank_deg, "REAL")                                                     \
    X(slack_crank_deg, "REAL")                                                           \
    X(slack_u_crank_deg, "REAL")                                                         \
    X(advance_error_crank_deg, "REAL")                                                   \
    X(turn_pump_deg, "REAL")                                                             \
    X(probability_in, "REAL")                                                            \
    X(lift_low_mm, "REAL")                                                               \
    X(lift_high_mm, "REAL")                                                              \
    X(readings_used, "INTEGER")                                                          \
    X(readings_rejected, "INTEGER")                                                      \
    X(findings, "TEXT")
#define LATER_COLUMNS(X)                                                                 \
    X(lift_shared_sd_mm, "REAL")                                                         \
    X(budget_readings_mm, "REAL")                                                        \
    X(budget_tdc_mm, "REAL")                                                             \
    X(budget_hysteresis_mm, "REAL")                                                      \
    X(budget_cam_mm, "REAL")                                                             \
    X(budget_dial_mm, "REAL")                                                            \
    X(budget_wheel_mm, "REAL")                                                           \
    X(window_crank_deg, "REAL")                                                          \
    X(window_at, "TEXT")                                                                 \
    X(hand, "TEXT")                                                                      \
    X(dial, "TEXT")                                                                      \
    X(certificate, "TEXT")                                                               \
    X(calibrated_on, "TEXT")                                                             \
    X(library_version, "TEXT")                                                           \
    X(decision_rule, "TEXT")
#define COLUMNS(X) FIRST_COLUMNS(X) LATER_COLUMNS(X)

#define AS_COLUMN(name, type)  ", " #name " " type
#define AS_NAME(name, type)    ", " #name
#define AS_PLACE(name, type)   ", ?"
#define AS_RENEWAL(name, type) ", " #name " = excluded." #name
#define AS_ADDITION(name, type)                                                          \
    {#name, "ALTER TABLE history.sweeps ADD COLUMN " #name " " type},

#define SWEEPS "(" KEY_COLUMNS COLUMNS(AS_COLUMN) ", PRIMARY KEY (" KEY ")) WITHOUT ROWID"

static const char sql_create[] =
    SET_MARK(HISTORY_MARK) "CREATE TABLE IF NOT EXISTS history.sweeps " SWEEPS ";"
                           "CREATE TABLE IF NOT EXISTS history.anew (setup TEXT NOT NULL,"
                           " set_on TEXT NOT NULL, PRIMARY KEY (setup, set_on))"
                           " WITHOUT ROWID";
static const struct {
    const char *name, *sql;
} additions[] = {LATER_COLUMNS(AS_ADDITION)};
enum { ADDITIONS = sizeof additions / sizeof *additions };

const char schema_gather[] = "CREATE TABLE gathered " SWEEPS "; BEGIN";
const char schema_insert[] = "INSERT INTO gathered VALUES (?, ?, ?" COLUMNS(AS_PLACE) ")";
const char schema_count[] =
    "SELECT count(*), (SELECT count(*) FROM gathered JOIN history.sweeps"
    " USING (" KEY ")) FROM gathered";
const char schema_merge[] =
    "INSERT INTO history.sweeps (" KEY COLUMNS(AS_NAME) ") SELECT " KEY COLUMNS(
        AS_NAME) " FROM gathered WHERE true ON CONFLICT (" KEY ") DO UPDATE SET"
                 " taken_on = excluded.taken_on" COLUMNS(AS_RENEWAL);

static int has_column(store *s, const char *name, int *has)
{
    char sql[160];
    snprintf(sql, sizeof sql,
             "SELECT count(*) FROM pragma_table_info('sweeps', 'history')"
             " WHERE name = '%s'",
             name);
    return sql_ask(s, sql, has);
}

int schema_make(store *s)
{
    if (sql_run(s, sql_create))
        return -1;
    for (int i = 0; i < ADDITIONS; i++) {
        int has;
        if (has_column(s, additions[i].name, &has) ||
            (!has && sql_run(s, additions[i].sql)))
            return -1;
    }
    return 0;
}

int schema_has_anew(store *s, int *has)
{
    return sql_ask(s, "SELECT count(*) FROM history.sqlite_master WHERE name = 'anew'",
                   has);
}

int schema_columns(store *s, const char *const *name, char *list, size_t size)
{
    size_t used = 0;
    for (; *name && used < size; name++) {
        int has;
        if (has_column(s, *name, &has))
            return -1;
        used += (size_t)snprintf(list + used, size - used, "%s%s", used ? ", " : "",
                                 has ? *name : "NULL");
    }
    return 0;
}
