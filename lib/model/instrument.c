/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/instrument.h"

#include <math.h>

#include "core/angle.h"
#include "core/sine.h"

static double wheel_rad(const darc_model *m, double crank_deg)
{
    return DARC_RAD_PER_DEG * (crank_deg - m->wheel_zero_deg);
}

static double needle_rad_per_mm(const darc_model *m)
{
    return 2.0 * DARC_PI / m->dial_turn_mm;
}

/* `s` and `c` of where the wheel stands: it shows the crank this much further on than it
 * is, per unit of each amplitude; the reading is one of a crank that has not come so far.
 * Where the pump stood still in the slack, the wheel's error where the crank turned
 * counts in place of that here. */
static void add_wheel(const darc_model *m, const double *param, double s, double c,
                      double *mean, double *by)
{
    double *own = by + m->first_wheel;
    own[0] = by[DARC_FOOT] * s;
    own[1] = by[DARC_FOOT] * (c - 1.0);
    for (int k = m->first_turn; k < m->n_param; k++) {
        if (by[k] == 0.0)
            continue;
        double turn_s, turn_c;
        darc_sine_cosine(wheel_rad(m, param[k]), &turn_s, &turn_c);
        own[0] += by[k] * (s - turn_s);
        own[1] += by[k] * (c - turn_c);
    }
    *mean += param[m->first_wheel] * own[0] + param[m->first_wheel + 1] * own[1];
}

/* What the dial shows for a travel: more or less of it by its own slope. */
static void add_dial(const darc_model *m, const double *param, double s, double c,
                     double *mean, double *slope, double *by)
{
    double travel = *mean - param[DARC_ZERO], per_mm = needle_rad_per_mm(m);
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
    double s, c;
    if (model->wheel_terms) {
        darc_sine_cosine(wheel_rad(model, crank_deg), &s, &c);
        add_wheel(model, param, s, c, mean, by);
    }
    if (model->dial_terms) {
        darc_sine_cosine(needle_rad_per_mm(model) * (*mean - param[DARC_ZERO]), &s, &c);
        add_dial(model, param, s, c, mean, slope, by);
    }
}

/* The same for n rows, a block at most. */
static void add_block(const darc_model *m, const double *param, const double *crank_deg,
                      size_t n, darc_row *row)
{
    double x[DARC_SINE_BLOCK] = {0.0}, s[DARC_SINE_BLOCK], c[DARC_SINE_BLOCK];
    if (m->wheel_terms) {
        for (size_t i = 0; i < n; i++)
            x[i] = wheel_rad(m, crank_deg[i]);
        darc_sine_cosine_block(x, s, c);
        for (size_t i = 0; i < n; i++)
            add_wheel(m, param, s[i], c[i], &row[i].mean, row[i].by);
    }
    if (m->dial_terms) {
        for (size_t i = 0; i < n; i++)
            x[i] = needle_rad_per_mm(m) * (row[i].mean - param[DARC_ZERO]);
        darc_sine_cosine_block(x, s, c);
        for (size_t i = 0; i < n; i++)
            add_dial(m, param, s[i], c[i], &row[i].mean, &row[i].slope, row[i].by);
    }
}

void darc_instrument_add_rows(const darc_model *model, const double *param,
                              const double *crank_deg, size_t n, darc_row *row)
{
    for (size_t i = 0; i < n; i += DARC_SINE_BLOCK)
        add_block(model, param, crank_deg + i,
                  n - i < DARC_SINE_BLOCK ? n - i : DARC_SINE_BLOCK, row + i);
}
