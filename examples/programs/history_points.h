/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The settings of one engine as points for its drift.
 */
#ifndef HISTORY_POINTS_H
#define HISTORY_POINTS_H

#include <stddef.h>

#include "history_drift.h"
#include "history_store.h"

typedef struct points {
    size_t n, room;
    drift_point *point;
    double low_mm, high_mm; /* window of the last one */
} points;

/* One more point, unless it is there already: 0, or -1 when there is not enough memory.
 */
int points_add(points *p, const setting *s);

/* The array, which holds n things, with room for one more; NULL: no memory. */
void *points_grown(void *array, size_t n, size_t *room, size_t size);

#endif
