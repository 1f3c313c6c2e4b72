/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How well this shop reads dial and angle, from the sweeps that it has recorded.
 */
#include <dialarc.h>
#include <stdio.h>

#include "commands.h"
#include "complain.h"
#include "output.h"
#include "page.h"
#include "reading.h"
#include "tables.h"
#include "words.h"

typedef struct wishes {
    const char *dials, *out;
    int csv, guard;
} wishes;

typedef struct bench {
    const char *who;
    const wishes *wishes;
    dialarc_setups *setups;
    dialarc_workspace *workspace;
    dialarc_archive *archive;
    reading reading;
} bench;

/* A sweep that cannot be used is told, and does not stop the others. */
static int add(void *job, dialarc_sweep_record *record)
{
    const bench *b = job;
    dialarc_status status =
        dialarc_archive_add(b->archive, b->workspace, &record->setup, &record->sweep);
    return status < DIALARC_OK
               ? complain(b->who, record->name, dialarc_status_text(status))
               : DONE;
}

static int fill(output *out, void *job)
{
    const bench *b = job;
    const dialarc_reading_errors *e = &b->reading.errors;
    if (b->wishes->csv)
        reading_rows(out->file, &b->reading, b->wishes->guard);
    else {
        page_head(out->file, "ERRORS OF READING, as these sweeps show them");
        reading_say(out->file, &b->reading);
        if (e->left_out)
            page_say(out->file, "  Left out      ",
                     "%zu sweep%s that cannot be used: dialarc assess tells why.",
                     e->left_out, e->left_out == 1 ? "" : "s");
        page_say(out->file, "  Note          ",
                 "What all readings of a dial or a wheel share, such as errors of "
                 "indication or a wheel off centre, is not in these.");
    }
    return e->left_out ? SOME_UNUSABLE : DONE;
}

static int work(bench *b, char **operand)
{
    int result = tables_setups(b->who, operand[0], b->wishes->dials, &b->setups);
    if (result == DONE)
        result = tables_sweeps(b->who, operand[1], b->setups, add, b);
    if (result != DONE)
        return result;
    b->reading.setups = b->setups;
    if (dialarc_archive_errors(b->archive, &b->reading.errors) != DIALARC_OK ||
        b->reading.errors.sweeps == 0)
        return complain(b->who, tables_name(operand[1]),
                        "none of the sweeps can be used: dialarc assess tells why");
    return output_write(b->who, b->wishes->out, fill, b);
}

static int run(const char *who, const void *wished, char **operand)
{
    bench b = {.who = who, .wishes = wished};
    b.workspace = dialarc_workspace_new();
    int result = b.workspace && dialarc_archive_new(&b.archive) == DIALARC_OK
                     ? work(&b, operand)
                     : complain_memory(who);
    dialarc_archive_free(b.archive);
    dialarc_workspace_free(b.workspace);
    dialarc_setups_free(b.setups);
    return result;
}

static const command_operand operands[] = {
    {"SETUPS", "table of engines"},
    {"SWEEPS", "table of dial readings; the more sweeps, the better"},
    {0},
};

static const command_option options[] = {
    {"csv", NULL, OPTION_FLAG, offsetof(wishes, csv), 0, 0,
     "rows for the table of engines instead of a page"},
    COMMAND_GUARD(wishes),
    COMMAND_DIALS(wishes),
    COMMAND_OUT(wishes),
    {0},
};

const command errors_command = {
    .name = "errors",
    .brief = "Learn from recorded sweeps how well dial and angle are read.",
    .operand = operands,
    .option = options,
    .more = COMMAND_TABLES,
    .statuses = "0 done, 1 done, but some sweeps cannot be used, 2 nothing was written.",
    .size = sizeof(wishes),
    .run = run,
};
