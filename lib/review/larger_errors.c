/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/larger_errors.h"

#include <math.h>

#include <dialarc/conformity.h>

#include "estimate/solve.h"

/* Times the errors stated, and the odds of that before any reading. Common practice, no
 * source: who states them has measured them seldom. */
static const struct {
    double times, odds;
} scales[DARC_ERROR_SCALES] = {{1.5, 0.10}, {2.2, 0.06}, {3.3, 0.025}};

/* Log odds, at a glance, from which on readings are fitted, and what a reading that was
 * set aside for misread adds there to its clipped square. */
#define NEARLY_LIKELY (-6.0)
#define BY_REJECTED   4.0

/* What speaks for errors so many times as large, in log evidence, at a glance. */
static double glance(const darc_goodness *g, double times)
{
    double square = g->scatter * g->scatter * g->dof;
    return 0.5 * square * (1.0 - 1.0 / (times * times)) - g->dof * log(times) +
           BY_REJECTED * (double)g->rejected;
}

void darc_larger_errors(const darc_problem *problem, const darc_goodness *goodness,
                        double log_evidence, darc_memory *m, darc_rival *rival)
{
    for (int k = 0; k < DARC_ERROR_SCALES; k++) {
        darc_problem larger = *problem;
        darc_estimate e;
        double odds = log(scales[k].odds);
        rival[k] = (darc_rival){0.0, 0.0, -INFINITY};
        if (!(odds + glance(goodness, scales[k].times) > NEARLY_LIKELY))
            continue;
        larger.noise.angle_sd_deg *= scales[k].times;
        larger.noise.dial_sd_mm *= scales[k].times;
        darc_fit_solve(&m->other, &m->trial, &larger, false, &e);
        odds += e.log_evidence - log_evidence;
        if (darc_estimate_is_sensible(&e) && isfinite(odds))
            rival[k] = (darc_rival){e.mean[DARC_ASK_LIFT], e.var[DARC_ASK_LIFT], odds};
    }
}

/* By how much it makes the variance of readings larger. */
static double growth(const darc_goodness *goodness)
{
    double sum = 1.0, square = 1.0;
    for (int k = 0; k < DARC_ERROR_SCALES; k++) {
        double odds = log(scales[k].odds) + glance(goodness, scales[k].times);
        double weight = odds > NEARLY_LIKELY ? exp(odds) : 0.0;
        sum += weight;
        square += weight * scales[k].times * scales[k].times;
    }
    return square / sum;
}

#define SCATTERS 16 /* of equal probability, by which it is averaged */

double darc_larger_expected(double dof)
{
    double root = 0.0;
    if (!(dof > 0.0))
        return growth(&(darc_goodness){.dof = 0.0});
    for (int k = 0; k < SCATTERS; k++) {
        double z = 0.0, part = 2.0 / (9.0 * dof);
        dialarc_conformity_z((k + 0.5) / SCATTERS, &z);
        double cube = fmax(1.0 - part + z * sqrt(part), 0.0);
        const darc_goodness g = {.dof = dof, .scatter = sqrt(cube * cube * cube)};
        root += sqrt(growth(&g)) / SCATTERS;
    }
    return root * root;
}
