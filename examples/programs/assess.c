/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From the sweeps table to the results table, or to a page for a person.
 */
#include <dialarc.h>
#include <errno.h>
#include <stdio.h>

#include "commands.h"
#include "complain.h"
#include "csv.h"
#include "input.h"
#include "output.h"
#include "page.h"
#include "progress.h"
#include "report.h"
#include "tables.h"
#include "together.h"
#include "words.h"

typedef struct wishes {
    int report, threads, guard, together;
    const char *out, *dials;
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
    writer page; /* for a person, where one is wanted */
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

static void write_report(bench *b, const dialarc_sweep_record *record,
                         const dialarc_timing *timing, const dialarc_decision *decision)
{
    const char *engine = dialarc_setups_name(b->setups, record->setup_index);
    report_setting(&b->page, engine, record, timing, decision);
    report_reasons(&b->page, tables_name(b->table), record, timing, decision);
}

/* Sweeps that are taken together are told of at the end. */
static void write_sweep(bench *b, const dialarc_streamed *it)
{
    const dialarc_sweep_record *record = it->record;
    if (b->wishes->together)
        return;
    if (b->wishes->report)
        write_report(b, record, &it->result->timing, &it->result->decision);
    else
        write_row(b, record->name, it->row, it->row_length);
}

/* Takes one sweep from the stream; the work stops when there is no sense in going on. */
static int take(void *context, const dialarc_streamed *it)
{
    bench *b = context;
    const dialarc_sweep_record *record = it->record;
    const dialarc_batch_result *result = it->result;
    if (result->status < DIALARC_OK) {
        progress_wipe(&b->progress);
        complain(b->who, record->name, dialarc_status_text(result->status));
        b->failed = 1;
        return 1;
    }
    if (result->decision.verdict != DIALARC_VERDICT_UNUSABLE &&
        together_add(&b->together, record->setup_index, &result->timing) != 0) {
        progress_wipe(&b->progress);
        complain_memory(b->who);
        b->failed = 1;
        return 1;
    }
    write_sweep(b, it);
    if (ferror(b->out->file)) {
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
    report_joint_setting(&b->page, dialarc_setups_name(b->setups, engine), setup, joint,
                         timing, decision);
    report_joint_reasons(&b->page, setup, b->together.engine[engine].look, joint, timing);
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
        if (status == DIALARC_OK && !b->wishes->report)
            status =
                dialarc_result_format(name, &timing, &decision, row, sizeof row, &length);
        if (status != DIALARC_OK)
            return complain(b->who, name, dialarc_status_text(status));
        if (b->wishes->report)
            write_joint(b, i, &joint, &timing, &decision);
        else
            write_row(b, name, row, length);
    }
    return DONE;
}

static int fill(output *out, void *job)
{
    bench *b = job;
    dialarc_error error[DIALARC_ERRORS_MAX] = {{.room = DIALARC_ERRORS_MAX}};
    b->out = out;
    b->page = page_writer(out->file);
    if (!b->wishes->report)
        fputs(dialarc_results_header(), out->file);
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
        together_tell(&b->together, b->who, b->wishes->report ? &b->page : NULL);
    }
    if (b->wishes->report) {
        words_meanings(&b->page);
        words_cautions(&b->page);
    }
    return b->unusable ? SOME_UNUSABLE : DONE;
}

static int run(const char *who, const void *wished, char **operand)
{
    bench b = {.who = who, .wishes = wished, .table = operand[1]};
    int result = tables_setups(who, operand[0], b.wishes->dials, &b.setups);
    if (result == DONE && together_begin(&b.together, b.setups, b.wishes->together) != 0)
        result = complain_memory(who);
    if (result == DONE) {
        result = input_open(&b.in, b.table)
                     ? complain(who, tables_name(b.table), b.in.fault)
                     : output_write(who, b.wishes->out, fill, &b);
        input_close(&b.in);
    }
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
