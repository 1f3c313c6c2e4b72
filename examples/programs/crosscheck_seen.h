/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Witnesses of a setting: what each of them says, how well, and what it shares with the
 * others.
 */
#ifndef CROSSCHECK_SEEN_H
#define CROSSCHECK_SEEN_H

#include <dialarc.h>

#include "engine.h"

/* One witness, with its readings brought to the advance from mid-window. */
typedef struct crosscheck_seen {
    char name[DIALARC_NAME_SIZE];
    char mark[DIALARC_NAME_SIZE], wheel[DIALARC_NAME_SIZE];
    size_t readings;
    int running;          /* the engine ran: the advance is that at no speed */
    double crank_deg;     /* where it was read, the mean */
    dialarc_at_rest rest; /* delay and scatter are of a running engine alone */
    dialarc_witness witness;
    double sd_deg; /* all its standard uncertainties together */
} crosscheck_seen;

/*
 * The witnesses of an engine in the order of the table, at most DIALARC_WITNESSES_MAX;
 * rows of other engines are passed over. DONE, or FAILED after a complaint.
 */
int crosscheck_read(const char *who, const char *path, const engine *e,
                    crosscheck_seen *seen, size_t *n);

#endif
