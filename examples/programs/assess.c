/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From the sweeps table to the results table, or to a page for a person.
 */
#include <dialarc.h>
#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "csv.h"
#include "input.h"
#include "output.h"
#include "page.h"
#include "progress.h"
#include "report.h"
#include "sheet_sweep.h"
#include "tables.h"
#include "together.h"
#include "words.h"

typedef struct wishes {
    int report, threads, guard, together;
    const char *out, *dials, *page;
} wishes;

/* What the work needs and keeps. */
typedef struct bench {
    const char *who;
    const wishes *wishes;
    const char *table; /* of sweeps */
    dialarc_setups *setups;
    input in;
    progress progress;
    together together;
    output *out;
    writer text;
    sheet sheet;
    writer *page; /* for a person: one of these two, or NULL */
    size_t rows, sweeps, unusable;
    int failed; /* the reason has been told */
} bench;

/* The name stands first, in quotes or not. */
static void write_row(const bench *b, const char *name, const char *row, size_t length)
{
    size_t quote = row[0] == '"';
    FILE *out = b->out->file;
    if (b->wishes->guard && csv_is_formula(name))
        fputs(quote ? "\"'" : "'", out);
    else
        quote = 0;
    fwrite(row + quote, 1, length - quote, out);
}

static void write_report(bench *b, const dialarc_streamed *it)
{
    const dialarc_sweep_record *record = it->record;
    const dialarc_timing *timing = &it->result->timing;
    const dialarc_decision *decision = &it->result->decision;
    const char *engine = dialarc_setups_name(b->setups, record->setup_index);
    const char *file = tables_name(b->table);
    if (b->wishes->page) {
        sheet_sweep(&b->sheet, engine, file, it);
        return;
    }
    report_head(b->page, engine, record);
    report_setting(b->page, record, timing, decision);
    report_reasons(b->page, file, record, timing, decision);
}

/* Sweeps that are taken together are told of at the end. */
static void write_sweep(bench *b, const dialarc_streamed *it)
{
    if (b->wishes->together)
        return;
    if (b->page)
        write_report(b, it);
    else
        write_row(b, it->record->name, it->row, it->row_length);
}

/* Why there is no sense in going on; 1. */
static int stop(bench *b, const char *what, const char *text)
{
    progress_wipe(&b->progress);
    complain(b->who, what, text);
    b->failed = 1;
    return 1;
}

/* Takes one sweep from the stream; the work stops when there is no sense in going on. */
static int take(void *context, const dialarc_streamed *it)
{
    bench *b = context;
    const dialarc_sweep_record *record = it->record;
    const dialarc_batch_result *result = it->result;
    if (result->status < DIALARC_OK)
        return stop(b, record->name, dialarc_status_text(result->status));
    if (result->decision.verdict != DIALARC_VERDICT_UNUSABLE &&
        together_add(&b->together, record->setup_index, &result->timing) != 0)
        return stop(b, "memory", dialarc_status_text(DIALARC_ERR_NO_MEMORY));
    write_sweep(b, it);
    if (ferror(b->page ? b->page->file : b->out->file)) {
        b->out->error = errno;
        return 1;
    }
    if (result->decision.verdict == DIALARC_VERDICT_UNUSABLE) {
        progress_wipe(&b->progress);
        complain_unusable(b->who, record->name, &result->timing.findings);
        b->unusable++;
    }
    b->sweeps++;
    b->rows += record->sweep.n;
    progress_tell(&b->progress, b->rows, b->sweeps, input_share(&b->in));
    return 0;
}

static void write_joint(bench *b, size_t engine, const dialarc_joint *joint,
                        const dialarc_timing *timing, const dialarc_decision *decision)
{
    const dialarc_setup *setup = dialarc_setups_get(b->setups, engine);
    const dialarc_look *look = b->together.engine[engine].look;
    const char *name = dialarc_setups_name(b->setups, engine);
    if (b->wishes->page) {
        sheet_joint(&b->sheet, name, setup, look, joint, timing, decision);
        return;
    }
    report_joint_head(b->page, name, joint);
    report_joint_setting(b->page, setup, joint, timing, decision);
    report_joint_reasons(b->page, setup, look, joint, timing);
}

/* One row or page an engine, when all sweeps have been taken. */
static int write_together(bench *b)
{
    dialarc_joint joint;
    dialarc_timing timing;
    dialarc_decision decision;
    char row[DIALARC_RESULT_SIZE];
    for (size_t i = 0; i < b->together.engines; i++) {
        const together_engine *e = &b->together.engine[i];
        const char *name = dialarc_setups_name(b->setups, i);
        size_t length;
        if (e->sweeps == 0)
            continue;
        if (e->sweeps > DIALARC_LOOKS_MAX)
            return complain(b->who, name, "too many sweeps to be taken together");
        dialarc_status status =
            together_pool(&b->together, i, &joint, &timing, &decision);
        if (status == DIALARC_OK && !b->page)
            status =
                dialarc_result_format(name, &timing, &decision, row, sizeof row, &length);
        if (status != DIALARC_OK)
            return complain(b->who, name, dialarc_status_text(status));
        if (b->page)
            write_joint(b, i, &joint, &timing, &decision);
        else
            write_row(b, name, row, length);
    }
    return DONE;
}

static int fill(output *out, void *job)
{
    static const char *const columns[] = {"Sweep, engine", SHEET_SETTING_COLUMNS};
    bench *b = job;
    dialarc_error error[DIALARC_ERRORS_MAX] = {{.room = DIALARC_ERRORS_MAX}};
    b->out = out;
    if (b->wishes->report) {
        b->text = page_writer(out->file);
        b->page = &b->text;
    } else if (b->wishes->page) {
        if (sheet_begin(&b->sheet, SHEET_OF_SETTINGS, columns) != 0)
            return complain(b->who, "temporary file", strerror(errno));
        b->page = &b->sheet.page;
    } else {
        fputs(dialarc_results_header(), out->file);
    }
    progress_begin(&b->progress);
    dialarc_status status = dialarc_stream_assess(
        input_read, &b->in, b->setups, (size_t)b->wishes->threads, take, b, error);
    progress_wipe(&b->progress);
    if (b->failed)
        return FAILED;
    if (status != DIALARC_OK && status != DIALARC_ERR_CANCELLED)
        return tables_fail(b->who, b->table, &b->in, error);
    if (status == DIALARC_OK && b->sweeps == 0)
        return tables_no_sweep(b->who, b->table);
    if (b->wishes->together) {
        if (write_together(b) == FAILED)
            return FAILED;
    } else {
        together_tell(&b->together, b->who, b->page);
    }
    if (b->page) {
        words_meanings(b->page);
        words_cautions(b->page);
    }
    if (b->wishes->page && sheet_write(&b->sheet, out->file) != 0)
        return complain(b->who, "temporary file", strerror(errno));
    return b->unusable ? SOME_UNUSABLE : DONE;
}

static int run(const char *who, const void *wished, char **operand)
{
    bench b = {.who = who, .wishes = wished, .table = operand[1]};
    const wishes *w = wished;
    if (w->page && (w->report || w->out || w->guard))
        return complain(who, "--page",
                        "goes with neither --report nor --out nor --for-spreadsheet");
    int result = tables_setups(who, operand[0], b.wishes->dials, &b.setups);
    if (result == DONE && together_begin(&b.together, b.setups, b.wishes->together) != 0)
        result = complain_memory(who);
    if (result == DONE) {
        result = input_open(&b.in, b.table)
                     ? complain(who, tables_name(b.table), b.in.fault)
                     : output_write(who, w->page ? w->page : w->out, fill, &b);
        input_close(&b.in);
    }
    sheet_end(&b.sheet);
    together_end(&b.together);
    dialarc_setups_free(b.setups);
    return result;
}

static const command_operand operands[] = {
    {"SETUPS", "table of engines"},
    {"SWEEPS", "table of dial readings, of any length"},
    {0},
};

static const command_option options[] = {
    {"report", NULL, OPTION_FLAG, offsetof(wishes, report), 0, 0,
     "a page for a person instead of the results table"},
    {"page", "FILE", OPTION_TEXT, offsetof(wishes, page), 0, 0,
     "the same page with pictures as one HTML file, for the telephone, the screen and "
     "the printer: an A4 sheet a sweep"},
    {"together", NULL, OPTION_FLAG, offsetof(wishes, together), 0, 0,
     "all sweeps of an engine are of one setting: one row or page an engine, and a "
     "verdict that counts how often was looked"},
    {"threads", "N", OPTION_WHOLE, offsetof(wishes, threads), 1, DIALARC_THREADS_MAX,
     "how many sweeps to assess at once (if not given, as many as there are "
     "processors); the results do not depend on it"},
    COMMAND_DIALS(wishes),
    COMMAND_GUARD(wishes),
    COMMAND_OUT(wishes),
    {0},
};

const command assess_command = {
    .name = "assess",
    .brief = "Assess sweeps: the setting, the verdict, and what to do next.",
    .operand = operands,
    .option = options,
    .more = COMMAND_TABLES,
    .statuses = "0 every sweep was assessed, 1 some are unusable and are listed, 2 "
                "nothing was written.",
    .size = sizeof(wishes),
    .run = run,
};
