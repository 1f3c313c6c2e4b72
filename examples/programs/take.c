/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A sweep taken live: where to read next, from keyboard or indicator, each reading on the
 * disk before the next is asked for.
 */
#include <dialarc.h>
#include <errno.h>
#include <math.h>
#include <poll.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "commands.h"
#include "complain.h"
#include "page.h"
#include "reach.h"
#include "tables.h"
#include "take_file.h"
#include "take_port.h"
#include "words.h"

enum { PIECE = 1024 };

typedef struct wishes {
    const char *port, *out, *sweep, *dials;
    int baud;
    reach_wishes reach;
} wishes;

/* What becomes of a job: goes on, or its exit status. */
enum { GOING_ON = -1 };

typedef struct job {
    const char *who;
    const dialarc_setup *setup;
    dialarc_live *live;
    take_file file;
    uint32_t told; /* findings that have been told */
    dialarc_next next;
} job;

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_REALTIME, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* ---- telling ----------------------------------------------------------------------- */

static void say_findings(job *j, const dialarc_findings *findings)
{
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++) {
        dialarc_finding finding = (dialarc_finding)k;
        if (!dialarc_findings_has(findings, finding) || (j->told >> k & 1u) != 0 ||
            findings->severity[k] == DIALARC_SEVERITY_NOTE)
            continue;
        j->told |= (uint32_t)1 << k;
        page_say(stdout, "  - ", "%s: %s", dialarc_severity_text(findings->severity[k]),
                 dialarc_finding_text(finding));
    }
}

static void say_end(const job *j, const dialarc_timing *t)
{
    dialarc_decision d;
    writer page = page_writer(stdout);
    if (dialarc_decision_judge(j->setup, t, &d) == DIALARC_OK)
        words_verdict(&page, j->setup, &d);
    page_say(stdout, "  Next          ", "%s",
             dialarc_advice_text(
                 j->next.prospect == DIALARC_PROSPECT_NEVER ? j->next.advice : d.advice));
    page_say(stdout, "  Kept          ",
             "%zu readings in %s: dialarc assess --report tells the rest.",
             dialarc_live_count(j->live), j->file.path);
}

static void ask(const job *j)
{
    page_say(stdout, "  Next: ",
             "read at %g degrees, coming %s, and type what the dial "
             "shows.",
             page_round(j->next.crank_deg, 4),
             j->next.direction == DIALARC_DIRECTION_AGAINST
                 ? "back to it after the way forward is done"
                 : "forward from well before it");
}

/* What the readings say, and where to read next. */
static int look(job *j)
{
    dialarc_timing t;
    dialarc_status status = dialarc_live_timing(j->live, &t);
    if (status >= DIALARC_OK)
        status = dialarc_live_next(j->live, &j->next);
    if (status < DIALARC_OK)
        return complain(j->who, j->file.sweep, dialarc_status_text(status));
    if (isfinite(j->next.lift_mm)) {
        page_say(stdout, "  So far: ", "lift %.3f +- %.3f mm by %zu readings.", t.lift_mm,
                 t.lift_u_mm, dialarc_live_count(j->live));
        say_findings(j, &t.findings);
    }
    if (j->next.prospect == DIALARC_PROSPECT_MORE) {
        ask(j);
        return GOING_ON;
    }
    page_say(stdout, "", "%s",
             j->next.prospect == DIALARC_PROSPECT_ENOUGH
                 ? "It is enough."
                 : "Further readings will hardly decide it.");
    say_findings(j, &t.findings);
    say_end(j, &t);
    return j->next.prospect == DIALARC_PROSPECT_ENOUGH ? DONE : SOME_UNUSABLE;
}

/* ---- hearing ----------------------------------------------------------------------- */

static void say_heard(const job *j, dialarc_heard heard)
{
    size_t n = dialarc_live_count(j->live);
    dialarc_taken last;
    page_say(stdout, "  ", "%s", dialarc_heard_text(heard));
    if ((heard == DIALARC_HEARD_READING || heard == DIALARC_HEARD_FROM_BEHIND) &&
        dialarc_live_reading(j->live, n - 1, &last) == DIALARC_OK)
        page_say(stdout, "  ", "Reading %zu: %g degrees, %.3f mm.", n,
                 page_round(last.crank_deg, 4), page_round(last.dial_mm, 3));
}

/* Does what one line asks for; the reading is on the disk before anything is said. */
static int obey(job *j, dialarc_heard heard)
{
    int result = DONE;
    if (heard == DIALARC_HEARD_READING || heard == DIALARC_HEARD_FROM_BEHIND)
        result = take_append(j->who, &j->file, j->live);
    if (heard == DIALARC_HEARD_STRUCK)
        result = take_strike(j->who, &j->file);
    if (result != DONE)
        return result;
    say_heard(j, heard);
    result = look(j);
    fflush(stdout);
    return result;
}

static int hear(job *j, const char *text)
{
    int result = GOING_ON;
    dialarc_heard heard = DIALARC_HEARD_BLANK;
    while (result == GOING_ON && heard != DIALARC_HEARD_WAITING) {
        dialarc_status status = dialarc_live_hear(j->live, text, now_s(), &heard);
        if (status != DIALARC_OK)
            return complain(j->who, j->file.sweep, dialarc_status_text(status));
        text = "";
        if (heard > DIALARC_HEARD_BLANK)
            result = obey(j, heard);
    }
    return result;
}

/* Takes what has come on a descriptor; *ended when nothing more will. */
static int take_piece(job *j, int descriptor, int *ended)
{
    char piece[PIECE + 1];
    ssize_t n = read(descriptor, piece, PIECE);
    *ended = n == 0 || (n < 0 && errno != EINTR && errno != EAGAIN);
    size_t kept = 0;
    for (ssize_t i = 0; i < n; i++)
        if (piece[i])
            piece[kept++] = piece[i];
    piece[kept] = '\0';
    return kept ? hear(j, piece) : GOING_ON;
}

/* Keyboard and indicator side by side, until it is enough or nothing more comes. */
static int listen(job *j, int port)
{
    struct pollfd from[2] = {{STDIN_FILENO, POLLIN, 0}, {port, POLLIN, 0}};
    int result = look(j), ended = 0;
    fflush(stdout);
    while (result == GOING_ON) {
        if (poll(from, 2, -1) < 0 && errno != EINTR)
            return complain(j->who, "", strerror(errno));
        for (int k = 0; k < 2 && result == GOING_ON; k++) {
            if (from[k].fd < 0 || !from[k].revents)
                continue;
            result = take_piece(j, from[k].fd, &ended);
            if (ended && k == 1)
                return complain(j->who, "--port",
                                "the line to the indicator is lost. What was read is "
                                "kept: start again to go on");
            if (ended)
                from[k].fd = -1;
        }
        if (result == GOING_ON && from[0].fd < 0 && from[1].fd < 0)
            result = SOME_UNUSABLE;
    }
    return result;
}

/* ---- the command ------------------------------------------------------------------- */

static int take(job *j, const wishes *w, const dialarc_setups *setups)
{
    int port = -1, result = take_open(j->who, setups, &j->file, j->live);
    if (result == DONE && w->port) {
        port = take_port_open(j->who, w->port, w->baud);
        result = port < 0 ? FAILED : DONE;
    }
    if (result == DONE) {
        page_say(stdout, "",
                 "An angle and a reading, such as -34 0.12, or a reading alone at the "
                 "angle asked for; \"back\" strikes the last one, \"turn\" changes the "
                 "way. The end of input ends; starting again goes on.");
        writer page = page_writer(stdout);
        page.stroke_open = words_stroke_is_open(j->setup);
        words_cautions(&page);
        if (dialarc_live_count(j->live) > 0)
            page_say(stdout, "\n  Going on: ", "%zu readings are there already.",
                     dialarc_live_count(j->live));
        fputc('\n', stdout);
        result = listen(j, port);
        if (fflush(stdout) != 0 || ferror(stdout))
            result = complain(j->who, "standard output", strerror(errno));
    }
    take_port_close(port);
    take_close(&j->file);
    return result;
}

static int begin(job *j, const wishes *w, const dialarc_setups *setups)
{
    dialarc_reach reach;
    size_t index = 0;
    if (dialarc_setups_find(setups, j->file.engine, &index) != DIALARC_OK)
        return complain(j->who, j->file.engine,
                        "there is no engine of this name in the table");
    j->setup = dialarc_setups_get(setups, index);
    if (reach_of(j->who, j->setup, &w->reach, &reach) != DONE)
        return FAILED;
    dialarc_status status = dialarc_live_new(j->setup, &reach, &j->live);
    if (status == DIALARC_ERR_ANGLE || status == DIALARC_ERR_SIZE)
        return complain(j->who, "--from, --to, --step", reach_complaint());
    return status == DIALARC_OK
               ? DONE
               : complain(j->who, j->file.engine, dialarc_status_text(status));
}

static int run(const char *who, const void *wished, char **operand)
{
    const wishes *w = wished;
    job j = {.who = who,
             .file = {w->out, w->sweep ? w->sweep : operand[1], operand[1], -1}};
    dialarc_setups *setups = NULL;
    if (strcmp(operand[0], "-") == 0)
        return complain(who, "-", "standard input is the keyboard here");
    int result = tables_setups(who, operand[0], w->dials, &setups);
    if (result == DONE)
        result = begin(&j, w, setups);
    if (result == DONE)
        result = take(&j, w, setups);
    dialarc_live_free(j.live);
    dialarc_setups_free(setups);
    return result;
}

static const wishes defaults = {
    .out = "taken.csv", .baud = 9600, .reach = REACH_DEFAULTS};

static const command_operand operands[] = {
    {"SETUPS", "table of engines"},
    {"ENGINE", "its name"},
    {0},
};

static const command_option options[] = {
    {"port", "DEVICE", OPTION_TEXT, offsetof(wishes, port), 0, 0,
     "take readings from an indicator on this line, too"},
    {"baud", "N", OPTION_WHOLE, offsetof(wishes, baud), 300, 921600,
     "speed of a serial line (9600 if not given)"},
    {"sweep", "NAME", OPTION_TEXT, offsetof(wishes, sweep), 0, 0,
     "name of the sweep (that of the engine if not given)"},
    REACH_OPTIONS(wishes),
    COMMAND_DIALS(wishes),
    {"out", "SWEEPS", OPTION_TEXT, offsetof(wishes, out), 0, 0,
     "table of sweeps in which the readings are kept (taken.csv if not given)"},
    {0},
};

const command take_command = {
    .name = "take",
    .brief = "Take a sweep live: where to read next, and when it is enough.",
    .operand = operands,
    .option = options,
    .more = "Each reading is on the disk before the next is asked for: what was read is "
            "kept whatever happens, and starting again goes on.",
    .statuses = "0 it was enough, 1 it was ended before, or no reading will decide it, 2 "
                "something failed; what was read is kept.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .run = run,
};
