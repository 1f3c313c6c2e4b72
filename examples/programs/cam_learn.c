/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Cams learned from full sweeps and kept in a table, for cam_check.c.
 */
#include <dialarc.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "output.h"
#include "page.h"
#include "shown.h"
#include "tables.h"

#define POINTS 240 /* of a lobe in the table */

typedef struct wishes {
    const char *out, *dials;
} wishes;

/* A cam, and what it was learned from. */
typedef struct learned {
    const dialarc_sweep_record *from;
    const char *name;
    double pump_deg[POINTS], lift_mm[POINTS];
    double total_mm, sd_mm;
} learned;

typedef struct bench {
    const char *who;
    dialarc_setups *setups;
    dialarc_sweeps *sweeps;
    dialarc_workspace *workspace;
    learned *learned;
    size_t count; /* of them */
    size_t unusable;
} bench;

/* Why no cam can be learned from a sweep: one line on standard error. */
static void refuse(bench *b, const char *name, const char *why)
{
    char safe[SHOWN_SIZE];
    fprintf(stderr, "dialarc %s: no cam learned from %s: %s\n", b->who,
            shown(name, safe, sizeof safe), why);
    b->unusable++;
}

/* Whether the sweep shows the whole lobe both ways, or a complaint. */
static int is_whole(bench *b, const char *name, const dialarc_learned_cam *cam)
{
    double with = 0.0, against = 0.0;
    char why[200];
    dialarc_learned_cam_share(cam, &with, &against);
    if (with >= DIALARC_LEARNED_CAM_WHOLE && against >= DIALARC_LEARNED_CAM_WHOLE)
        return 1;
    snprintf(why, sizeof why,
             "it goes over %.0f %% of a lobe forward and %.0f %% back; go over the whole "
             "lobe both ways, each in one go",
             100.0 * with, 100.0 * against);
    refuse(b, name, why);
    return 0;
}

/* Whether the estimate is one to learn from, or a complaint. */
static int is_good(bench *b, const char *name, dialarc_status status,
                   const dialarc_timing *t, const dialarc_learned_cam *cam)
{
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        if (dialarc_findings_has(&t->findings, (dialarc_finding)k) &&
            t->findings.severity[k] == DIALARC_SEVERITY_STOP) {
            refuse(b, name, dialarc_finding_text((dialarc_finding)k));
            return 0;
        }
    if (status != DIALARC_OK || !cam) {
        refuse(b, name,
               status != DIALARC_OK
                   ? dialarc_status_text(status)
                   : "the table of engines gives the cam of its engine already");
        return 0;
    }
    return is_whole(b, name, cam);
}

static int keep(bench *b, const dialarc_sweep_record *record, const dialarc_timing *t,
                const dialarc_learned_cam *cam)
{
    learned *made = &b->learned[b->count];
    dialarc_status status = dialarc_learned_cam_sd(cam, &made->sd_mm);
    if (status == DIALARC_OK)
        status = dialarc_learned_cam_lobe(cam, POINTS, made->pump_deg, made->lift_mm);
    if (status != DIALARC_OK)
        return complain(b->who, record->name, dialarc_status_text(status));
    made->from = record;
    made->total_mm = t->total_lift_mm;
    b->count++;
    return DONE;
}

static int learn_from(bench *b, const dialarc_sweep_record *record)
{
    dialarc_timing t;
    dialarc_learned_cam *cam = NULL;
    int result = DONE;
    dialarc_status status =
        dialarc_learned_cam_new(b->workspace, &record->setup, &record->sweep, &cam);
    if (status == DIALARC_ERR_NO_SOLUTION) /* the findings say why */
        status = dialarc_timing_estimate(b->workspace, &record->setup, &record->sweep,
                                         NULL, &t);
    if (status < DIALARC_OK)
        return complain(b->who, record->name, dialarc_status_text(status));
    if (cam)
        dialarc_learned_cam_timing(cam, &t);
    if (is_good(b, record->name, status, &t, cam))
        result = keep(b, record, &t, cam);
    dialarc_learned_cam_free(cam);
    return result;
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
                return complain(b->who, b->learned[i].name,
                                "an engine and a sweep have the same name, and two "
                                "cams would");
    }
    return DONE;
}

static int fill(output *out, void *job)
{
    const bench *b = job;
    size_t size = (size_t)POINTS * DIALARC_CAM_ROW_SIZE;
    char *rows = malloc(size);
    dialarc_status status = rows ? DIALARC_OK : DIALARC_ERR_NO_MEMORY;
    fputs(dialarc_cams_header(), out->file);
    for (size_t i = 0; i < b->count && status == DIALARC_OK; i++) {
        const learned *l = &b->learned[i];
        status =
            dialarc_cam_format(l->name, POINTS, l->pump_deg, l->lift_mm,
                               360.0 / l->from->setup.lobes, l->sd_mm, rows, size, NULL);
        if (status == DIALARC_OK)
            fputs(rows, out->file);
    }
    free(rows);
    return status == DIALARC_OK ? DONE
                                : complain(b->who, "cams", dialarc_status_text(status));
}

/* What the table in a file now holds. */
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

static dialarc_status use_sweeps(input *in, void *job, dialarc_error *error)
{
    bench *b = job;
    return dialarc_sweeps_read(input_read, in, b->setups, &b->sweeps, error);
}

static int learn(bench *b, const char *table)
{
    size_t n = dialarc_sweeps_count(b->sweeps);
    if (n == 0)
        return tables_no_sweep(b->who, table);
    b->workspace = dialarc_workspace_new();
    b->learned = malloc(n * sizeof *b->learned);
    if (!b->workspace || !b->learned)
        return complain_memory(b->who);
    for (size_t i = 0; i < n; i++)
        if (learn_from(b, dialarc_sweeps_get(b->sweeps, i)) != DONE)
            return FAILED;
    return b->count ? name_cams(b)
                    : complain(b->who, tables_name(table),
                               "no cam could be learned from its sweeps");
}

static int run(const char *who, const void *wished, char **operand)
{
    const wishes *w = wished;
    bench b = {.who = who};
    int result = tables_setups(who, operand[0], w->dials, &b.setups);
    if (result == DONE)
        result = tables_read(who, operand[1], use_sweeps, &b);
    if (result == DONE)
        result = learn(&b, operand[1]);
    if (result == DONE)
        result = output_write(who, w->out, fill, &b);
    if (result == DONE && w->out)
        say_learned(&b);
    free(b.learned);
    dialarc_workspace_free(b.workspace);
    dialarc_sweeps_free(b.sweeps);
    dialarc_setups_free(b.setups);
    return result == DONE && b.unusable ? SOME_UNUSABLE : result;
}

static const command_operand operands[] = {
    {"SETUPS", "table of engines"},
    {"SWEEPS", "table of dial readings that go forward and back over a whole lobe"},
    {0},
};

static const command_option options[] = {
    COMMAND_DIALS(wishes),
    {"out", "CAMS", OPTION_TEXT, offsetof(wishes, out), 0, 0,
     "write the table of cams to CAMS instead of standard output, and say what it holds"},
    {0},
};

const command cam_learn_command = {
    .name = "cam learn",
    .brief = "Learn the cam of a pump from a full sweep, and keep it.",
    .operand = operands,
    .option = options,
    .more = "A cam is named after its engine or, where an engine has several sweeps, "
            "after the sweep. " COMMAND_TABLES,
    .statuses = "0 a cam was learned from every sweep, 1 some sweeps could not be used "
                "and are listed, 2 nothing was written.",
    .size = sizeof(wishes),
    .run = run,
};
