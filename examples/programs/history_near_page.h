/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * All engines of a history as one HTML page, the likeliest to leave its window first.
 */
#ifndef HISTORY_NEAR_PAGE_H
#define HISTORY_NEAR_PAGE_H

#include <dialarc.h>
#include <stdio.h>

#include "history_drift.h"

/* What is known of an engine. */
typedef struct nearing {
    char setup[DIALARC_NAME_SIZE];
    size_t n; /* sweeps */
    drift drift;
    double low_mm, high_mm, lift_mm, lift_u_mm, outside;
    drift_remark remark;
} nearing;

/* The time that is looked at. */
typedef struct nearing_time {
    char from[11]; /* day */
    int months;
    double from_year, to_year;
} nearing_time;

/* The page of n engines, in this order. */
void history_near_page(FILE *out, const nearing_time *when, size_t n,
                       const nearing *engine);

#endif
