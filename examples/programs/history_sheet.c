/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The job sheets of one engine: of a day, a sheet a sweep.
 */
#include <dialarc.h>
#include <stdio.h>

#include "commands.h"
#include "complain.h"
#include "html.h"
#include "output.h"
#include "page.h"

typedef struct wishes {
    const char *day, *sweep, *shop, *customer, *literature, *page, *out;
} wishes;

#ifdef HAVE_SQLITE
#include "job_sheet.h"

typedef struct bench {
    const char *who, *path, *engine;
    const wishes *wishes;
    store store;
    writer writer;
    size_t sheets;
} bench;

static int write_sheet(void *context, const kept *k)
{
    bench *b = context;
    const job_sheet_words words = {.shop = b->wishes->shop,
                                   .customer = b->wishes->customer,
                                   .literature = b->wishes->literature};
    job_sheet(&b->writer, &words, k);
    b->sheets++;
    return 0;
}

static int write_sheets(bench *b)
{
    const wishes *w = b->wishes;
    char day[11];
    if (w->day && store_day(&b->store, w->day, 0, day))
        return complain(b->who, w->day, b->store.fault);
    if (kept_of_day(&b->store, b->engine, w->day, w->sweep, write_sheet, b))
        return complain(b->who, b->path, b->store.fault);
    if (b->sheets == 0)
        return complain(b->who, b->engine,
                        w->day || w->sweep ? "the history holds no such sweep of it"
                                           : "the history holds no sweep of it");
    return DONE;
}

static int fill(output *out, void *job)
{
    bench *b = job;
    b->writer = page_writer(out->file);
    return write_sheets(b);
}

static int fill_html(output *out, void *job)
{
    bench *b = job;
    b->writer = html_writer(out->file);
    html_begin(out->file, "dialarc: job sheets");
    fputs("<div class=\"sheets\">\n", out->file);
    int result = write_sheets(b);
    html_end_article(&b->writer);
    fputs("</div>\n", out->file);
    html_end(out->file);
    return result;
}

static int run(const char *who, const void *wished, char **operand)
{
    const wishes *w = wished;
    bench b = {.who = who, .path = operand[0], .engine = operand[1], .wishes = w};
    if (w->page && w->out)
        return complain(who, "--page", "does not go with --out");
    int result = store_open(&b.store, b.path, 0) ? complain(who, b.path, b.store.fault)
                 : w->page ? output_write(who, w->page, fill_html, &b)
                           : output_write(who, w->out, fill, &b);
    store_close(&b.store);
    return result;
}

#endif

static const command_operand operands[] = {
    {"FILE", "SQLite file made by history add"},
    {"ENGINE", "as the table of engines calls it"},
    {0},
};

static const command_option options[] = {
    {"day", "DAY", OPTION_TEXT, offsetof(wishes, day), 0, 0,
     "on which the sweeps were taken (the latest of the engine if not given)"},
    {"sweep", "NAME", OPTION_TEXT, offsetof(wishes, sweep), 0, 0,
     "only the sweep of that name"},
    {"shop", "TEXT", OPTION_TEXT, offsetof(wishes, shop), 0, 0,
     "name and address of the shop"},
    {"customer", "TEXT", OPTION_TEXT, offsetof(wishes, customer), 0, 0,
     "name and address of the customer"},
    {"literature", "TEXT", OPTION_TEXT, offsetof(wishes, literature), 0, 0,
     "the service literature from which the window is"},
    {"page", "FILE", OPTION_TEXT, offsetof(wishes, page), 0, 0,
     "the same as one HTML file: an A4 sheet a sweep"},
    COMMAND_OUT(wishes),
    {0},
};

const command history_sheet_command = {
    .name = "history sheet",
    .brief = "Write the job sheets of one engine, for customer and auditor.",
    .operand = operands,
    .option = options,
    .more = "DAY is written as 2026-01-31. A sheet says what was measured, by whom and "
            "with which dial, the lift with its expanded uncertainty, and whether it "
            "conforms to the window, by which decision rule. What nobody has told is a "
            "line to fill in.",
    .statuses = "0 done, 2 nothing was written.",
    .size = sizeof(wishes),
    .needs = "SQLite, which keeps the history (Debian: libsqlite3-dev)",
#ifdef HAVE_SQLITE
    .run = run,
#endif
};
