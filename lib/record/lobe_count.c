/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Lobes counted in the record: the whole number of cycles a pump turn at which a sine
 * wave takes up most of the readings' variation. A cam rises and falls once a lobe, so
 * its first harmonic is its strongest; no lobe count is assumed.
 */
#include "record/lobe_count.h"

#include <math.h>

#include "core/angle.h"

#define LEAST_WAVE_SHARE 0.2 /* of the variation, for a count to be believed */

/* The pass with the longest way: slack does not shift it against itself. */
static const darc_pass *longest_pass(const darc_record *record)
{
    const darc_pass *best = &record->pass[0];
    double longest = -1.0;
    for (int k = 0; k < record->passes; k++) {
        const darc_pass *p = &record->pass[k];
        double way = fabs(record->crank_deg[p->end - 1] - record->crank_deg[p->begin]);
        if (way > longest) {
            longest = way;
            best = p;
        }
    }
    return best;
}

/* Sum of squares about the mean, and what a wave of so many cycles takes off it. */
static double wave_gain(const darc_record *record, const darc_pass *pass, double ratio,
                        int cycles, double *about_mean)
{
    double n = (double)(pass->end - pass->begin);
    double c = 0, s = 0, y = 0, cc = 0, cs = 0, ss = 0, cy = 0, sy = 0, yy = 0;
    for (size_t i = pass->begin; i < pass->end; i++) {
        double angle = DARC_RAD_PER_DEG * cycles * record->crank_deg[i] / ratio;
        double x = cos(angle), z = sin(angle), v = record->lift_mm[i];
        c += x;
        s += z;
        y += v;
        cc += x * x;
        cs += x * z;
        ss += z * z;
        cy += x * v;
        sy += z * v;
        yy += v * v;
    }
    cc -= c * c / n;
    cs -= c * s / n;
    ss -= s * s / n;
    cy -= c * y / n;
    sy -= s * y / n;
    *about_mean = yy - y * y / n;
    double det = cc * ss - cs * cs;
    if (!(det > 1e-6 * n * n)) /* readings too few or too even to tell this wave */
        return 0.0;
    return (cy * cy * ss - 2.0 * cy * sy * cs + sy * sy * cc) / det;
}

int darc_lobes_seen(const darc_record *record, double crank_per_pump)
{
    const darc_pass *pass = longest_pass(record);
    double best = 0.0, about_mean = 0.0;
    int seen = 0;
    for (int cycles = 1; cycles <= DIALARC_LOBES_MAX; cycles++) {
        double gain = wave_gain(record, pass, crank_per_pump, cycles, &about_mean);
        if (gain > best) {
            best = gain;
            seen = cycles;
        }
    }
    return best > LEAST_WAVE_SHARE * about_mean ? seen : 0;
}
