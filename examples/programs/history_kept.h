/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * All that a history keeps of the sweeps of one engine on one day, for their job sheets.
 */
#ifndef HISTORY_KEPT_H
#define HISTORY_KEPT_H

#include "history_store.h"

/* Texts last as long as the call that hands them over, and are "" where they are not
 * known: a history of before kept less. Numbers are DIALARC_UNKNOWN then. */
typedef struct kept {
    const char *setup, *sweep, *day;
    dialarc_verdict verdict;
    double lift_mm, lift_u_mm; /* expanded, 95 % */
    double probability_in;
    dialarc_setup window; /* a setup in which nothing but the window is known */
    dialarc_budget budget;
    int readings_used, readings_rejected;
    const char *findings; /* codes joined by ';' */
    const char *hand, *dial, *certificate, *calibrated_on;
    const char *library_version, *decision_rule;
    int sweeps; /* of this engine on that day */
} kept;

/* Takes one sweep; 0 to go on. */
typedef int (*kept_take)(void *context, const kept *k);

/* Hands over the sweeps by name, unusable ones too. `day` may be NULL: the latest of the
 * engine; `sweep` too: all of them. 0, or -1 with a reason. */
int kept_of_day(store *s, const char *setup, const char *day, const char *sweep,
                kept_take take, void *context);

#endif
