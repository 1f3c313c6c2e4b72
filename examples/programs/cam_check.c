/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The next pump of a type, checked with few readings by a cam that cam_learn.c has kept.
 */
#include <dialarc.h>
#include <stdio.h>

#include "commands.h"
#include "complain.h"
#include "output.h"
#include "page.h"
#include "report.h"
#include "tables.h"
#include "words.h"

typedef struct wishes {
    const char *cam, *out, *dials;
} wishes;

typedef struct bench {
    const char *who, *table; /* of sweeps */
    const wishes *wishes;
    dialarc_setups *setups;
    dialarc_cams *cams;
    dialarc_workspace *workspace;
    size_t unusable;
    writer page;
} bench;

/* The cam that was asked for, or that of the sweep's engine; NULL after a complaint. */
static const dialarc_cam_record *choose(const bench *b,
                                        const dialarc_sweep_record *record)
{
    size_t index;
    const char *wanted = b->wishes->cam;
    const char *name =
        wanted ? wanted : dialarc_setups_name(b->setups, record->setup_index);
    if (dialarc_cams_find(b->cams, name, &index) == DIALARC_OK)
        return dialarc_cams_get(b->cams, index);
    char why[400];
    snprintf(why, sizeof why, "the table of cams has no cam called %s%s", name,
             wanted ? "" : "; say by --cam which one is meant");
    complain(b->who, record->name, why);
    return NULL;
}

/* Assesses a sweep by a cam of the table and says so on a page. */
static int check(void *job, dialarc_sweep_record *record)
{
    bench *b = job;
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
        return complain(b->who, record->name,
                        "the cam of the table is of a pump with another number of "
                        "lobes");
    if (status >= DIALARC_OK)
        status = dialarc_decision_judge(&record->setup, &timing, &decision);
    if (status < DIALARC_OK)
        return complain(b->who, record->name, dialarc_status_text(status));
    report_head(&b->page, dialarc_setups_name(b->setups, record->setup_index), record);
    report_setting(&b->page, record, &timing, &decision);
    report_reasons(&b->page, tables_name(b->table), record, &timing, &decision);
    if (decision.verdict == DIALARC_VERDICT_UNUSABLE) {
        complain_unusable(b->who, record->name, &timing.findings);
        b->unusable++;
    }
    return DONE;
}

static int fill(output *out, void *job)
{
    bench *b = job;
    b->page = page_writer(out->file);
    if (tables_sweeps(b->who, b->table, b->setups, check, b) != DONE)
        return FAILED;
    words_meanings(&b->page);
    words_cautions(&b->page);
    return b->unusable ? SOME_UNUSABLE : DONE;
}

static dialarc_status use_cams(input *in, void *job, dialarc_error *error)
{
    bench *b = job;
    return dialarc_cams_read(input_read, in, &b->cams, error);
}

static int run(const char *who, const void *wished, char **operand)
{
    bench b = {.who = who, .wishes = wished, .table = operand[2]};
    int result = tables_read(who, operand[0], use_cams, &b);
    if (result == DONE)
        result = tables_setups(who, operand[1], b.wishes->dials, &b.setups);
    b.workspace = dialarc_workspace_new();
    if (result == DONE)
        result = b.workspace ? output_write(who, b.wishes->out, fill, &b)
                             : complain_memory(who);
    dialarc_workspace_free(b.workspace);
    dialarc_setups_free(b.setups);
    dialarc_cams_free(b.cams);
    return result;
}

static const command_operand operands[] = {
    {"CAMS", "table of learned cams"},
    {"SETUPS", "table of engines"},
    {"SWEEPS", "table of dial readings; ten to a sweep are enough"},
    {0},
};

static const command_option options[] = {
    {"cam", "NAME", OPTION_TEXT, offsetof(wishes, cam), 0, 0,
     "which cam to check by (that of the sweep's engine if not given)"},
    COMMAND_DIALS(wishes),
    COMMAND_OUT(wishes),
    {0},
};

const command cam_check_command = {
    .name = "cam check",
    .brief = "Check the next pump of that type with ten readings.",
    .operand = operands,
    .option = options,
    .more = COMMAND_TABLES,
    .statuses = "0 every sweep was assessed, 1 some are unusable and are listed, 2 "
                "nothing was written.",
    .size = sizeof(wishes),
    .run = run,
};
