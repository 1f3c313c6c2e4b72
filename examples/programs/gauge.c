/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A gauge study: what several hands found on several engines, to what it says of hands,
 * method and window.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "gauge_page.h"
#include "output.h"
#include "tables.h"

typedef struct wishes {
    const char *setups, *sweeps, *dials, *out;
    double low_mm, high_mm, shared_mm;
    int csv, guard;
} wishes;

typedef struct bench {
    const char *who;
    const wishes *wishes;
    dialarc_setups *setups;
    dialarc_workspace *workspace;
    dialarc_archive *archive;
    dialarc_lifts *table;
    size_t n;
    dialarc_gauge_lift *lift; /* n of them */
    int unusable;
    gauge_page page;
} bench;

/* ---- lifts out of sweeps ----------------------------------------------------------- */

/* The row of a sweep that has still to be assessed, or n. */
static size_t row_of(const bench *b, const char *sweep)
{
    size_t i = 0;
    while (i < b->n && (!isnan(b->lift[i].lift_mm) ||
                        strcmp(dialarc_lifts_sweep(b->table, i), sweep) != 0))
        i++;
    return i;
}

static int assess(void *job, dialarc_sweep_record *record)
{
    bench *b = job;
    dialarc_timing timing;
    size_t row = row_of(b, record->name);
    if (row == b->n)
        return DONE;
    dialarc_status status = dialarc_timing_estimate(b->workspace, &record->setup,
                                                    &record->sweep, NULL, &timing);
    if (status >= DIALARC_OK)
        status =
            dialarc_archive_add(b->archive, b->workspace, &record->setup, &record->sweep);
    if (status < DIALARC_OK)
        return complain(b->who, record->name, dialarc_status_text(status));
    if (dialarc_findings_worst(&timing.findings) == DIALARC_SEVERITY_STOP) {
        complain_unusable(b->who, record->name, &timing.findings);
        b->unusable = 1;
        b->lift[row].engine = -1; /* left out below */
    }
    b->lift[row].lift_mm = timing.lift_mm;
    return DONE;
}

/* Rows without a lift are an error; those of sweeps that cannot be used are left out. */
static int close_lifts(bench *b, const char *name)
{
    size_t kept = 0;
    for (size_t i = 0; i < b->n; i++) {
        if (b->lift[i].engine >= 0 && isnan(b->lift[i].lift_mm)) {
            char text[DIALARC_NAME_SIZE + 80];
            snprintf(text, sizeof text, "sweep %s has no lift_mm%s",
                     dialarc_lifts_sweep(b->table, i),
                     b->wishes->sweeps ? ", and --sweeps does not hold it"
                                       : ": give it, or --setups and --sweeps");
            return complain(b->who, tables_name(name), text);
        }
        if (b->lift[i].engine >= 0)
            b->lift[kept++] = b->lift[i];
    }
    b->n = kept;
    return DONE;
}

static int fill_lifts(bench *b)
{
    const wishes *w = b->wishes;
    b->n = dialarc_lifts_count(b->table);
    b->lift = calloc(b->n ? b->n : 1, sizeof *b->lift);
    if (!b->lift)
        return complain_memory(b->who);
    for (size_t i = 0; i < b->n; i++)
        dialarc_lifts_get(b->table, i, &b->lift[i]);
    if (!w->sweeps)
        return DONE;
    b->workspace = dialarc_workspace_new();
    if (!b->workspace || dialarc_archive_new(&b->archive) != DIALARC_OK)
        return complain_memory(b->who);
    int result = tables_setups(b->who, w->setups, w->dials, &b->setups);
    if (result == DONE)
        result = tables_sweeps(b->who, w->sweeps, b->setups, assess, b);
    b->page.reading.setups = b->setups;
    if (result == DONE)
        dialarc_archive_errors(b->archive, &b->page.reading.errors);
    return result;
}

/* ---- the study --------------------------------------------------------------------- */

static int study(bench *b, const char *name)
{
    const wishes *w = b->wishes;
    dialarc_status status = dialarc_gauge_assess(b->n, b->lift, &b->page.study);
    if (status == DIALARC_ERR_NO_SOLUTION || b->n < 2)
        return complain(b->who, tables_name(name),
                        "nothing was measured twice by one hand, or each hand has "
                        "engines of his own: let the same engines be measured by "
                        "several hands, each more than once");
    if (status < DIALARC_OK)
        return complain(b->who, tables_name(name), dialarc_status_text(status));
    b->page.has_window = !isnan(w->low_mm);
    if (!b->page.has_window)
        return DONE;
    b->page.low_mm = w->low_mm;
    b->page.high_mm = w->high_mm;
    status = dialarc_gauge_judge(&b->page.study, w->low_mm, w->high_mm, w->shared_mm,
                                 &b->page.window);
    return status == DIALARC_OK
               ? DONE
               : complain(b->who, "--low, --high, --shared", dialarc_status_text(status));
}

static int fill(output *out, void *job)
{
    const bench *b = job;
    if (b->wishes->csv)
        reading_rows(out->file, &b->page.reading, b->wishes->guard);
    else
        gauge_page_say(out->file, &b->page);
    return b->unusable ? SOME_UNUSABLE : DONE;
}

static dialarc_status use_lifts(input *in, void *table, dialarc_error *error)
{
    return dialarc_lifts_read(input_read, in, table, error);
}

static int check_wishes(const char *who, const wishes *w)
{
    if (!w->setups != !w->sweeps)
        return complain(who, "--setups, --sweeps", "one does not go without the other");
    if (w->csv && !w->sweeps)
        return complain(who, "--csv", "errors of reading need --setups and --sweeps");
    if (isnan(w->low_mm) != isnan(w->high_mm))
        return complain(who, "--low, --high", "one does not go without the other");
    return DONE;
}

static int work(bench *b, const char *name)
{
    int result = check_wishes(b->who, b->wishes);
    if (result == DONE)
        result = tables_read(b->who, name, use_lifts, &b->table);
    if (result == DONE)
        result = fill_lifts(b);
    if (result == DONE)
        result = close_lifts(b, name);
    if (result == DONE)
        result = study(b, name);
    if (result == DONE && b->wishes->csv && b->page.reading.errors.sweeps == 0)
        result = complain(b->who, "--csv", "no sweep of the study was assessed");
    return result == DONE ? output_write(b->who, b->wishes->out, fill, b) : result;
}

static int run(const char *who, const void *wished, char **operand)
{
    bench b = {.who = who, .wishes = wished};
    int result = work(&b, operand[0]);
    free(b.lift);
    dialarc_lifts_free(b.table);
    dialarc_archive_free(b.archive);
    dialarc_workspace_free(b.workspace);
    dialarc_setups_free(b.setups);
    return result;
}

static const wishes defaults = {.low_mm = DIALARC_UNKNOWN, .high_mm = DIALARC_UNKNOWN};

static const command_operand operands[] = {
    {"LIFTS", "table with a row a lift: sweep, setup (the engine), hand, lift_mm"},
    {0},
};

static const command_option options[] = {
    {"setups", "TABLE", OPTION_TEXT, offsetof(wishes, setups), 0, 0,
     "table of engines, for the sweeps"},
    {"sweeps", "TABLE", OPTION_TEXT, offsetof(wishes, sweeps), 0, 0,
     "table of dial readings: lifts that LIFTS leaves blank are those of its sweeps"},
    COMMAND_DIALS(wishes),
    {"low", "MM", OPTION_NUMBER, offsetof(wishes, low_mm), 0, 0,
     "lower limit of a window that is to be judged"},
    {"high", "MM", OPTION_NUMBER, offsetof(wishes, high_mm), 0, 0, "its upper limit"},
    {"shared", "MM", OPTION_NUMBER, offsetof(wishes, shared_mm), 0, 0,
     "standard uncertainty that all lifts share, by mark and dial (0 if not given)"},
    {"csv", NULL, OPTION_FLAG, offsetof(wishes, csv), 0, 0,
     "the errors of reading as rows for the table of engines instead of a page"},
    COMMAND_GUARD(wishes),
    COMMAND_OUT(wishes),
    {0},
};

const command gauge_command = {
    .name = "gauge",
    .brief = "Study how well several hands measure, and for which window.",
    .operand = operands,
    .option = options,
    .more = COMMAND_TABLES,
    .statuses = "0 done, 1 done without sweeps that are unusable and are listed, 2 "
                "nothing was written.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .run = run,
};
