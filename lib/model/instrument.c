/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/instrument.h"

#include <math.h>

#include "core/angle.h"
#include "core/sine.h"

/* The wheel shows the crank this much further on than it is, per unit of each amplitude;
 * the reading is one of a crank that has not come so far. Where the pump stood still in
 * the slack, the wheel's error where the crank turned counts in place of that here. */
static void add_wheel(const darc_model *m, const double *param, double crank_deg,
                      double *mean, double *by)
{
    double angle = DARC_RAD_PER_DEG * (crank_deg - m->wheel_zero_deg);
    double s, c;
    darc_sine_cosine(angle, &s, &c);
    double *own = by + m->first_wheel;
    own[0] = by[DARC_FOOT] * s;
    own[1] = by[DARC_FOOT] * (c - 1.0);
    for (int k = m->first_turn; k < m->n_param; k++) {
        if (by[k] == 0.0)
            continue;
        double turn_s, turn_c;
        darc_sine_cosine(DARC_RAD_PER_DEG * (param[k] - m->wheel_zero_deg), &turn_s,
                         &turn_c);
        own[0] += by[k] * (s - turn_s);
        own[1] += by[k] * (c - turn_c);
    }
    *mean += param[m->first_wheel] * own[0] + param[m->first_wheel + 1] * own[1];
}

/* What the dial shows for a travel: more or less of it by its own slope. */
static void add_dial(const darc_model *m, const double *param, double *mean,
                     double *slope, double *by)
{
    double travel = *mean - param[DARC_ZERO], per_mm = 2.0 * DARC_PI / m->dial_turn_mm;
    double s, c;
    darc_sine_cosine(per_mm * travel, &s, &c);
    const double *a = param + m->first_dial;
    double *own = by + m->first_dial;
    double grown = 1.0 + a[0] + per_mm * (a[1] * c + a[2] * s);
    for (int k = 0; k < m->n_param; k++)
        by[k] *= grown;
    *slope *= grown;
    own[0] = travel;
    own[1] = s;
    own[2] = 1.0 - c;
    by[DARC_ZERO] = 1.0;
    *mean += a[0] * own[0] + a[1] * own[1] + a[2] * own[2];
}

void darc_instrument_add(const darc_model *model, const double *param, double crank_deg,
                         double *mean, double *slope, double *by)
{
    if (model->wheel_terms)
        add_wheel(model, param, crank_deg, mean, by);
    if (model->dial_terms)
        add_dial(model, param, mean, slope, by);
}
