/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Sweeps of a day, gathered beside the history until store_commit() puts them into it.
 */
#ifndef HISTORY_GATHER_H
#define HISTORY_GATHER_H

#include "history_store.h"

/* A sweep and who and what stands behind it; texts that are not known are "". */
typedef struct gathered {
    const char *setup; /* name of the engine */
    const dialarc_sweep_record *record;
    const dialarc_batch_result *result;
    const char *hand; /* who measured */
    const char *dial, *certificate, *calibrated_on;
} gathered;

/* From here on sweeps of this day are gathered; 0, or -1 with a reason. */
int gather_begin(store *s, const char *day);
int gather(store *s, const gathered *g);

#endif
