/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "history_gather.h"

#include <math.h>
#include <sqlite3.h>
#include <stdio.h>

#include "history_schema.h"
#include "history_sql.h"

/* What a verdict rests on, as long as the library judges so (dialarc_decision_judge()).
 */
static const char decision_rule[] =
    "A setting conforms when the true lift lies in the window with a probability of at "
    "least 97.5 %, and does not conform when it lies beyond one of its limits with at "
    "least that; where neither holds nothing is stated. The true lift is taken as normal "
    "about the result with its standard uncertainty (JCGM 106:2012). So the risk that a "
    "statement is wrong, either way, is at most 2.5 % for one sweep, as far as dial, "
    "wheel and mark are as they were stated.";

int gather_begin(store *s, const char *day)
{
    s->day = day;
    if (sql_run(s, schema_gather))
        return -1;
    return sql_prepare(s, schema_insert, &s->insert);
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

/* The places of a row, filled one after the other. What is not known becomes NULL: texts
 * that are empty, and NaN by itself. */
typedef struct row {
    sqlite3_stmt *q;
    int at;
} row;

static void put_text(row *r, const char *text)
{
    sqlite3_bind_text(r->q, ++r->at, text, -1, SQLITE_STATIC);
}

static void put_known(row *r, const char *text)
{
    put_text(r, text[0] ? text : NULL);
}

static void put_count(row *r, size_t count)
{
    sqlite3_bind_int64(r->q, ++r->at, (sqlite3_int64)count);
}

static void put_numbers(row *r, size_t n, const double *number)
{
    for (size_t i = 0; i < n; i++)
        sqlite3_bind_double(r->q, ++r->at, number[i]);
}

#define COUNT(array) (sizeof(array) / sizeof *(array))

static void put_result(row *r, const gathered *g, int told)
{
    const dialarc_timing *t = &g->result->timing;
    const dialarc_decision *d = &g->result->decision;
    const double number[] = {told ? t->lift_mm : DIALARC_UNKNOWN,
                             told ? t->lift_u_mm : DIALARC_UNKNOWN,
                             t->rate_mm_per_crank_deg,
                             t->slack_crank_deg,
                             t->slack_u_crank_deg,
                             d->advance_error_crank_deg,
                             d->turn_pump_deg,
                             d->probability_in,
                             g->record->setup.lift_low_mm,
                             g->record->setup.lift_high_mm};
    put_text(r, dialarc_verdict_name(d->verdict));
    put_numbers(r, COUNT(number), number);
    put_count(r, t->readings_used);
    put_count(r, t->readings_rejected);
}

/* What the sweeps of an engine share, which is all but its readings, and each cause. */
static void put_budget(row *r, const gathered *g, int told)
{
    const dialarc_budget *b = &g->result->timing.budget;
    double own = b->readings_mm, all = b->total_mm;
    double number[] = {sqrt(fmax(all * all - own * own, 0.0)),
                       b->readings_mm,
                       b->tdc_mm,
                       b->hysteresis_mm,
                       b->cam_mm,
                       b->dial_mm,
                       b->wheel_mm};
    for (size_t i = 0; i < COUNT(number); i++)
        number[i] = told ? number[i] : DIALARC_UNKNOWN;
    put_numbers(r, COUNT(number), number);
}

static void put_window(row *r, const dialarc_setup *setup)
{
    put_numbers(r, 1, &setup->window_crank_deg);
    put_known(r, setup->window_at == DIALARC_WINDOW_AT_TDC    ? "tdc"
                 : setup->window_at == DIALARC_WINDOW_AT_MARK ? "mark"
                                                              : "");
}

int gather(store *s, const gathered *g)
{
    row r = {.q = s->insert};
    char findings[DIALARC_RESULT_SIZE];
    dialarc_verdict verdict = g->result->decision.verdict;
    int told = verdict != DIALARC_VERDICT_UNUSABLE;
    join_findings(&g->result->timing.findings, findings, sizeof findings);
    put_text(&r, g->setup);
    put_text(&r, g->record->name);
    put_text(&r, s->day);
    put_result(&r, g, told);
    put_text(&r, findings);
    put_budget(&r, g, told);
    put_window(&r, &g->record->setup);
    put_known(&r, g->hand);
    put_known(&r, g->dial);
    put_known(&r, g->certificate);
    put_known(&r, g->calibrated_on);
    put_text(&r, dialarc_version());
    put_known(&r, told && verdict != DIALARC_VERDICT_NONE ? decision_rule : "");
    int failed = sqlite3_step(r.q) == SQLITE_DONE ? 0 : sql_fail(s);
    sqlite3_reset(r.q);
    return failed;
}
