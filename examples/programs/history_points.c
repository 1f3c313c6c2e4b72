/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "history_points.h"

#include <stdlib.h>

#define NORMAL_95 1.959963984540054 /* expanded over standard uncertainty of a lift */

void *points_grown(void *array, size_t n, size_t *room, size_t size)
{
    if (n < *room)
        return array;
    size_t more = *room ? 2 * *room : 64;
    void *larger = realloc(array, more * size);
    if (larger)
        *room = more;
    return larger;
}

int points_add(points *p, const setting *s)
{
    drift_point *point = points_grown(p->point, p->n, &p->room, sizeof *point);
    if (!point)
        return -1;
    p->point = point;
    p->point[p->n++] = (drift_point){.year = s->year,
                                     .lift_mm = s->lift_mm,
                                     .lift_sd_mm = s->lift_u_mm / NORMAL_95,
                                     .rate_mm_per_crank_deg = s->rate_mm_per_crank_deg};
    p->low_mm = s->lift_low_mm;
    p->high_mm = s->lift_high_mm;
    return 0;
}
