/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "history_points.h"

#include <math.h>
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

/* The same sweep entered twice, under another name or day, is one. */
static int is_known(const points *p, const setting *s)
{
    for (size_t i = 0; i < p->n; i++)
        if (p->point[i].lift_mm == s->lift_mm &&
            p->point[i].rate_mm_per_crank_deg == s->rate_mm_per_crank_deg)
            return 1;
    return 0;
}

int points_add(points *p, const setting *s)
{
    drift_point *point = points_grown(p->point, p->n, &p->room, sizeof *point);
    double sd = s->lift_u_mm / NORMAL_95, shared = s->shared_sd_mm;
    if (!point)
        return -1;
    p->point = point;
    p->low_mm = s->lift_low_mm;
    p->high_mm = s->lift_high_mm;
    if (is_known(p, s))
        return 0;
    if (isnan(shared) || !(shared < sd))
        shared = 0.0;
    p->point[p->n++] = (drift_point){.year = s->year,
                                     .lift_mm = s->lift_mm,
                                     .own_sd_mm = sqrt(sd * sd - shared * shared),
                                     .shared_sd_mm = shared,
                                     .rate_mm_per_crank_deg = s->rate_mm_per_crank_deg};
    return 0;
}
