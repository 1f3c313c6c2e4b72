/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Sweeps of one engine: what they say together, and whether they are of one setting.
 */
#ifndef TOGETHER_H
#define TOGETHER_H

#include <dialarc.h>

#include "writer.h"

/* The usable sweeps of one engine. */
typedef struct together_engine {
    size_t sweeps; /* how many there were; the first DIALARC_LOOKS_MAX are kept */
    size_t room, rows;
    dialarc_look *look;
    dialarc_timing *latest; /* kept when it is wanted: of the latest sweep, with findings
                               and numbers of readings of all */
} together_engine;

typedef struct together {
    const dialarc_setups *setups;
    int latest; /* whether timings are wanted */
    size_t engines;
    together_engine *engine; /* one a setup */
} together;

/* Empty, for so many setups; 0, or -1 when there is not enough memory. */
int together_begin(together *t, const dialarc_setups *setups, int latest);
void together_end(together *t);

/* Keeps the look that a usable sweep is; 0, or -1 when there is not enough memory. */
int together_add(together *t, size_t setup_index, const dialarc_timing *timing);

/* What the looks at one engine say together. */
dialarc_status together_pool(const together *t, size_t setup_index, dialarc_joint *joint,
                             dialarc_timing *timing, dialarc_decision *decision);

/* Tells of each engine with several sweeps whether they may be of one setting: on a page,
 * or when that is NULL as lines of a message. */
void together_tell(const together *t, const char *who, writer *page);

#endif
