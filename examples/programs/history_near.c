/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A table of all engines, the likeliest to be outside their window first.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "csv.h"
#include "output.h"

typedef struct wishes {
    int months, guard;
    const char *from, *since, *out, *page;
} wishes;

#ifdef HAVE_SQLITE
#include "history_near_page.h"
#include "history_points.h"

#define NORMAL_95 1.959963984540054 /* expanded over standard uncertainty */

typedef struct bench {
    const char *who, *path;
    const wishes *wishes;
    store store;
    nearing_time when;
    char setup[DIALARC_NAME_SIZE]; /* whose points these are */
    points points;
    size_t engines, room;
    nearing *nearing;
} bench;

/* The points gathered so far are those of one engine. */
static int close_engine(bench *b)
{
    if (b->points.n == 0)
        return 0;
    nearing *all = points_grown(b->nearing, b->engines, &b->room, sizeof *all);
    if (!all)
        return -1;
    b->nearing = all;
    nearing *to = &all[b->engines++];
    *to = (nearing){.n = b->points.n,
                    .drift = drift_fit(b->points.n, b->points.point),
                    .low_mm = b->points.low_mm,
                    .high_mm = b->points.high_mm};
    memcpy(to->setup, b->setup, sizeof to->setup);
    b->points.n = 0;
    return 0;
}

/* Every engine by what all of them say of drifts. */
static int foretell(bench *b)
{
    const drift **line = malloc((b->engines + 1) * sizeof *line);
    size_t lines = 0;
    if (!line)
        return -1;
    for (size_t i = 0; i < b->engines; i++)
        if (!isnan(b->nearing[i].drift.mm_per_year) &&
            b->nearing[i].drift.remark != DRIFT_SET_ANEW)
            line[lines++] = &b->nearing[i].drift;
    const drift_prior prior = drift_learn(lines, line);
    free(line);
    for (size_t i = 0; i < b->engines; i++) {
        nearing *it = &b->nearing[i];
        double sd;
        drift_believe(&it->drift, &prior);
        it->lift_mm = drift_lift(&it->drift, b->when.from_year, &sd);
        it->lift_u_mm = NORMAL_95 * sd;
        it->outside = drift_outside(&it->drift, it->low_mm, it->high_mm,
                                    b->when.from_year, b->when.to_year, &it->remark);
    }
    return 0;
}

static int gather(void *context, const setting *s)
{
    bench *b = context;
    if (strcmp(b->setup, s->setup) && close_engine(b))
        return -1;
    snprintf(b->setup, sizeof b->setup, "%s", s->setup);
    return points_add(&b->points, s);
}

/* The likeliest to be outside first; those without a window last. */
static int by_outside(const void *a, const void *b)
{
    const nearing *x = a, *y = b;
    double p = isnan(x->outside) ? -1.0 : x->outside;
    double q = isnan(y->outside) ? -1.0 : y->outside;
    return p < q ? 1 : p > q ? -1 : strcmp(x->setup, y->setup);
}

static void put_nearing(FILE *out, const nearing *it, int guard)
{
    csv_text(out, it->setup, guard);
    fprintf(out, ",%zu", it->n);
    csv_number(out, it->lift_mm, 4);
    csv_number(out, it->lift_u_mm, 4);
    csv_number(out, it->drift.mm_per_year, 4);
    csv_number(out, it->drift.u_mm_per_year, 4);
    csv_number(out, it->drift.crank_deg_per_year, 3);
    csv_number(out, it->drift.u_crank_deg_per_year, 3);
    csv_number(out, it->low_mm, 4);
    csv_number(out, it->high_mm, 4);
    csv_number(out, it->outside, 4);
    fprintf(out, ",%s\n", drift_remark_name(it->remark));
}

/* The days between which to look; -1 after a complaint. */
static int find_days(bench *b)
{
    const wishes *w = b->wishes;
    char since[11], to[11], *from = b->when.from;
    b->when.months = w->months;
    if (w->since && store_day(&b->store, w->since, 0, since))
        return complain(b->who, w->since, b->store.fault);
    if (store_day(&b->store, w->from, 0, from) ||
        store_day(&b->store, from, w->months, to))
        return complain(b->who, w->from ? w->from : "today", b->store.fault);
    if (store_year(&b->store, from, &b->when.from_year) ||
        store_year(&b->store, to, &b->when.to_year))
        return complain(b->who, b->path, b->store.fault);
    return DONE;
}

static int fill(output *out, void *job)
{
    bench *b = job;
    if (find_days(b) != DONE)
        return FAILED;
    if (store_settings(&b->store, NULL, b->wishes->since, gather, b))
        return complain(b->who, b->path, b->store.fault);
    if (close_engine(b) || foretell(b))
        return complain_memory(b->who);
    if (b->engines)
        qsort(b->nearing, b->engines, sizeof *b->nearing, by_outside);
    if (b->wishes->page) {
        history_near_page(out->file, &b->when, b->engines, b->nearing);
        return DONE;
    }
    fputs("setup,sweeps,lift_mm,lift_u_mm,drift_mm_per_year,drift_u_mm_per_year,"
          "drift_crank_deg_per_year,drift_u_crank_deg_per_year,lift_low_mm,lift_high_mm,"
          "probability_outside,remark\n",
          out->file);
    for (size_t i = 0; i < b->engines; i++)
        put_nearing(out->file, &b->nearing[i], b->wishes->guard);
    return DONE;
}

static int run(const char *who, const void *wished, char **operand)
{
    const wishes *w = wished;
    bench b = {.who = who, .path = operand[0], .wishes = w};
    if (w->page && (w->out || w->guard))
        return complain(who, "--page", "goes with neither --out nor --for-spreadsheet");
    int result = store_open(&b.store, b.path, 0)
                     ? complain(who, b.path, b.store.fault)
                     : output_write(who, w->page ? w->page : w->out, fill, &b);
    store_close(&b.store);
    free(b.points.point);
    free(b.nearing);
    return result;
}

#endif

static const wishes defaults = {.months = 12};

static const command_operand operands[] = {
    {"FILE", "SQLite file made by history add"},
    {0},
};

static const command_option options[] = {
    {"months", "N", OPTION_WHOLE, offsetof(wishes, months), 1, 1200,
     "how many months to look ahead (12 if not given)"},
    {"from", "DAY", OPTION_TEXT, offsetof(wishes, from), 0, 0,
     "from which day (today if not given)"},
    {"since", "DAY", OPTION_TEXT, offsetof(wishes, since), 0, 0,
     "only sweeps from this day on, as after the pumps were set anew"},
    {"page", "FILE", OPTION_TEXT, offsetof(wishes, page), 0, 0,
     "one HTML file for people, with the lift of each engine drawn in its window"},
    COMMAND_GUARD(wishes),
    COMMAND_OUT(wishes),
    {0},
};

const command history_near_command = {
    .name = "history near",
    .brief = "List all engines, the likeliest to leave its window first.",
    .operand = operands,
    .option = options,
    .more = "DAY is written as 2026-01-31. Unusable sweeps are left out, and those from "
            "before an engine was set anew. Where the drift is not known well enough, or "
            "its sweeps jump or bend, there is no probability; the remark says why: "
            "too_little, set_anew, bent.",
    .statuses = "0 done, 2 nothing was written.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .needs = "SQLite, which keeps the history (Debian: libsqlite3-dev)",
#ifdef HAVE_SQLITE
    .run = run,
#endif
};
