/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whole-turn sweeps: every lobe of the pump beside the first, as a table or for a person.
 */
#include <dialarc.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "csv.h"
#include "lobes_page.h"
#include "output.h"
#include "page.h"
#include "tables.h"
#include "words.h"

typedef struct wishes {
    int csv, guard;
    const char *order, *out, *dials, *page;
} wishes;

typedef struct bench {
    const char *who, *table;
    const wishes *wishes;
    int cylinders; /* in the firing order; 0: none given */
    int order[DIALARC_LOBES_MAX];
    dialarc_setups *setups;
    dialarc_workspace *workspace;
    FILE *out;
    writer *text; /* for a person: one of these two, or neither */
    sheet *sheet;
    size_t unusable;
} bench;

/* "1-3-4-2" into numbers; 0 when it is such a list. */
static int read_order(const char *text, bench *b)
{
    char *end;
    for (b->cylinders = 0; b->cylinders < DIALARC_LOBES_MAX; text = end + 1) {
        long number = strtol(text, &end, 10);
        if (end == text || number < 1 || number > DIALARC_LOBES_MAX)
            return -1;
        b->order[b->cylinders++] = (int)number;
        if (*end == '\0')
            return 0;
        if (*end != '-')
            return -1;
    }
    return -1;
}

/* Cylinders of the lobes, or zeros when no order was given. */
static dialarc_status cylinders_of(const bench *b, const dialarc_setup *setup,
                                   int *cylinder)
{
    memset(cylinder, 0, DIALARC_LOBES_MAX * sizeof cylinder[0]);
    if (b->cylinders == 0)
        return DIALARC_OK;
    if (b->cylinders != setup->lobes)
        return DIALARC_ERR_FIRING_ORDER;
    return dialarc_lobes_assign(setup->lobes, b->order, b->order[0], setup->rotation,
                                cylinder, NULL);
}

static void say_csv(FILE *out, int guard, const lobes_found *it)
{
    for (int k = 0; k < it->lobes->lobes && lobes_are_compared(it->lobes); k++) {
        const dialarc_lobe *lobe = &it->lobes->lobe[k];
        csv_text(out, it->record->name, guard);
        fprintf(out, ",%d,", k + 1);
        if (it->cylinder[k])
            fprintf(out, "%d", it->cylinder[k]);
        fprintf(out, ",%.4f,%.4f,%.5f,%.5f,%.5f,%.5f\n", lobe->advance_crank_deg,
                lobe->advance_u_crank_deg, lobe->lift_mm, lobe->lift_error_mm,
                lobe->lift_error_u_mm, lobe->run_out_mm);
    }
}

static int compare(void *job, dialarc_sweep_record *record)
{
    bench *b = job;
    dialarc_lobes lobes;
    lobes_found found = {.engine = dialarc_setups_name(b->setups, record->setup_index),
                         .file = tables_name(b->table),
                         .record = record,
                         .lobes = &lobes};
    dialarc_status status = cylinders_of(b, &record->setup, found.cylinder);
    if (status >= DIALARC_OK)
        status = dialarc_lobes_estimate(b->workspace, &record->setup, &record->sweep,
                                        NULL, &lobes);
    if (status < DIALARC_OK)
        return complain(b->who, record->name, dialarc_status_text(status));
    if (b->sheet)
        lobes_sheet(b->sheet, &found);
    else if (b->text)
        lobes_text(b->text, &found);
    else
        say_csv(b->out, b->wishes->guard, &found);
    if (!lobes_are_compared(&lobes)) {
        complain_unusable(b->who, record->name, &lobes.findings);
        b->unusable++;
    }
    return DONE;
}

static int compare_all(bench *b, writer *page)
{
    if (tables_sweeps(b->who, b->table, b->setups, compare, b) != DONE)
        return FAILED;
    if (page) {
        words_meanings(page);
        words_cautions(page);
    }
    return b->unusable ? SOME_UNUSABLE : DONE;
}

static int fill(output *out, void *job)
{
    bench *b = job;
    writer text = page_writer(out->file);
    b->out = out->file;
    if (b->wishes->csv)
        fputs("sweep,lobe,cylinder,advance_crank_deg,advance_u_crank_deg,lift_mm,"
              "lift_error_mm,lift_error_u_mm,run_out_mm\n",
              b->out);
    else
        b->text = &text;
    return compare_all(b, b->text);
}

static int fill_html(output *out, void *job)
{
    bench *b = job;
    sheet page;
    int begun = sheet_begin(&page, "dialarc: the lobes of the injection pump",
                            lobes_columns) == 0,
        result = DONE;
    b->sheet = &page;
    if (begun)
        result = compare_all(b, &page.page);
    if (!begun || (result != FAILED && sheet_write(&page, out->file) != 0))
        result = complain(b->who, "temporary file", strerror(errno));
    sheet_end(&page);
    return result;
}

static int run(const char *who, const void *wished, char **operand)
{
    bench b = {.who = who, .wishes = wished, .table = operand[1]};
    const wishes *w = wished;
    const char *order = w->order;
    if (w->page && (w->csv || w->out || w->guard))
        return complain(who, "--page",
                        "goes with neither --csv nor --out nor --for-spreadsheet");
    if (order && read_order(order, &b))
        return complain(who, order, "is no firing order; write it as --order 1-3-4-2");
    int result = tables_setups(who, operand[0], w->dials, &b.setups);
    b.workspace = dialarc_workspace_new();
    if (result == DONE && !b.workspace)
        result = complain_memory(who);
    if (result == DONE)
        result = w->page ? output_write(who, w->page, fill_html, &b)
                         : output_write(who, w->out, fill, &b);
    dialarc_workspace_free(b.workspace);
    dialarc_setups_free(b.setups);
    return result;
}

static const command_operand operands[] = {
    {"SETUPS", "table of engines"},
    {"SWEEPS", "table of dial readings over whole pump turns"},
    {0},
};

static const command_option options[] = {
    {"order", "ORDER", OPTION_TEXT, offsetof(wishes, order), 0, 0,
     "firing order, such as 1-3-4-2, beginning with the timed cylinder; tells which "
     "cylinder each lobe serves"},
    {"csv", NULL, OPTION_FLAG, offsetof(wishes, csv), 0, 0,
     "a table for other programs instead of the page"},
    {"page", "FILE", OPTION_TEXT, offsetof(wishes, page), 0, 0,
     "the same page with pictures as one HTML file: an A4 sheet a sweep"},
    COMMAND_DIALS(wishes),
    COMMAND_GUARD(wishes),
    COMMAND_OUT(wishes),
    {0},
};

const command lobes_command = {
    .name = "lobes",
    .brief = "Compare the lobes of a pump, from sweeps over a whole turn.",
    .operand = operands,
    .option = options,
    .more = COMMAND_TABLES,
    .statuses = "0 the lobes of every sweep were compared, 1 some sweeps are unusable "
                "and are listed, 2 nothing was written.",
    .size = sizeof(wishes),
    .run = run,
};
