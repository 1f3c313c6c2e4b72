/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "history_kept.h"

#include <math.h>
#include <sqlite3.h>
#include <stdio.h>
#include <string.h>

#include "history_schema.h"
#include "history_sql.h"

/* In the order in which read_row() reads them. */
static const char *const columns[] = {"sweep",
                                      "taken_on",
                                      "verdict",
                                      "findings",
                                      "lift_mm",
                                      "lift_u_mm",
                                      "probability_in",
                                      "lift_low_mm",
                                      "lift_high_mm",
                                      "window_crank_deg",
                                      "budget_readings_mm",
                                      "budget_tdc_mm",
                                      "budget_hysteresis_mm",
                                      "budget_cam_mm",
                                      "budget_dial_mm",
                                      "budget_wheel_mm",
                                      "readings_used",
                                      "readings_rejected",
                                      "window_at",
                                      "hand",
                                      "dial",
                                      "certificate",
                                      "calibrated_on",
                                      "library_version",
                                      "decision_rule",
                                      NULL};

static const char sql_kept[] =
    "SELECT setup, (SELECT count(*) FROM history.sweeps AS other"
    " WHERE other.setup = sweeps.setup AND other.taken_on = sweeps.taken_on), %s"
    " FROM history.sweeps WHERE setup = ?1"
    " AND taken_on = ifnull(?2, (SELECT max(taken_on) FROM history.sweeps"
    " WHERE setup = ?1 AND (?3 IS NULL OR sweep = ?3)))"
    " AND (?3 IS NULL OR sweep = ?3) ORDER BY sweep";

static dialarc_verdict verdict_of(const char *name)
{
    for (int k = DIALARC_VERDICT_NONE; k <= DIALARC_VERDICT_UNUSABLE; k++)
        if (strcmp(name, dialarc_verdict_name((dialarc_verdict)k)) == 0)
            return (dialarc_verdict)k;
    return DIALARC_VERDICT_UNUSABLE;
}

static dialarc_window_at window_at_of(const char *name)
{
    return strcmp(name, "tdc") == 0    ? DIALARC_WINDOW_AT_TDC
           : strcmp(name, "mark") == 0 ? DIALARC_WINDOW_AT_MARK
                                       : DIALARC_WINDOW_AT_UNKNOWN;
}

static double total_of(const dialarc_budget *b)
{
    const double part[] = {b->readings_mm, b->tdc_mm,  b->hysteresis_mm,
                           b->cam_mm,      b->dial_mm, b->wheel_mm};
    double sum = 0.0;
    for (size_t i = 0; i < sizeof part / sizeof *part; i++)
        sum += part[i] * part[i];
    return sqrt(sum);
}

static kept read_row(sqlite3_stmt *q)
{
    int at = 0;
    kept k = {.window = dialarc_setup_unknown(1)};
    k.setup = sql_text(q, at++);
    k.sweeps = sqlite3_column_int(q, at++);
    k.sweep = sql_text(q, at++);
    k.day = sql_text(q, at++);
    k.verdict = verdict_of(sql_text(q, at++));
    k.findings = sql_text(q, at++);
    double *const number[] = {&k.lift_mm,
                              &k.lift_u_mm,
                              &k.probability_in,
                              &k.window.lift_low_mm,
                              &k.window.lift_high_mm,
                              &k.window.window_crank_deg,
                              &k.budget.readings_mm,
                              &k.budget.tdc_mm,
                              &k.budget.hysteresis_mm,
                              &k.budget.cam_mm,
                              &k.budget.dial_mm,
                              &k.budget.wheel_mm};
    for (size_t i = 0; i < sizeof number / sizeof *number; i++)
        *number[i] = sql_number(q, at++);
    k.budget.total_mm = total_of(&k.budget);
    k.readings_used = sqlite3_column_int(q, at++);
    k.readings_rejected = sqlite3_column_int(q, at++);
    k.window.window_at = window_at_of(sql_text(q, at++));
    const char **const text[] = {
        &k.hand,         &k.dial, &k.certificate, &k.calibrated_on, &k.library_version,
        &k.decision_rule};
    for (size_t i = 0; i < sizeof text / sizeof *text; i++)
        *text[i] = sql_text(q, at++);
    return k;
}

int kept_of_day(store *s, const char *setup, const char *day, const char *sweep,
                kept_take take, void *context)
{
    sqlite3_stmt *q;
    char list[1024], sql[sizeof sql_kept + sizeof list];
    int step, stopped = 0;
    if (schema_columns(s, columns, list, sizeof list))
        return -1;
    snprintf(sql, sizeof sql, sql_kept, list);
    if (sql_prepare(s, sql, &q))
        return -1;
    sqlite3_bind_text(q, 1, setup, -1, SQLITE_STATIC);
    sqlite3_bind_text(q, 2, day, -1, SQLITE_STATIC);
    sqlite3_bind_text(q, 3, sweep, -1, SQLITE_STATIC);
    while ((step = sqlite3_step(q)) == SQLITE_ROW && !stopped) {
        const kept k = read_row(q);
        stopped = take(context, &k);
    }
    int failed = step == SQLITE_DONE || stopped ? 0 : sql_fail(s);
    sqlite3_finalize(q);
    return failed;
}
