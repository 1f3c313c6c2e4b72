/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/live.h>

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include <dialarc/assess.h>

#include "guide/choose.h"
#include "guide/heard.h"

#define WAITING_MAX ((size_t)2 * DIALARC_LIVE_PIECE_MAX)
#define FIRST_ROOM  64
/* Seconds: no hand moves a crank and waits for the needle so fast. */
#define REPEAT_WITHIN 0.3

typedef char line_text[DARC_LINE_MAX + 1];

struct dialarc_live {
    dialarc_setup setup; /* with a share of its dial's calibration */
    dialarc_reach reach;
    dialarc_workspace *workspace;
    size_t n, room;
    double *crank_deg, *dial_mm, *time_s;
    dialarc_direction *direction;
    line_text *line;
    dialarc_direction way; /* of readings from here on */
    double asked_deg;      /* NaN: no angle has been asked for */
    dialarc_direction asked_way;
    char waiting[WAITING_MAX]; /* what has come and is not a whole line yet */
    size_t waits;
    bool returned;    /* a carriage return ended the last line: a line feed may follow */
    bool overlong;    /* the line that is coming is too long: the rest is passed over */
    line_text before; /* the line before, and when it came */
    double before_s;
};

const char *dialarc_heard_text(dialarc_heard heard)
{
    switch (heard) {
    case DIALARC_HEARD_WAITING:
        return "Nothing has come yet.";
    case DIALARC_HEARD_BLANK:
        return "A blank line: nothing was taken.";
    case DIALARC_HEARD_READING:
        return "Taken.";
    case DIALARC_HEARD_FROM_BEHIND:
        return "Taken, as come to from behind. Where the crank was only turned back to "
               "it, strike it by \"back\", turn well back and come to it again.";
    case DIALARC_HEARD_STRUCK:
        return "The last reading is struck.";
    case DIALARC_HEARD_TURNED:
        return "From here on the crank turns the other way.";
    case DIALARC_HEARD_REPEATED:
        return "The same line came twice at once: it was taken once.";
    case DIALARC_HEARD_NOT_UNDERSTOOD:
        return "Not understood, nothing was taken: an angle and a reading are wanted, a "
               "reading alone, \"back\" or \"turn\".";
    case DIALARC_HEARD_NO_ANGLE:
        return "Not taken: no angle was asked for, so the angle must stand before the "
               "reading.";
    case DIALARC_HEARD_OUT_OF_REACH:
        return "Not taken: this angle lies beyond those that are to be read. Is its sign "
               "right?";
    case DIALARC_HEARD_TOO_LARGE:
        return "Not taken: no plunger moves so far. Is the decimal sign right, and the "
               "unit?";
    case DIALARC_HEARD_NOT_BACK:
        return "Not taken: on this engine nothing is read on the way back.";
    case DIALARC_HEARD_NOTHING_TAKEN:
        return "There is no reading to strike.";
    case DIALARC_HEARD_FULL:
        return "Not taken: there are as many readings as a sweep can hold.";
    }
    return "Unknown: library and program do not belong together.";
}

/* ---- memory ------------------------------------------------------------------------ */

void dialarc_live_free(dialarc_live *live)
{
    if (!live)
        return;
    dialarc_dialcal_free((dialarc_dialcal *)live->setup.dial_calibration);
    dialarc_workspace_free(live->workspace);
    free(live->crank_deg);
    free(live->dial_mm);
    free(live->time_s);
    free(live->direction);
    free(live->line);
    free(live);
}

static bool grow(void *array, size_t count, size_t size)
{
    void **at = array;
    void *grown = realloc(*at, count * size);
    if (grown)
        *at = grown;
    return grown != NULL;
}

static bool make_room(dialarc_live *l)
{
    size_t room = l->room ? 2 * l->room : FIRST_ROOM;
    if (l->n < l->room)
        return true;
    if (!grow(&l->crank_deg, room, sizeof *l->crank_deg) ||
        !grow(&l->dial_mm, room, sizeof *l->dial_mm) ||
        !grow(&l->time_s, room, sizeof *l->time_s) ||
        !grow(&l->direction, room, sizeof *l->direction) ||
        !grow(&l->line, room, sizeof *l->line))
        return false;
    l->room = room;
    return true;
}

dialarc_status dialarc_live_new(const dialarc_setup *setup, const dialarc_reach *reach,
                                dialarc_live **live)
{
    if (!setup || !reach || !live)
        return DIALARC_ERR_NULL;
    dialarc_status status = dialarc_setup_check(setup);
    if (status == DIALARC_OK)
        status = darc_reach_check(reach, setup);
    if (status != DIALARC_OK)
        return status;
    dialarc_live *made = calloc(1, sizeof *made);
    if (!made)
        return DIALARC_ERR_NO_MEMORY;
    dialarc_dialcal *share = NULL;
    made->workspace = dialarc_workspace_new();
    if (setup->dial_calibration)
        dialarc_dialcal_share(setup->dial_calibration, &share);
    made->setup = *setup;
    made->setup.dial_calibration = share;
    made->reach = *reach;
    made->way = DIALARC_DIRECTION_WITH;
    made->asked_deg = DIALARC_UNKNOWN;
    if (!made->workspace || !make_room(made)) {
        dialarc_live_free(made);
        return DIALARC_ERR_NO_MEMORY;
    }
    *live = made;
    return DIALARC_OK;
}

/* ---- readings ---------------------------------------------------------------------- */

dialarc_status dialarc_live_add(dialarc_live *live, const dialarc_taken *taken)
{
    if (!live || !taken)
        return DIALARC_ERR_NULL;
    if (!isfinite(taken->crank_deg) || !isfinite(taken->dial_mm) ||
        !isfinite(taken->time_s))
        return DIALARC_ERR_NOT_FINITE;
    if (fabs(taken->crank_deg) > DIALARC_SWEEP_LARGEST ||
        fabs(taken->dial_mm) > DIALARC_SWEEP_LARGEST)
        return DIALARC_ERR_RANGE;
    if (taken->direction != DIALARC_DIRECTION_WITH &&
        taken->direction != DIALARC_DIRECTION_AGAINST)
        return DIALARC_ERR_DIRECTION;
    if (live->n == DIALARC_LIVE_MAX)
        return DIALARC_ERR_SIZE;
    if (!make_room(live))
        return DIALARC_ERR_NO_MEMORY;
    live->crank_deg[live->n] = taken->crank_deg;
    live->dial_mm[live->n] = taken->dial_mm;
    live->time_s[live->n] = taken->time_s;
    live->direction[live->n] = live->way = taken->direction;
    live->line[live->n][0] = '\0';
    live->n++;
    live->asked_deg = DIALARC_UNKNOWN;
    return DIALARC_OK;
}

size_t dialarc_live_count(const dialarc_live *live)
{
    return live ? live->n : 0;
}

dialarc_status dialarc_live_reading(const dialarc_live *live, size_t which,
                                    dialarc_taken *taken)
{
    if (!live || !taken)
        return DIALARC_ERR_NULL;
    if (which >= live->n)
        return DIALARC_ERR_SIZE;
    *taken = (dialarc_taken){live->crank_deg[which], live->dial_mm[which],
                             live->direction[which], live->time_s[which]};
    return DIALARC_OK;
}

const char *dialarc_live_line(const dialarc_live *live, size_t index)
{
    return live && index < live->n ? live->line[index] : NULL;
}

/* Whether the reading taken last lies behind the one before it on its way. */
static bool is_from_behind(const dialarc_live *l)
{
    size_t last = l->n - 1;
    if (last == 0 || l->direction[last] != l->direction[last - 1])
        return false;
    return (l->crank_deg[last] - l->crank_deg[last - 1]) * (int)l->direction[last] < 0.0;
}

static dialarc_status take(dialarc_live *l, const char *line, double crank_deg,
                           double dial_mm, double time_s, dialarc_heard *heard)
{
    const dialarc_reach *r = &l->reach;
    const dialarc_taken taken = {crank_deg, dial_mm, l->way, time_s};
    if (!(fabs(dial_mm) <= DIALARC_LIVE_LARGEST_MM)) {
        *heard = DIALARC_HEARD_TOO_LARGE;
        return DIALARC_OK;
    }
    if (!(crank_deg >= r->first_crank_deg - r->step_crank_deg &&
          crank_deg <= r->last_crank_deg + r->step_crank_deg)) {
        *heard = DIALARC_HEARD_OUT_OF_REACH;
        return DIALARC_OK;
    }
    if (l->n == DIALARC_LIVE_MAX) {
        *heard = DIALARC_HEARD_FULL;
        return DIALARC_OK;
    }
    dialarc_status status = dialarc_live_add(l, &taken);
    if (status != DIALARC_OK)
        return status;
    memcpy(l->line[l->n - 1], line, strlen(line) + 1);
    *heard = is_from_behind(l) ? DIALARC_HEARD_FROM_BEHIND : DIALARC_HEARD_READING;
    return DIALARC_OK;
}

/* ---- lines ------------------------------------------------------------------------- */

static dialarc_heard strike(dialarc_live *l)
{
    if (l->n == 0)
        return DIALARC_HEARD_NOTHING_TAKEN;
    l->n--;
    l->way = l->n ? l->direction[l->n - 1] : DIALARC_DIRECTION_WITH;
    l->asked_deg = DIALARC_UNKNOWN;
    return DIALARC_HEARD_STRUCK;
}

static dialarc_heard turn(dialarc_live *l)
{
    if (!l->reach.both_ways)
        return DIALARC_HEARD_NOT_BACK;
    l->way = l->way == DIALARC_DIRECTION_WITH ? DIALARC_DIRECTION_AGAINST
                                              : DIALARC_DIRECTION_WITH;
    return DIALARC_HEARD_TURNED;
}

/* Does what a whole line says. */
static dialarc_status obey(dialarc_live *l, const char *line, double time_s,
                           dialarc_heard *heard)
{
    double crank_deg = 0.0, dial_mm = 0.0;
    darc_words words = darc_hear_line(line, strlen(line), &crank_deg, &dial_mm);
    bool reading = words == DARC_WORDS_READING || words == DARC_WORDS_BOTH;
    bool again =
        reading && strcmp(line, l->before) == 0 && time_s - l->before_s <= REPEAT_WITHIN;
    memcpy(l->before, line, strlen(line) + 1);
    l->before_s = time_s;
    if (again) {
        *heard = DIALARC_HEARD_REPEATED;
        return DIALARC_OK;
    }
    if (words == DARC_WORDS_BOTH)
        return take(l, line, crank_deg, dial_mm, time_s, heard);
    if (words == DARC_WORDS_READING && !isnan(l->asked_deg)) {
        l->way = l->asked_way;
        return take(l, line, l->asked_deg, dial_mm, time_s, heard);
    }
    *heard = words == DARC_WORDS_NONE      ? DIALARC_HEARD_BLANK
             : words == DARC_WORDS_BACK    ? strike(l)
             : words == DARC_WORDS_TURN    ? turn(l)
             : words == DARC_WORDS_READING ? DIALARC_HEARD_NO_ANGLE
                                           : DIALARC_HEARD_NOT_UNDERSTOOD;
    return DIALARC_OK;
}

static bool ends(char c)
{
    return c == '\n' || c == '\r';
}

/* Takes the first `used` bytes away from what waits. */
static void pass_over(dialarc_live *l, size_t used)
{
    l->waits -= used;
    memmove(l->waiting, l->waiting + used, l->waits);
}

/* The next whole line, without its end: false when there is none. One that is too long
 * comes out as one that nobody understands. */
static bool next_line(dialarc_live *l, line_text line)
{
    size_t end = 0, length;
    if (l->returned && l->waits > 0 && l->waiting[0] == '\n')
        pass_over(l, 1);
    l->returned = l->returned && l->waits == 0;
    while (end < l->waits && !ends(l->waiting[end]))
        end++;
    if (end == l->waits && end > DARC_LINE_MAX) { /* no such line will be taken */
        l->overlong = true;
        pass_over(l, end);
        return false;
    }
    if (end == l->waits)
        return false;
    bool unfit = l->overlong || end > DARC_LINE_MAX;
    length = unfit ? 0 : end;
    memcpy(line, l->waiting, length);
    line[length] = '\0';
    if (unfit)
        memcpy(line, "?", 2);
    l->overlong = false;
    l->returned = l->waiting[end] == '\r';
    pass_over(l, end + 1);
    return true;
}

dialarc_status dialarc_live_hear(dialarc_live *live, const char *text, double time_s,
                                 dialarc_heard *heard)
{
    if (!live || !text || !heard)
        return DIALARC_ERR_NULL;
    if (!isfinite(time_s))
        return DIALARC_ERR_NOT_FINITE;
    size_t length = strlen(text);
    if (length > DIALARC_LIVE_PIECE_MAX || length > WAITING_MAX - live->waits)
        return DIALARC_ERR_SIZE;
    memcpy(live->waiting + live->waits, text, length);
    live->waits += length;
    line_text line;
    dialarc_heard what = DIALARC_HEARD_WAITING;
    dialarc_status status = DIALARC_OK;
    if (next_line(live, line))
        status = obey(live, line, time_s, &what);
    if (status == DIALARC_OK)
        *heard = what;
    return status;
}

/* ---- what they say ----------------------------------------------------------------- */

static dialarc_sweep sweep_of(const dialarc_live *l)
{
    return (dialarc_sweep){l->n, l->crank_deg, l->dial_mm, l->direction};
}

dialarc_status dialarc_live_timing(dialarc_live *live, dialarc_timing *timing)
{
    if (!live || !timing)
        return DIALARC_ERR_NULL;
    const dialarc_sweep sweep = sweep_of(live);
    return dialarc_timing_estimate(live->workspace, &live->setup, &sweep, NULL, timing);
}

dialarc_status dialarc_live_next(dialarc_live *live, dialarc_next *next)
{
    if (!live || !next)
        return DIALARC_ERR_NULL;
    const dialarc_sweep sweep = sweep_of(live);
    dialarc_status status =
        dialarc_design_next(live->workspace, &live->setup, &sweep, &live->reach, next);
    if (status >= DIALARC_OK) {
        live->asked_deg = next->crank_deg;
        live->asked_way = next->direction;
    }
    return status;
}
