/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/step.h"

#include <math.h>
#include <string.h>

#include "numeric/cholesky.h"

/* Least and most of a step that is taken, unless a limit or the caller holds it shorter.
 */
#define LEAST_TAKEN 0.2
#define MOST_TAKEN  2.0

void darc_descent_begin(darc_descent *d)
{
    d->gain = 0.0;
    d->share = 1.0;
    d->most = MOST_TAKEN;
}

/* The share that the last step should have had, as the slope that it left shows: more
 * than 1 where readings still change their weight, less where the steps overshoot. */
static double next_share(const darc_descent *last, const double *slope, int n)
{
    double left = 0.0;
    if (!(last->gain > 0.0))
        return 1.0;
    for (int k = 0; k < n; k++)
        left += slope[k] * last->step[k];
    double gone = 1.0 - left / last->gain;
    double share = gone > last->share / last->most ? last->share / gone : last->most;
    return fmin(fmax(share, LEAST_TAKEN), last->most);
}

double darc_descent_step(darc_descent *last, const darc_system *s, const double *limit,
                         double *move)
{
    double d[DARC_STEP_MAX], gain = 0.0;
    if (!darc_cholesky(s->n, s->stride, s->normal, s->weight, s->factor, NULL))
        return -1.0;
    memcpy(d, s->slope, (size_t)s->n * sizeof d[0]);
    darc_cholesky_solve(s->n, s->stride, s->factor, d);
    for (int k = 0; k < s->n; k++)
        gain += d[k] * s->slope[k];
    if (!isfinite(gain))
        return -1.0;
    double share = next_share(last, s->slope, s->n);
    for (int k = 0; k < s->n; k++)
        if (fabs(d[k]) * share > limit[k])
            share = limit[k] / fabs(d[k]);
    for (int k = 0; k < s->n; k++) {
        move[k] = share * d[k];
        last->step[k] = d[k];
    }
    last->gain = gain;
    last->share = share;
    return sqrt(fmax(gain, 0.0));
}

void darc_step_limits(const darc_model *model, double total_mm, int n, double *limit)
{
    double pitch = model->pitch_deg * model->crank_per_pump;
    limit[DARC_ZERO] = 1.0;
    limit[DARC_FOOT] = 0.04 * pitch;
    limit[DARC_LIFT] = 0.3 * total_mm;
    limit[DARC_SLACK] = 3.0;
    limit[DARC_HYST] = 0.05;
    for (int k = DARC_BASIC; k < n; k++)
        limit[k] = INFINITY;
}
