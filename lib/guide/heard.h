/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One line of what a mechanic types or an indicator sends, taken to pieces. */
#ifndef DARC_HEARD_H
#define DARC_HEARD_H

#include <stddef.h>

#include <dialarc/live.h>

#define DARC_LINE_MAX 200 /* bytes; longer ones are not understood */

/* What a line holds. */
typedef enum darc_words {
    DARC_WORDS_NONE,    /* nothing */
    DARC_WORDS_READING, /* a reading alone */
    DARC_WORDS_BOTH,    /* an angle and a reading */
    DARC_WORDS_BACK,    /* strike the last one */
    DARC_WORDS_TURN,    /* turn round */
    DARC_WORDS_OTHER    /* not understood */
} darc_words;

/* Takes a line to pieces; angle and reading are written where there are such. */
darc_words darc_hear_line(const char *line, size_t length, double *crank_deg,
                          double *dial_mm);

#endif
