/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Notes that an engine was set anew: what its sweeps said before is no drift.
 */
#include <dialarc.h>
#include <stdio.h>

#include "commands.h"
#include "complain.h"

typedef struct wishes {
    int none;
} wishes;

#ifdef HAVE_SQLITE
#include "history_store.h"
#include "shown.h"

static int seen(void *context, const setting *s)
{
    (void)s;
    *(int *)context = 1;
    return 0;
}

static int note(const char *who, store *s, char **operand)
{
    char day[11], safe[SHOWN_SIZE];
    int known = 0;
    if (store_settings(s, operand[1], NULL, seen, &known))
        return complain(who, operand[0], s->fault);
    if (!known)
        return complain(who, operand[1], "the history holds no usable sweep of it");
    if (store_day(s, operand[2], 0, day))
        return complain(who, operand[2], s->fault);
    if (store_anew(s, operand[1], day))
        return complain(who, operand[0], s->fault);
    printf("%s: %s was set anew\n", day, shown(operand[1], safe, sizeof safe));
    return DONE;
}

static int run(const char *who, const void *wished, char **operand)
{
    store s;
    (void)wished;
    int result = store_open(&s, operand[0], 0) ? complain(who, operand[0], s.fault)
                                               : note(who, &s, operand);
    store_close(&s);
    return result;
}

#endif

static const command_operand operands[] = {
    {"FILE", "SQLite file made by history add"},
    {"ENGINE", "as the table of engines calls it"},
    {"DAY", "from which its sweeps are of the new setting"},
    {0},
};

static const command_option options[] = {{0}};

const command history_anew_command = {
    .name = "history anew",
    .brief = "Note that an engine was set anew.",
    .operand = operands,
    .option = options,
    .more = "DAY is written as 2026-01-31. Earlier sweeps stay in the file.",
    .statuses = "0 done, 2 nothing was written.",
    .size = sizeof(wishes),
    .needs = "SQLite, which keeps the history (Debian: libsqlite3-dev)",
#ifdef HAVE_SQLITE
    .run = run,
#endif
};
