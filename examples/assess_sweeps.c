/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From the sweeps table to the results table, or to a page for a person.
 */
#include <dialarc.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "input.h"
#include "output.h"
#include "page.h"
#include "program.h"
#include "progress.h"
#include "report.h"
#include "tables.h"

static const char program[] = "assess_sweeps";

static const char usage[] =
    "usage: assess_sweeps [--report] [--threads N] [--out FILE] SETUPS SWEEPS\n"
    "  SETUPS     table of engines (CSV), - for standard input\n"
    "  SWEEPS     table of dial readings (CSV), - for standard input; of any length\n"
    "  --report   a page for a person instead of the results table\n"
    "  --threads  how many sweeps are assessed at once; as many as there are processors\n"
    "             when not given. The results do not depend on it\n"
    "  --out      write to FILE instead of standard output\n"
    "Tables may be compressed by gzip. Results appear as a whole at the end.\n"
    "exit status: 0 every sweep was assessed, 1 some are unusable, 2 nothing was "
    "written\n";

typedef struct options {
    int report;
    size_t threads;
    const char *out, *setups, *sweeps;
} options;

/* What the work needs and keeps. */
typedef struct bench {
    const options *options;
    const char *file; /* name of the sweeps table in messages */
    dialarc_setups *setups;
    input in;
    progress progress;
    FILE *out;
    size_t rows, sweeps, unusable;
    int failed;      /* the reason has been told */
    int write_error; /* errno */
} bench;

static int fail_output(const bench *b, const output *out)
{
    char text[200];
    int error = b->write_error ? b->write_error : out->error;
    const char *place = b->options->out;
    snprintf(text, sizeof text, "cannot be written%s%s%s",
             out->staging ? ": temporary file" : "", error ? ": " : "",
             error ? strerror(error) : "");
    return program_fail(program, place ? place : "standard output", text);
}

/* A number of threads from 1 to DIALARC_THREADS_MAX; 0 when it is none. */
static size_t parse_threads(const char *text)
{
    char *end;
    errno = 0;
    unsigned long number = strtoul(text, &end, 10);
    int whole = text[0] >= '0' && text[0] <= '9' && !*end && !errno;
    return whole && number <= DIALARC_THREADS_MAX ? number : 0;
}

/* 0 when understood, 1 when help was asked for, -1 when not understood. */
static int parse(int argc, char **argv, options *o)
{
    const char *tables[2] = {NULL, NULL};
    int count = 0, literal = 0;
    *o = (options){0};
    for (int i = 1; i < argc; i++) {
        const char *word = literal ? "" : argv[i];
        if (strcmp(word, "--help") == 0)
            return 1;
        if (strcmp(word, "--") == 0)
            literal = 1;
        else if (strcmp(word, "--report") == 0)
            o->report = 1;
        else if (strcmp(word, "--out") == 0 && i + 1 < argc)
            o->out = argv[++i];
        else if (strcmp(word, "--threads") == 0 && i + 1 < argc) {
            o->threads = parse_threads(argv[++i]);
            if (o->threads == 0)
                return -1;
        } else if (word[0] == '-' && word[1])
            return -1;
        else if (count < 2)
            tables[count++] = argv[i];
        else
            return -1;
    }
    if (!program_two_tables(tables[0], tables[1]))
        return -1;
    o->setups = tables[0];
    o->sweeps = tables[1];
    return 0;
}

/* Takes one sweep from the stream; the work stops when there is no sense in going on. */
static int take(void *context, const dialarc_streamed *it)
{
    bench *b = context;
    const dialarc_sweep_record *record = it->record;
    const dialarc_batch_result *result = it->result;
    if (result->status < DIALARC_OK) {
        progress_wipe(&b->progress);
        program_fail(program, record->name, dialarc_status_text(result->status));
        b->failed = 1;
        return 1;
    }
    if (b->options->report)
        report_sweep(b->out, dialarc_setups_name(b->setups, record->setup_index), b->file,
                     record, &result->timing, &result->decision);
    else
        fwrite(it->row, 1, it->row_length, b->out);
    if (ferror(b->out)) {
        b->write_error = errno;
        return 1;
    }
    if (result->decision.verdict == DIALARC_VERDICT_UNUSABLE) {
        progress_wipe(&b->progress);
        program_unusable(program, record->name, &result->timing.findings);
        b->unusable++;
    }
    b->sweeps++;
    b->rows += record->sweep.n;
    progress_tell(&b->progress, b->rows, b->sweeps, input_share(&b->in));
    return 0;
}

static int assess_all(bench *b)
{
    dialarc_error error = {0};
    if (!b->options->report)
        fputs(dialarc_results_header(), b->out);
    progress_begin(&b->progress);
    dialarc_status status = dialarc_stream_assess(input_read, &b->in, b->setups,
                                                  b->options->threads, take, b, &error);
    progress_wipe(&b->progress);
    if (b->failed)
        return FAILED;
    if (status != DIALARC_OK && status != DIALARC_ERR_CANCELLED)
        return tables_fail(program, b->options->sweeps, &b->in, &error);
    if (status == DIALARC_OK && b->sweeps == 0)
        return program_fail(program, b->file, "the table holds no sweep, only a header");
    if (b->options->report) {
        page_words(b->out);
        page_cautions(b->out);
    }
    return 0;
}

static int run(bench *b)
{
    output out;
    if (output_open(&out, b->options->out))
        return fail_output(b, &out);
    b->out = out.file;
    int failed = assess_all(b);
    if (failed)
        output_discard(&out);
    else if (output_finish(&out)) /* also where writing has failed on the way */
        failed = fail_output(b, &out);
    return failed ? failed : b->unusable ? SOME_UNUSABLE : DONE;
}

int main(int argc, char **argv)
{
    output_guard();
    options o;
    int understood = parse(argc, argv, &o);
    if (understood) {
        fputs(usage, understood > 0 ? stdout : stderr);
        return understood > 0 ? DONE : FAILED;
    }
    bench b = {.options = &o, .file = program_table_name(o.sweeps)};
    int result = tables_setups(program, o.setups, &b.setups);
    if (!result) {
        result = input_open(&b.in, o.sweeps) ? program_fail(program, b.file, b.in.fault)
                                             : run(&b);
        input_close(&b.in);
    }
    dialarc_setups_free(b.setups);
    return result;
}
