/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "decision/looks.h"

#include <math.h>

#include <gsl/gsl_cdf.h>

#include "core/normal.h"
#include "decision/decision.h"

#define STEPS     64   /* of Simpson's rule */
#define SPAN      8.0  /* what lies below has a chance below 1e-15 */
#define MOST_Z    8.0  /* no verdict is that sure */
#define TOLERANCE 1e-9 /* of a quantile */
#define ALIKE     1e-6 /* what two looks may differ by and be one */

/* Chance that a look passes `z` and the one before did not pass `before`, of this
 * correlation. */
static double newly(double z, double before, double correlation)
{
    double rest = sqrt(1.0 - correlation * correlation), sum = 0.0;
    double step = (before + SPAN) / STEPS;
    if (rest < ALIKE)
        return fmax(gsl_cdf_ugaussian_Q(z) - gsl_cdf_ugaussian_Q(before), 0.0);
    for (int i = 0; i <= STEPS; i++) {
        double x = step * i - SPAN;
        double share = i == 0 || i == STEPS ? 1.0 : i % 2 ? 4.0 : 2.0;
        sum += share * darc_normal_density(x) *
               gsl_cdf_ugaussian_Q((z - correlation * x) / rest);
    }
    return sum * step / 3.0;
}

/* The quantile at which a look spends so much. */
static double quantile(double share, double before, double correlation)
{
    double low = 0.0, high = MOST_Z;
    while (high - low > TOLERANCE) {
        double middle = 0.5 * (low + high);
        if (newly(middle, before, correlation) > share)
            low = middle;
        else
            high = middle;
    }
    return high;
}

void darc_looks_count(const dialarc_conformity *where, double variance_ratio,
                      darc_looks *looks)
{
    double k = (double)++looks->n;
    double share = (1.0 - DARC_SURE) / (k * (k + 1.0));
    if (looks->n > 1 && variance_ratio <= 1.0)
        looks->z = quantile(share, looks->z, sqrt(variance_ratio));
    else
        dialarc_conformity_z(1.0 - share, &looks->z);
    looks->sure = gsl_cdf_ugaussian_P(looks->z);
    looks->in = looks->in || where->inside >= looks->sure;
    looks->low = looks->low || where->below >= looks->sure;
    looks->high = looks->high || where->above >= looks->sure;
}

dialarc_verdict darc_looks_verdict(const dialarc_conformity *where,
                                   const darc_looks *looks)
{
    return looks->in && where->inside >= DARC_SURE    ? DIALARC_VERDICT_IN
           : looks->low && where->below >= DARC_SURE  ? DIALARC_VERDICT_LOW
           : looks->high && where->above >= DARC_SURE ? DIALARC_VERDICT_HIGH
                                                      : DIALARC_VERDICT_UNDECIDED;
}
