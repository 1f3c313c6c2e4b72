/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/hysteresis.h"

#include <math.h>

#include "estimate/solve.h"

/* Times what the dial may have, and how likely either is before any reading: a stem that
 * binds, a bracket that gives way. Common practice, no source. */
static const double times[] = {2.5, 6.0};
#define PRIOR 0.02
/* A cam to be learned can take on some of it. */
#define PRIOR_LEARNED 0.005

/* Log odds, at a glance, from which on readings are fitted. Another fit of a learned cam
 * may be the better one for its shape alone. */
#define WORTH_A_FIT         (-4.0)
#define WORTH_A_LEARNED_FIT (-2.0)

/* Log density of what the readings alone say of the hysteresis, `mm` with a variance,
 * when the dial may have as much as `most_mm`. */
static double log_density(double mm, double var, double most_mm)
{
    double half = 0.5 * most_mm, all = var + half * half / 3.0;
    return -0.5 * (log(all) + (mm - half) * (mm - half) / all);
}

/* How much more, in log evidence, speaks for a dial that may have so many times as much:
 * at a glance, by what is left of the estimate when its prior is taken out of it. */
static double glance(const darc_estimate *e, double most_mm, double many)
{
    double half = 0.5 * most_mm, prior = half * half / 3.0, var = e->var[DARC_ASK_HYST];
    if (!(var > 0.0 && var < prior))
        return -INFINITY;
    double alone = 1.0 / (1.0 / var - 1.0 / prior);
    double mm = alone * (e->mean[DARC_ASK_HYST] / var - half / prior);
    return log_density(mm, alone, many * most_mm) - log_density(mm, alone, most_mm);
}

/* Whether the crank went both ways. */
static bool there_and_back(const darc_record *r)
{
    for (int k = 1; k < r->passes; k++)
        if (r->pass[k].direction != r->pass[0].direction)
            return true;
    return false;
}

darc_rival darc_more_hysteresis(const darc_problem *problem, bool learned,
                                const darc_estimate *estimate, double log_evidence,
                                darc_memory *m, double *most_mm)
{
    const double stated = problem->noise.hysteresis_max_mm;
    darc_rival best = {0.0, 0.0, -INFINITY};
    darc_problem more = *problem;
    const double prior = log(learned ? PRIOR_LEARNED : PRIOR);
    const double least = learned ? WORTH_A_LEARNED_FIT : WORTH_A_FIT;
    *most_mm = stated;
    if (learned && !there_and_back(&problem->record))
        return best; /* one way, the shape of the cam would do as well */
    for (int k = 0; k < (int)(sizeof times / sizeof times[0]); k++) {
        darc_estimate e;
        if (!(prior + glance(estimate, stated, times[k]) > least))
            continue;
        more.noise.hysteresis_max_mm = times[k] * stated;
        darc_fit_solve(&m->other, &m->trial, &more, learned, &e);
        double odds = prior + e.log_evidence - log_evidence;
        if (!darc_estimate_is_sensible(&e) || !isfinite(odds) || !(odds > best.log_odds))
            continue;
        best = (darc_rival){e.mean[DARC_ASK_LIFT], e.var[DARC_ASK_LIFT], odds};
        *most_mm = more.noise.hysteresis_max_mm;
    }
    return best;
}
