/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * History of settings: what the sweeps of many days say about an engine, how its setting
 * drifts, and which engines are nearing a limit of their window.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "history_drift.h"
#include "history_store.h"
#include "input.h"
#include "output.h"
#include "page.h"
#include "program.h"
#include "tables.h"

#define NORMAL_95 1.959963984540054 /* expanded over standard uncertainty of a lift */
#define SCATTERED 2.0               /* scatter over what is expected that is told */

static const char program[] = "history";

static const char usage[] =
    "usage: history FILE add DAY SETUPS SWEEPS\n"
    "       history FILE engine SETUP [--since DAY]\n"
    "       history FILE near [--months N] [--from DAY] [--since DAY]\n"
    "  FILE      SQLite file; add makes it when there is none\n"
    "  add       assesses the sweeps of a day and keeps the results; once more with the\n"
    "            same day, engine and name, a sweep is renewed, not added\n"
    "  engine    settings of an engine over time, and their drift\n"
    "  near      a table of all engines, the likeliest to be outside the window first\n"
    "  DAY       such as 2026-01-31\n"
    "  --since   only sweeps from this day on, as when the pump was set anew\n"
    "  --months  how far to look ahead, 1 to 1200; 12 when not given\n"
    "  --from    from which day; today when not given\n"
    "exit status: 0 done, 1 some sweeps are unusable, 2 nothing was done\n";

typedef struct history {
    store store;
    const char *path;
    const char *since, *from;
    int months;
    dialarc_setups *setups;
    int unusable, failed;
    char setup[DIALARC_NAME_SIZE]; /* whose points follow */
    drift_point *point;
    size_t n, room;
    setting last;
    FILE *out;
    struct nearing *nearing;
    size_t engines, nearing_room;
    double from_year, to_year;
} history;

/* A row of the table of all engines. */
typedef struct nearing {
    char setup[DIALARC_NAME_SIZE], day[11];
    size_t n;
    drift drift;
    double low_mm, high_mm, lift_mm, lift_u_mm, outside;
} nearing;

static int fail_store(const history *h)
{
    return program_fail(program, h->path, h->store.fault);
}

/* ---- adding ----------------------------------------------------------------- */

static int keep(void *context, const dialarc_streamed *it)
{
    history *h = context;
    const dialarc_sweep_record *record = it->record;
    if (it->result->status < DIALARC_OK) {
        program_fail(program, record->name, dialarc_status_text(it->result->status));
        h->failed = 1;
    } else if (store_gather(&h->store,
                            dialarc_setups_name(h->setups, record->setup_index), record,
                            it->result)) {
        fail_store(h);
        h->failed = 1;
    } else if (it->result->decision.verdict == DIALARC_VERDICT_UNUSABLE) {
        fprintf(stderr, "history: unusable: %s\n", record->name);
        h->unusable = 1;
    }
    return h->failed;
}

static int assess(history *h, const char *sweeps)
{
    dialarc_error error = {0};
    input in;
    dialarc_status status = DIALARC_ERR_FILE;
    if (input_open(&in, sweeps) == 0)
        status = dialarc_stream_assess(input_read, &in, h->setups, 0, keep, h, &error);
    int failed = h->failed              ? FAILED
                 : status == DIALARC_OK ? DONE
                                        : tables_fail(program, sweeps, &in, &error);
    input_close(&in);
    return failed;
}

static int add(history *h, int count, char **word)
{
    char day[11];
    long added, renewed;
    if (count != 3 || !program_two_tables(word[1], word[2]))
        return -1;
    if (store_day(&h->store, word[0], 0, day))
        return program_fail(program, word[0], h->store.fault);
    int failed = program_read_setups(program, word[1], &h->setups);
    if (!failed && store_begin(&h->store, day))
        failed = fail_store(h);
    if (!failed)
        failed = assess(h, word[2]);
    dialarc_setups_free(h->setups);
    if (failed)
        return failed;
    if (store_commit(&h->store, &added, &renewed))
        return fail_store(h);
    fprintf(h->out, "%s: %ld sweeps added, %ld renewed\n", day, added, renewed);
    return h->unusable ? SOME_UNUSABLE : DONE;
}

/* ---- settings of one engine ------------------------------------------------- */

/* The array, which holds n things, with room for one more; NULL: no memory. */
static void *grown(void *array, size_t n, size_t *room, size_t size)
{
    if (n < *room)
        return array;
    size_t more = *room ? 2 * *room : 64;
    void *larger = realloc(array, more * size);
    if (larger)
        *room = more;
    return larger;
}

static int add_point(history *h, const setting *s)
{
    drift_point *point = grown(h->point, h->n, &h->room, sizeof *point);
    if (!point)
        return -1;
    h->point = point;
    h->point[h->n++] = (drift_point){.year = s->year,
                                     .lift_mm = s->lift_mm,
                                     .lift_sd_mm = s->lift_u_mm / NORMAL_95,
                                     .rate_mm_per_crank_deg = s->rate_mm_per_crank_deg};
    h->last.lift_low_mm = s->lift_low_mm;
    h->last.lift_high_mm = s->lift_high_mm;
    return 0;
}

static int show(void *context, const setting *s)
{
    history *h = context;
    if (h->n == 0)
        fputs("day           lift mm  within mm  verdict     sweep\n", h->out);
    fprintf(h->out, "%s  %8.4f  %9.4f  %-10s  %s\n", s->day, s->lift_mm, s->lift_u_mm,
            s->verdict, s->sweep);
    return add_point(h, s);
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
    if (d->excess > SCATTERED)
        page_say(
            out, "        ",
            "The settings lie %.1f times as far from a straight line as they should. "
            "Has the pump been set anew? Then look with --since at what follows.",
            d->excess);
}

static int engine(history *h, int count, char **word)
{
    if (count != 1)
        return -1;
    if (store_settings(&h->store, word[0], h->since, show, h))
        return fail_store(h);
    if (h->n == 0)
        return program_fail(program, word[0], "the history holds no usable sweep of it");
    drift d = drift_fit(h->n, h->point);
    say_drift(h->out, &d);
    return DONE;
}

/* ---- all engines ------------------------------------------------------------ */

/* The points gathered so far are those of one engine. */
static int close_engine(history *h)
{
    if (h->n == 0)
        return 0;
    nearing *all = grown(h->nearing, h->engines, &h->nearing_room, sizeof *all);
    if (!all)
        return -1;
    h->nearing = all;
    nearing *to = &all[h->engines++];
    double sd;
    *to = (nearing){.n = h->n, .drift = drift_fit(h->n, h->point)};
    memcpy(to->setup, h->setup, sizeof to->setup);
    to->low_mm = h->last.lift_low_mm;
    to->high_mm = h->last.lift_high_mm;
    to->lift_mm = drift_lift(&to->drift, h->from_year, &sd);
    to->lift_u_mm = to->drift.coverage * sd;
    to->outside =
        drift_outside(&to->drift, to->low_mm, to->high_mm, h->from_year, h->to_year);
    h->n = 0;
    return 0;
}

static int gather(void *context, const setting *s)
{
    history *h = context;
    if (strcmp(h->setup, s->setup) && close_engine(h))
        return -1;
    snprintf(h->setup, sizeof h->setup, "%s", s->setup);
    return add_point(h, s);
}

/* The likeliest to be outside first; those without a window last. */
static int by_outside(const void *a, const void *b)
{
    const nearing *x = a, *y = b;
    double p = isnan(x->outside) ? -1.0 : x->outside;
    double q = isnan(y->outside) ? -1.0 : y->outside;
    return p < q ? 1 : p > q ? -1 : strcmp(x->setup, y->setup);
}

static void put(FILE *out, double value, int decimals)
{
    if (isnan(value))
        fputc(',', out);
    else
        fprintf(out, ",%.*f", decimals, value);
}

static void put_name(FILE *out, const char *name)
{
    fputc('"', out);
    for (; *name; name++)
        fprintf(out, *name == '"' ? "\"\"" : "%c", *name);
    fputc('"', out);
}

static void put_nearing(FILE *out, const nearing *it)
{
    put_name(out, it->setup);
    fprintf(out, ",%zu", it->n);
    put(out, it->lift_mm, 4);
    put(out, it->lift_u_mm, 4);
    put(out, it->drift.mm_per_year, 4);
    put(out, it->drift.u_mm_per_year, 4);
    put(out, it->drift.crank_deg_per_year, 3);
    put(out, it->drift.u_crank_deg_per_year, 3);
    put(out, it->low_mm, 4);
    put(out, it->high_mm, 4);
    put(out, it->outside, 4);
    fputc('\n', out);
}

static int near(history *h, int count, char **word)
{
    char from[11], to[11];
    (void)word;
    if (count != 0)
        return -1;
    if (store_day(&h->store, h->from, 0, from) ||
        store_day(&h->store, from, h->months, to))
        return program_fail(program, h->from ? h->from : "today", h->store.fault);
    if (store_year(&h->store, from, &h->from_year) ||
        store_year(&h->store, to, &h->to_year) ||
        store_settings(&h->store, NULL, h->since, gather, h))
        return fail_store(h);
    if (close_engine(h))
        return program_fail(program, h->path, "there is not enough memory");
    if (h->engines)
        qsort(h->nearing, h->engines, sizeof *h->nearing, by_outside);
    fputs("setup,sweeps,lift_mm,lift_u_mm,drift_mm_per_year,drift_u_mm_per_year,"
          "drift_crank_deg_per_year,drift_u_crank_deg_per_year,lift_low_mm,lift_high_mm,"
          "probability_outside\n",
          h->out);
    for (size_t i = 0; i < h->engines; i++)
        put_nearing(h->out, &h->nearing[i]);
    return DONE;
}

/* ---- the program ------------------------------------------------------------ */

/* Takes the options out of the words; how many words are left, or -1. */
static int take_options(history *h, int count, char **word)
{
    int left = 0;
    h->months = 12;
    for (int i = 0; i < count; i++) {
        char *end = "";
        if (word[i][0] != '-' || !word[i][1])
            word[left++] = word[i];
        else if (i + 1 == count)
            return -1;
        else if (strcmp(word[i], "--since") == 0)
            h->since = word[++i];
        else if (strcmp(word[i], "--from") == 0)
            h->from = word[++i];
        else if (strcmp(word[i], "--months") == 0) {
            long months = strtol(word[++i], &end, 10);
            h->months = months >= 1 && months <= 1200 ? (int)months : 0;
        } else
            return -1;
        if (*end || h->months == 0)
            return -1;
    }
    return left;
}

static int answer(history *h, int count, char **word)
{
    char since[11];
    if (h->since && store_day(&h->store, h->since, 0, since))
        return program_fail(program, h->since, h->store.fault);
    h->since = h->since ? since : NULL;
    int engine_asked = strcmp(word[0], "engine") == 0;
    int result = strcmp(word[0], "add") == 0 ? add(h, count - 1, word + 1)
                 : engine_asked              ? engine(h, count - 1, word + 1)
                                             : near(h, count - 1, word + 1);
    if (result < 0) {
        fputs(usage, stderr);
        return FAILED;
    }
    return result;
}

static int run(history *h, int count, char **word)
{
    output out;
    if (store_open(&h->store, h->path, strcmp(word[0], "add") == 0))
        return fail_store(h);
    if (output_open(&out, NULL))
        return program_fail(program, "standard output", "cannot be written");
    h->out = out.file;
    int result = answer(h, count, word);
    if (result == FAILED)
        output_discard(&out);
    else if (output_finish(&out))
        result = program_fail(program, "standard output", "cannot be written");
    return result;
}

int main(int argc, char **argv)
{
    output_guard();
    history h = {.path = argc > 1 ? argv[1] : ""};
    if (argc == 2 && strcmp(argv[1], "--help") == 0) {
        fputs(usage, stdout);
        return DONE;
    }
    int count = argc > 2 && argv[1][0] ? take_options(&h, argc - 2, argv + 2) : -1;
    const char *what = count > 0 ? argv[2] : "";
    if (strcmp(what, "add") && strcmp(what, "engine") && strcmp(what, "near")) {
        fputs(usage, stderr);
        return FAILED;
    }
    int result = run(&h, count, argv + 2);
    store_close(&h.store);
    free(h.point);
    free(h.nearing);
    return result;
}
