/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as what an indicator sends: the readings taken do not depend on the pieces.
 */
#include <dialarc/live.h>

#include "fuzz_kit.h"

const char fuzz_name[] = "live";

#define MOST_LINES 700 /* a line needs a byte at least */

/* Hears all lines of the text in pieces of so many bytes; how many were taken and not
 * struck is in the sweep. */
static dialarc_live *hear_all(const dialarc_setup *setup, const dialarc_reach *reach,
                              const char *text, size_t piece)
{
    char part[DIALARC_LIVE_PIECE_MAX + 1];
    size_t length = strlen(text), lines = 0;
    dialarc_live *live = NULL;
    FUZZ_CHECK(dialarc_live_new(setup, reach, &live) == DIALARC_OK);
    for (size_t at = 0; at < length; at += piece) {
        size_t n = piece < length - at ? piece : length - at;
        dialarc_heard heard = DIALARC_HEARD_BLANK;
        memcpy(part, text + at, n);
        part[n] = '\0';
        while (heard != DIALARC_HEARD_WAITING) {
            size_t before = dialarc_live_count(live);
            FUZZ_CHECK(dialarc_live_hear(live, part, (double)lines, &heard) ==
                       DIALARC_OK);
            FUZZ_CHECK(heard >= DIALARC_HEARD_WAITING && heard <= DIALARC_HEARD_FULL);
            size_t after = dialarc_live_count(live);
            int taken =
                heard == DIALARC_HEARD_READING || heard == DIALARC_HEARD_FROM_BEHIND;
            FUZZ_CHECK(after == before + (size_t)taken - (heard == DIALARC_HEARD_STRUCK));
            FUZZ_CHECK(++lines < 2 * MOST_LINES);
            part[0] = '\0';
        }
    }
    return live;
}

static void check_reading(const dialarc_live *live, const dialarc_reach *reach, size_t i,
                          dialarc_taken *t)
{
    FUZZ_CHECK(dialarc_live_reading(live, i, t) == DIALARC_OK);
    FUZZ_CHECK(fabs(t->dial_mm) <= DIALARC_LIVE_LARGEST_MM);
    FUZZ_CHECK(t->crank_deg >= reach->first_crank_deg - reach->step_crank_deg);
    FUZZ_CHECK(t->crank_deg <= reach->last_crank_deg + reach->step_crank_deg);
    FUZZ_CHECK(t->direction == DIALARC_DIRECTION_WITH ||
               (reach->both_ways && t->direction == DIALARC_DIRECTION_AGAINST));
    FUZZ_CHECK(strlen(dialarc_live_line(live, i)) > 0);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char text[MOST_LINES];
    const dialarc_setup setup = dialarc_setup_unknown(4);
    if (size < 2 || size > sizeof text)
        return 0;
    const dialarc_reach reach = {-60.0, 20.0, 1.0, data[0] & 1};
    size_t length = 0, piece = 1 + data[1] % 64;
    for (size_t i = 2; i < size; i++)
        if (data[i])
            text[length++] = (char)data[i];
    text[length] = '\0';
    dialarc_live *a = hear_all(&setup, &reach, text, piece);
    dialarc_live *b = hear_all(&setup, &reach, text, sizeof text);
    FUZZ_CHECK(dialarc_live_count(a) == dialarc_live_count(b));
    for (size_t i = 0; i < dialarc_live_count(a); i++) {
        dialarc_taken x, y;
        check_reading(a, &reach, i, &x);
        check_reading(b, &reach, i, &y);
        FUZZ_CHECK(x.crank_deg == y.crank_deg && x.dial_mm == y.dial_mm &&
                   x.direction == y.direction);
        FUZZ_CHECK(strcmp(dialarc_live_line(a, i), dialarc_live_line(b, i)) == 0);
    }
    dialarc_next next; /* takes a thousand times as long as the rest: now and then */
    FUZZ_CHECK(data[0] < 250 || dialarc_live_count(a) > 40 ||
               dialarc_live_next(a, &next) >= DIALARC_OK);
    dialarc_live_free(a);
    dialarc_live_free(b);
    return 0;
}
