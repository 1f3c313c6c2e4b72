/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The sweeps of a day, assessed and kept in the history.
 */
#include <dialarc.h>
#include <stdio.h>

#include "commands.h"
#include "complain.h"
#include "tables.h"

typedef struct wishes {
    const char *dials, *hand;
} wishes;

#ifdef HAVE_SQLITE
#include "history_gather.h"

typedef struct bench {
    const char *who, *path;
    const wishes *wishes;
    store store;
    dialarc_setups *setups;
    dialarc_dials *dials; /* NULL: none were given */
    int unusable, failed; /* the reason has been told */
} bench;

static int fail_store(const bench *b)
{
    return complain(b->who, b->path, b->store.fault);
}

/* Who and what stands behind a sweep. */
static gathered origin(const bench *b, const dialarc_streamed *it)
{
    size_t engine = it->record->setup_index, which;
    gathered g = {.setup = dialarc_setups_name(b->setups, engine),
                  .record = it->record,
                  .result = it->result,
                  .hand = b->wishes->hand ? b->wishes->hand : "",
                  .dial = dialarc_setups_dial(b->setups, engine),
                  .certificate = "",
                  .calibrated_on = ""};
    if (b->dials && dialarc_dials_find(b->dials, g.dial, &which) == DIALARC_OK) {
        g.certificate = dialarc_dials_certificate(b->dials, which);
        g.calibrated_on = dialarc_dials_calibrated_on(b->dials, which);
    }
    return g;
}

static int keep(void *context, const dialarc_streamed *it)
{
    bench *b = context;
    const dialarc_sweep_record *record = it->record;
    const gathered g = origin(b, it);
    if (it->result->status < DIALARC_OK)
        b->failed =
            complain(b->who, record->name, dialarc_status_text(it->result->status));
    else if (gather(&b->store, &g))
        b->failed = fail_store(b);
    else if (it->result->decision.verdict == DIALARC_VERDICT_UNUSABLE) {
        complain_unusable(b->who, record->name, &it->result->timing.findings);
        b->unusable = 1;
    }
    return b->failed;
}

static int assess(bench *b, const char *sweeps)
{
    dialarc_error error[DIALARC_ERRORS_MAX] = {{.room = DIALARC_ERRORS_MAX}};
    input in;
    dialarc_status status = DIALARC_ERR_FILE;
    if (input_open(&in, sweeps) == 0)
        status = dialarc_stream_assess(input_read, &in, b->setups, 0, keep, b, error);
    int failed = b->failed              ? FAILED
                 : status == DIALARC_OK ? DONE
                                        : tables_fail(b->who, sweeps, &in, error);
    input_close(&in);
    return failed;
}

/* When the line cannot be written it is told that the history has been all the same. */
static int say_added(const bench *b, const char *day, long added, long renewed)
{
    char text[120];
    snprintf(text, sizeof text, "%s: %ld sweep%s added, %ld renewed", day, added,
             added == 1 ? "" : "s", renewed);
    if (printf("%s\n", text) > 0 && fflush(stdout) == 0)
        return b->unusable ? SOME_UNUSABLE : DONE;
    complain(b->who, "standard output", "cannot be written, but the sweeps are kept");
    complain(b->who, b->path, text);
    return SOME_UNUSABLE;
}

static int add(bench *b, char **operand)
{
    char day[11];
    long added, renewed;
    if (store_open(&b->store, b->path, 1))
        return fail_store(b);
    if (store_day(&b->store, operand[1], 0, day))
        return complain(b->who, operand[1], b->store.fault);
    if (tables_engines(b->who, operand[2], b->wishes->dials, &b->setups, &b->dials) !=
        DONE)
        return FAILED;
    if (gather_begin(&b->store, day))
        return fail_store(b);
    if (assess(b, operand[3]) != DONE)
        return FAILED;
    if (store_commit(&b->store, &added, &renewed))
        return fail_store(b);
    return say_added(b, day, added, renewed);
}

static int run(const char *who, const void *wished, char **operand)
{
    bench b = {.who = who, .path = operand[0], .wishes = wished};
    int result = add(&b, operand);
    store_close(&b.store);
    dialarc_dials_free(b.dials);
    dialarc_setups_free(b.setups);
    return result;
}

#endif

static const command_operand operands[] = {
    {"FILE", "SQLite file; made if there is none"},
    {"DAY", "on which the sweeps were taken, such as 2026-01-31"},
    {"SETUPS", "table of engines"},
    {"SWEEPS", "table of dial readings"},
    {0},
};

static const command_option options[] = {
    COMMAND_DIALS(wishes),
    {"hand", "NAME", OPTION_TEXT, offsetof(wishes, hand), 0, 0, "who measured"},
    {0},
};

const command history_add_command = {
    .name = "history add",
    .brief = "Assess the sweeps of a day and keep them in an SQLite file.",
    .operand = operands,
    .option = options,
    .more =
        "A sweep is known by engine, name and day; added again it is renewed. Kept with "
        "it are who measured, the dial and its certificate, what the window refers to, "
        "the rule of the verdict and the version of dialarc: see history sheet. A "
        "table is added as a whole or not at all; it may be compressed by gzip, and - "
        "is standard input.",
    .statuses = "0 done, 1 done, but some sweeps are unusable or the last line could not "
                "be written, 2 nothing was done.",
    .size = sizeof(wishes),
    .needs = "SQLite, which keeps the history (Debian: libsqlite3-dev)",
#ifdef HAVE_SQLITE
    .run = run,
#endif
};
