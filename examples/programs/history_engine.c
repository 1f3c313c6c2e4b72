/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The settings of one engine over time, and their drift.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "commands.h"
#include "complain.h"
#include "output.h"
#include "page.h"
#include "shown.h"

typedef struct wishes {
    const char *since, *out;
} wishes;

#ifdef HAVE_SQLITE
#include "history_points.h"

typedef struct bench {
    const char *who, *path, *engine, *since;
    store store;
    points points;
    FILE *out;
} bench;

static int show(void *context, const setting *s)
{
    bench *b = context;
    char safe[SHOWN_SIZE];
    if (b->points.n == 0)
        fputs("day           lift mm  within mm  verdict     sweep\n", b->out);
    fprintf(b->out, "%s  %8.4f  %9.4f  %-10s  %s\n", s->day, s->lift_mm, s->lift_u_mm,
            s->verdict, shown(s->sweep, safe, sizeof safe));
    return points_add(&b->points, s);
}

static void say_drift(FILE *out, const drift *d)
{
    if (isnan(d->mm_per_year)) {
        page_say(out, "Drift   ", "not known: it takes sweeps of two days.");
        return;
    }
    page_say(
        out, "Drift   ",
        "%+.4f mm/year, within %.4f; %+.3f crank degrees/year, within %.3f (95 times "
        "in 100).",
        d->mm_per_year, d->u_mm_per_year, d->crank_deg_per_year, d->u_crank_deg_per_year);
    if (d->remark == DRIFT_SET_ANEW)
        page_say(
            out, "        ",
            "Beyond their own scatter the settings lie %.4f mm from a straight line. "
            "Has the pump been set anew? Then say so: dialarc history anew.",
            d->excess_mm);
    if (d->remark == DRIFT_BENT)
        page_say(out, "        ",
                 "The settings bend away from a straight line: the drift is growing or "
                 "ending, and the line does not tell what comes.");
}

static int fill(output *out, void *job)
{
    bench *b = job;
    char since[11];
    b->out = out->file;
    if (b->since && store_day(&b->store, b->since, 0, since))
        return complain(b->who, b->since, b->store.fault);
    if (store_settings(&b->store, b->engine, b->since, show, b))
        return complain(b->who, b->path, b->store.fault);
    if (b->points.n == 0)
        return complain(b->who, b->engine, "the history holds no usable sweep of it");
    drift d = drift_fit(b->points.n, b->points.point);
    say_drift(out->file, &d);
    return DONE;
}

static int run(const char *who, const void *wished, char **operand)
{
    const wishes *w = wished;
    bench b = {.who = who, .path = operand[0], .engine = operand[1], .since = w->since};
    int result = store_open(&b.store, b.path, 0) ? complain(who, b.path, b.store.fault)
                                                 : output_write(who, w->out, fill, &b);
    store_close(&b.store);
    free(b.points.point);
    return result;
}

#endif

static const command_operand operands[] = {
    {"FILE", "SQLite file made by history add"},
    {"ENGINE", "as the table of engines calls it"},
    {0},
};

static const command_option options[] = {
    {"since", "DAY", OPTION_TEXT, offsetof(wishes, since), 0, 0,
     "only sweeps from this day on, as after the pump was set anew"},
    COMMAND_OUT(wishes),
    {0},
};

const command history_engine_command = {
    .name = "history engine",
    .brief = "Show the settings of one engine over time, and their drift.",
    .operand = operands,
    .option = options,
    .more = "DAY is written as 2026-01-31. Unusable sweeps are left out.",
    .statuses = "0 done, 2 nothing was written.",
    .size = sizeof(wishes),
    .needs = "SQLite, which keeps the history (Debian: libsqlite3-dev)",
#ifdef HAVE_SQLITE
    .run = run,
#endif
};
