/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/parts.h"

#include <math.h>

#define HELD 1e14 /* weight of a parameter that is not to move */

void darc_parts_hold(darc_fit *fit, int from, int to)
{
    for (int k = from; k < to; k++)
        fit->prior.weight[k] = HELD;
    darc_fit_factorise(fit, NULL);
}

/* Holds parameters from..to-1; returns by how much that lessens a variance. */
static double lessens(darc_fit *fit, const double *gradient, int from, int to,
                      double *variance)
{
    double before = *variance;
    if (from >= to)
        return 0.0;
    darc_parts_hold(fit, from, to);
    *variance = fmin(darc_fit_variance(fit, gradient), before);
    return before - *variance;
}

darc_parts darc_parts_of(const darc_fit *fit, const double *gradient)
{
    const darc_model *m = &fit->model;
    darc_fit held = *fit; /* with the same arrays */
    int segments_end = m->law_stated ? DARC_TERMS : DARC_RISE;
    darc_parts p;
    p.rest = darc_fit_variance(fit, gradient);
    p.dial = lessens(&held, gradient, m->first_dial, m->first_wheel, &p.rest);
    p.wheel = lessens(&held, gradient, m->first_wheel, m->first_turn, &p.rest);
    p.segments = lessens(&held, gradient, DARC_RISE, segments_end, &p.rest);
    held.prior = fit->prior;
    if (m->first_turn > m->first_dial || m->law_stated)
        darc_fit_factorise(&held, NULL);
    return p;
}
