/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From the sweeps table to the results table, or to a page for a person.
 */
#include <dialarc.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "output.h"
#include "page.h"
#include "report.h"

enum { ALL_ASSESSED = 0, SOME_UNUSABLE = 1, FAILED = 2 };

static const char usage[] =
    "usage: assess_sweeps [--report] [--out FILE] SETUPS SWEEPS\n"
    "  SETUPS    table of engines (CSV), - for standard input\n"
    "  SWEEPS    table of dial readings (CSV), - for standard input\n"
    "  --report  a page for a person instead of the results table\n"
    "  --out     write to FILE instead of standard output\n"
    "exit status: 0 every sweep was assessed, 1 some are unusable, 2 nothing was "
    "written\n";

typedef struct options {
    int report;
    const char *out, *setups, *sweeps;
} options;

/* What the work needs and keeps. */
typedef struct bench {
    const options *options;
    const char *file; /* name of the sweeps table in messages */
    dialarc_setups *setups;
    dialarc_workspace *workspace;
    dialarc_sweep_buffer *buffer;
    FILE *out;
    size_t sweeps, unusable;
} bench;

static int fail(const char *file, const char *text)
{
    fprintf(stderr, "assess_sweeps: %s: %s\n", file, text);
    return FAILED;
}

static int fail_table(const char *file, const dialarc_error *error)
{
    char text[512];
    dialarc_error_text(error, file, text, sizeof text);
    fprintf(stderr, "assess_sweeps: %s\n", text);
    return FAILED;
}

static const char *file_name(const char *path)
{
    return strcmp(path, "-") == 0 ? "standard input" : path;
}

/* 0 when understood, 1 when help was asked for, -1 when not understood. */
static int parse(int argc, char **argv, options *o)
{
    const char *tables[2] = {"", ""};
    int count = 0, literal = 0;
    *o = (options){0};
    for (int i = 1; i < argc; i++) {
        if (!literal && strcmp(argv[i], "--help") == 0)
            return 1;
        if (!literal && strcmp(argv[i], "--") == 0)
            literal = 1;
        else if (!literal && strcmp(argv[i], "--report") == 0)
            o->report = 1;
        else if (!literal && strcmp(argv[i], "--out") == 0 && i + 1 < argc)
            o->out = argv[++i];
        else if (!literal && argv[i][0] == '-' && argv[i][1])
            return -1;
        else if (count < 2)
            tables[count++] = argv[i];
        else
            return -1;
    }
    if (count != 2 || (strcmp(tables[0], "-") == 0 && strcmp(tables[1], "-") == 0))
        return -1;
    o->setups = tables[0];
    o->sweeps = tables[1];
    return 0;
}

/* One line a sweep, with the findings that stop its verdict. */
static void list_unusable(const char *name, const dialarc_findings *findings)
{
    const char *separator = ":";
    fprintf(stderr, "assess_sweeps: unusable: %s", name);
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        if (dialarc_findings_has(findings, (dialarc_finding)k) &&
            findings->severity[k] == DIALARC_SEVERITY_STOP) {
            fprintf(stderr, "%s %s", separator, dialarc_finding_code((dialarc_finding)k));
            separator = ",";
        }
    fputc('\n', stderr);
}

static int assess(bench *b, const dialarc_sweep_record *record)
{
    dialarc_timing timing;
    dialarc_decision decision;
    char row[DIALARC_RESULT_SIZE];
    dialarc_status status = dialarc_timing_estimate(b->workspace, &record->setup,
                                                    &record->sweep, NULL, &timing);
    if (status >= DIALARC_OK)
        status = dialarc_decision_judge(&record->setup, &timing, &decision);
    if (status >= DIALARC_OK)
        status = dialarc_result_format(record->name, &timing, &decision, row, sizeof row,
                                       NULL);
    if (status < DIALARC_OK) {
        fprintf(stderr, "assess_sweeps: sweep %s: %s\n", record->name,
                dialarc_status_text(status));
        return FAILED;
    }
    if (b->options->report)
        report_sweep(b->out, dialarc_setups_name(b->setups, record->setup_index), b->file,
                     record, &timing, &decision);
    else
        fputs(row, b->out);
    if (decision.verdict == DIALARC_VERDICT_UNUSABLE) {
        list_unusable(record->name, &timing.findings);
        b->unusable++;
    }
    b->sweeps++;
    return 0;
}

static int assess_all(bench *b, FILE *table)
{
    dialarc_error error = {0};
    dialarc_sweep_reader *reader = NULL;
    dialarc_sweep_record record = {0};
    int failed = 0;
    dialarc_status status =
        dialarc_sweep_reader_new(dialarc_read_file, table, b->setups, &reader, &error);
    if (!b->options->report)
        fputs(dialarc_results_header(), b->out);
    while (status == DIALARC_OK && !failed) {
        status = dialarc_sweep_reader_next(reader, b->buffer, &record, &error);
        if (status != DIALARC_OK || !record.name)
            break;
        failed = assess(b, &record);
    }
    dialarc_sweep_reader_free(reader);
    if (status != DIALARC_OK)
        return fail_table(b->file, &error);
    if (!failed && b->sweeps == 0)
        return fail(b->file, "the table holds no sweep, only a header");
    if (!failed && b->options->report)
        page_cautions(b->out);
    return failed;
}

static int run(bench *b, FILE *table)
{
    const char *place = b->options->out ? b->options->out : "standard output";
    output out;
    b->workspace = dialarc_workspace_new();
    b->buffer = dialarc_sweep_buffer_new();
    if (!b->workspace || !b->buffer)
        return fail(b->file, dialarc_status_text(DIALARC_ERR_NO_MEMORY));
    if (output_open(&out, b->options->out))
        return fail(place, "cannot be written");
    b->out = out.file;
    int failed = assess_all(b, table);
    if (failed)
        output_discard(&out);
    else if (output_finish(&out))
        failed = fail(place, "cannot be written");
    return failed ? failed : b->unusable ? SOME_UNUSABLE : ALL_ASSESSED;
}

int main(int argc, char **argv)
{
    output_guard();
    options o;
    int understood = parse(argc, argv, &o);
    if (understood) {
        fputs(usage, understood > 0 ? stdout : stderr);
        return understood > 0 ? ALL_ASSESSED : FAILED;
    }
    bench b = {.options = &o, .file = file_name(o.sweeps)};
    dialarc_error error = {0};
    dialarc_status status =
        strcmp(o.setups, "-") == 0
            ? dialarc_setups_read(dialarc_read_file, stdin, &b.setups, &error)
            : dialarc_setups_load(o.setups, &b.setups, &error);
    if (status != DIALARC_OK)
        return fail_table(file_name(o.setups), &error);
    FILE *table = strcmp(o.sweeps, "-") == 0 ? stdin : fopen(o.sweeps, "rb");
    int result = table ? run(&b, table) : fail(b.file, "cannot be opened");
    if (table)
        fclose(table);
    dialarc_sweep_buffer_free(b.buffer);
    dialarc_workspace_free(b.workspace);
    dialarc_setups_free(b.setups);
    return result;
}
