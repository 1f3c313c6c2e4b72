/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A cam learned from one full sweep, kept in a table, and used again for a quick check of
 * the next pump of its type.
 */
#include <dialarc.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "output.h"
#include "page.h"
#include "program.h"
#include "report.h"
#include "tables.h"

#define POINTS 240 /* of a lobe in the table */

static const char program[] = "reuse_cam";

static const char usage[] =
    "usage: reuse_cam learn SETUPS SWEEPS CAMS\n"
    "       reuse_cam check [--cam NAME] [--out FILE] CAMS SETUPS SWEEPS\n"
    "  learn   learns the cam of each sweep, which goes forward and back over a whole\n"
    "          lobe, and writes them to CAMS (- for standard output)\n"
    "  check   a page about each sweep, for which ten readings do, by a cam of CAMS\n"
    "  SETUPS  table of engines (CSV)\n"
    "  SWEEPS  table of dial readings (CSV)\n"
    "  CAMS    table of learned cams (CSV). A cam is called like its engine or, where\n"
    "          several sweeps of an engine were learned from, like its sweep\n"
    "  --cam   which cam to check by; that of the sweep's engine when not given\n"
    "  --out   write to FILE instead of standard output\n"
    "A table that is read may be - for standard input, and compressed by gzip.\n"
    "exit status: 0 done, 1 some sweeps could not be used, 2 nothing was written\n";

typedef struct options {
    int learn;
    const char *cam, *out;
    const char *cams, *setups, *sweeps;
} options;

/* A cam, and what it was learned from. */
typedef struct learned {
    const dialarc_sweep_record *from;
    const char *name;
    double pump_deg[POINTS], lift_mm[POINTS];
    double total_mm, sd_mm;
} learned;

typedef struct bench {
    const options *options;
    dialarc_setups *setups;
    dialarc_sweeps *sweeps; /* to learn from */
    dialarc_cams *cams;     /* to check by */
    dialarc_workspace *workspace;
    learned *learned;
    size_t count; /* of them */
    size_t checked, unusable;
    int failed; /* the reason has been told */
    FILE *out;
} bench;

static int no_memory(void)
{
    return program_fail(program, "memory", dialarc_status_text(DIALARC_ERR_NO_MEMORY));
}

static int fail_output(const char *path)
{
    return program_fail(program, path ? path : "standard output", "cannot be written");
}

/* ---- learning --------------------------------------------------------------- */

/* Why no cam can be learned from a sweep: one line on standard error. */
static void refuse(bench *b, const char *name, const char *why)
{
    fprintf(stderr, "reuse_cam: no cam learned from %s: %s\n", name, why);
    b->unusable++;
}

/* Whether the sweep shows the whole lobe both ways, or a complaint. */
static int is_whole(bench *b, const char *name, const dialarc_timing *t)
{
    double with = 0.0, against = 0.0;
    char why[200];
    dialarc_status status = dialarc_reuse_share(b->workspace, t, &with, &against);
    if (status == DIALARC_OK && with >= DIALARC_REUSE_WHOLE &&
        against >= DIALARC_REUSE_WHOLE)
        return 1;
    snprintf(why, sizeof why,
             "it goes over %.0f %% of a lobe forward and %.0f %% back; go over the whole "
             "lobe both ways, each in one go",
             100.0 * with, 100.0 * against);
    refuse(b, name, status == DIALARC_OK ? why : dialarc_status_text(status));
    return 0;
}

/* Whether the estimate is one to learn from, or a complaint. */
static int is_good(bench *b, const char *name, dialarc_status status,
                   const dialarc_timing *t)
{
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        if (dialarc_findings_has(&t->findings, (dialarc_finding)k) &&
            t->findings.severity[k] == DIALARC_SEVERITY_STOP) {
            refuse(b, name, dialarc_finding_text((dialarc_finding)k));
            return 0;
        }
    if (status != DIALARC_OK || !t->cam_learned) {
        refuse(b, name,
               status != DIALARC_OK
                   ? dialarc_status_text(status)
                   : "the table of engines gives the cam of its engine already");
        return 0;
    }
    return is_whole(b, name, t);
}

static int learn_from(bench *b, const dialarc_sweep_record *record)
{
    dialarc_timing t;
    learned *made = &b->learned[b->count];
    dialarc_status status =
        dialarc_timing_estimate(b->workspace, &record->setup, &record->sweep, NULL, &t);
    if (status < DIALARC_OK)
        return program_fail(program, record->name, dialarc_status_text(status));
    if (!is_good(b, record->name, status, &t))
        return DONE;
    status = dialarc_reuse_sd(&t, &made->sd_mm);
    if (status == DIALARC_OK)
        status = dialarc_reuse_lobe(b->workspace, POINTS, made->pump_deg, made->lift_mm);
    if (status != DIALARC_OK)
        return program_fail(program, record->name, dialarc_status_text(status));
    made->from = record;
    made->total_mm = t.total_lift_mm;
    b->count++;
    return DONE;
}

/* The engine, or the sweep where the engine has several; each name once. */
static int name_cams(bench *b)
{
    for (size_t i = 0; i < b->count; i++) {
        size_t engine = b->learned[i].from->setup_index, alike = 0;
        for (size_t k = 0; k < b->count; k++)
            alike += b->learned[k].from->setup_index == engine;
        b->learned[i].name = alike == 1 ? dialarc_setups_name(b->setups, engine)
                                        : b->learned[i].from->name;
        for (size_t k = 0; k < i; k++)
            if (strcmp(b->learned[k].name, b->learned[i].name) == 0)
                return program_fail(program, b->learned[i].name,
                                    "an engine and a sweep have the same name, and two "
                                    "cams would");
    }
    return DONE;
}

static int write_cams(bench *b, const char *path)
{
    output out;
    char *rows = malloc((size_t)POINTS * DIALARC_CAM_ROW_SIZE);
    dialarc_status status = rows ? DIALARC_OK : DIALARC_ERR_NO_MEMORY;
    if (output_open(&out, path)) {
        free(rows);
        return fail_output(path);
    }
    fputs(dialarc_cams_header(), out.file);
    for (size_t i = 0; i < b->count && status == DIALARC_OK; i++) {
        const learned *l = &b->learned[i];
        status = dialarc_cam_format(l->name, POINTS, l->pump_deg, l->lift_mm,
                                    360.0 / l->from->setup.lobes, l->sd_mm, rows,
                                    (size_t)POINTS * DIALARC_CAM_ROW_SIZE, NULL);
        if (status == DIALARC_OK)
            fputs(rows, out.file);
    }
    free(rows);
    if (status == DIALARC_OK)
        return output_finish(&out) ? fail_output(path) : DONE;
    output_discard(&out);
    return program_fail(program, path ? path : "standard output",
                        dialarc_status_text(status));
}

static void say_learned(const bench *b)
{
    for (size_t i = 0; i < b->count; i++) {
        const learned *l = &b->learned[i];
        page_say(stdout, "",
                 "Cam %s, learned from the sweep %s: total lift %.2f mm; near TDC its "
                 "lift is known within %.3f mm, 95 times in 100.",
                 l->name, l->from->name, l->total_mm, 1.96 * l->sd_mm);
    }
}

static dialarc_status use_sweeps(input *in, void *context, dialarc_error *error)
{
    bench *b = context;
    return dialarc_sweeps_read(input_read, in, b->setups, &b->sweeps, error);
}

static int learn(bench *b)
{
    const options *o = b->options;
    const char *path = strcmp(o->cams, "-") == 0 ? NULL : o->cams;
    int result = tables_read(program, o->sweeps, use_sweeps, b);
    size_t n = dialarc_sweeps_count(b->sweeps);
    if (result == DONE && n == 0)
        return program_fail(program, program_table_name(o->sweeps),
                            "the table holds no sweep, only a header");
    b->learned = result == DONE ? malloc(n * sizeof *b->learned) : NULL;
    if (result == DONE && !b->learned)
        return no_memory();
    for (size_t i = 0; i < n && result == DONE; i++)
        result = learn_from(b, dialarc_sweeps_get(b->sweeps, i));
    if (result == DONE && b->count == 0)
        return program_fail(program, program_table_name(o->sweeps),
                            "no cam could be learned from its sweeps");
    if (result == DONE)
        result = name_cams(b);
    if (result == DONE)
        result = write_cams(b, path);
    if (result == DONE && path)
        say_learned(b);
    return result;
}

/* ---- checking --------------------------------------------------------------- */

/* The cam that was asked for, or that of the sweep's engine; NULL after a complaint. */
static const dialarc_cam_record *choose(const bench *b,
                                        const dialarc_sweep_record *record)
{
    size_t index;
    const char *wanted = b->options->cam;
    const char *name =
        wanted ? wanted : dialarc_setups_name(b->setups, record->setup_index);
    if (dialarc_cams_find(b->cams, name, &index) == DIALARC_OK)
        return dialarc_cams_get(b->cams, index);
    char why[400];
    snprintf(why, sizeof why, "the table of cams has no cam called %s%s", name,
             wanted ? "" : "; say by --cam which one is meant");
    program_fail(program, record->name, why);
    return NULL;
}

/* Assesses a sweep by a cam of the table and says so on a page. */
static int check_one(bench *b, dialarc_sweep_record *record)
{
    dialarc_timing timing;
    dialarc_decision decision;
    const dialarc_cam_record *cam = choose(b, record);
    if (!cam)
        return FAILED;
    record->setup.cam_law = DIALARC_LAW_UNKNOWN; /* the cam of the table stands for it */
    dialarc_status status =
        dialarc_reuse_estimate(b->workspace, &record->setup, cam->table, cam->cam_sd_mm,
                               &record->sweep, NULL, &timing);
    if (status == DIALARC_ERR_SEGMENTS)
        return program_fail(program, record->name,
                            "the cam of the table is of a pump with another number of "
                            "lobes");
    if (status >= DIALARC_OK)
        status = dialarc_decision_judge(&record->setup, &timing, &decision);
    if (status < DIALARC_OK)
        return program_fail(program, record->name, dialarc_status_text(status));
    report_sweep(b->out, dialarc_setups_name(b->setups, record->setup_index),
                 program_table_name(b->options->sweeps), record, &timing, &decision);
    if (decision.verdict == DIALARC_VERDICT_UNUSABLE) {
        program_unusable(program, record->name, &timing.findings);
        b->unusable++;
    }
    b->checked++;
    return DONE;
}

static dialarc_status check_all(input *in, void *context, dialarc_error *error)
{
    bench *b = context;
    dialarc_sweep_reader *reader = NULL;
    dialarc_sweep_record record = {0};
    dialarc_sweep_buffer *buffer = dialarc_sweep_buffer_new();
    b->failed = buffer ? DONE : no_memory();
    dialarc_status status =
        dialarc_sweep_reader_new(input_read, in, b->setups, &reader, error);
    while (status == DIALARC_OK && !b->failed) {
        status = dialarc_sweep_reader_next(reader, buffer, &record, error);
        if (status != DIALARC_OK || !record.name)
            break;
        b->failed = check_one(b, &record);
    }
    dialarc_sweep_reader_free(reader);
    dialarc_sweep_buffer_free(buffer);
    return status;
}

static dialarc_status use_cams(input *in, void *context, dialarc_error *error)
{
    bench *b = context;
    return dialarc_cams_read(input_read, in, &b->cams, error);
}

static int check(bench *b)
{
    output out;
    const options *o = b->options;
    int result = tables_read(program, o->cams, use_cams, b);
    if (result != DONE)
        return result;
    if (output_open(&out, o->out))
        return fail_output(o->out);
    b->out = out.file;
    result = tables_read(program, o->sweeps, check_all, b);
    result = result == DONE ? b->failed : result;
    if (result == DONE && b->checked == 0)
        result = program_fail(program, program_table_name(o->sweeps),
                              "the table holds no sweep, only a header");
    if (result != DONE) {
        output_discard(&out);
        return result;
    }
    page_words(b->out);
    page_cautions(b->out);
    return output_finish(&out) ? fail_output(o->out) : DONE;
}

/* ---- the command line ------------------------------------------------------- */

static int is_stream(const char *path)
{
    return strcmp(path, "-") == 0;
}

/* 0 when understood, 1 when help was asked for, -1 when not understood. */
static int parse(int argc, char **argv, options *o)
{
    const char *table[3] = {NULL, NULL, NULL};
    int count = 0, literal = 0;
    *o = (options){0};
    if (argc > 1 && strcmp(argv[1], "--help") == 0)
        return 1;
    o->learn = argc > 1 && strcmp(argv[1], "learn") == 0;
    if (argc < 2 || (!o->learn && strcmp(argv[1], "check") != 0))
        return -1;
    for (int i = 2; i < argc; i++) {
        const char *word = literal ? "" : argv[i];
        if (strcmp(word, "--help") == 0)
            return 1;
        if (strcmp(word, "--") == 0)
            literal = 1;
        else if (!o->learn && strcmp(word, "--cam") == 0 && i + 1 < argc)
            o->cam = argv[++i];
        else if (!o->learn && strcmp(word, "--out") == 0 && i + 1 < argc)
            o->out = argv[++i];
        else if ((word[0] == '-' && word[1]) || count == 3)
            return -1;
        else
            table[count++] = argv[i];
    }
    if (count < 3)
        return -1;
    o->cams = table[o->learn ? 2 : 0];
    o->setups = table[o->learn ? 0 : 1];
    o->sweeps = table[o->learn ? 1 : 2];
    int streams = is_stream(o->setups) + is_stream(o->sweeps);
    return streams + (!o->learn && is_stream(o->cams)) > 1 ? -1 : 0;
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
    bench b = {.options = &o, .workspace = dialarc_workspace_new()};
    int result = b.workspace ? tables_setups(program, o.setups, &b.setups) : no_memory();
    if (result == DONE)
        result = o.learn ? learn(&b) : check(&b);
    free(b.learned);
    dialarc_workspace_free(b.workspace);
    dialarc_cams_free(b.cams);
    dialarc_sweeps_free(b.sweeps);
    dialarc_setups_free(b.setups);
    return result ? result : b.unusable ? SOME_UNUSABLE : DONE;
}
