/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/law_average.h"

#include <math.h>
#include <string.h>

#define LEAST_SHAPING 1e-4 /* hypotheses less likely than this do not shape the lobe */

void darc_learned_average(const darc_learned *learned, darc_estimate *a)
{
    const darc_hypothesis *x = learned->hypothesis;
    int count = learned->count;
    double top = -INFINITY, sum = 0.0;
    memset(a, 0, sizeof *a);
    for (int k = 0; k < count; k++)
        top = fmax(top, x[k].log_evidence);
    for (int k = 0; k < count; k++) {
        double w = exp(x[k].log_evidence - top);
        sum += w;
        for (int q = 0; q < DARC_ASKED; q++) {
            a->mean[q] += w * x[k].mean[q];
            a->var[q] += w * x[k].second[q];
        }
        a->var_readings += w * x[k].var_readings;
        a->var_hysteresis += w * x[k].var_hysteresis;
        if (w > a->law_probability) {
            a->law_probability = w;
            a->law = x[k].law;
        }
    }
    for (int q = 0; q < DARC_ASKED; q++) {
        a->mean[q] /= sum;
        a->var[q] = fmax(a->var[q] / sum - a->mean[q] * a->mean[q], 0.0);
    }
    a->var_readings /= sum;
    a->var_hysteresis /= sum;
    a->law_probability /= sum;
    a->var_cam = fmax(a->var[DARC_ASK_LIFT] - a->var_readings - a->var_hysteresis, 0.0);
}

void darc_learned_lifts(const darc_learned *learned, double step_deg, int n,
                        double *lift_mm)
{
    const darc_hypothesis *x = learned->hypothesis;
    int count = learned->count;
    double top = -INFINITY, sum = 0.0;
    darc_model model = learned->model;
    double ratio = model.crank_per_pump, pitch = model.pitch_deg * ratio;
    for (int k = 0; k < count; k++)
        top = fmax(top, x[k].log_evidence);
    for (int j = 0; j < n; j++)
        lift_mm[j] = 0.0;
    for (int k = 0; k < count; k++) {
        double w = exp(x[k].log_evidence - top);
        if (!(w > LEAST_SHAPING))
            continue;
        sum += w;
        model.rise_law = model.fall_law = x[k].law;
        model.blend = x[k].blend;
        double lag = (learned->foot_deg - x[k].param[DARC_FOOT]) / ratio;
        lag -= model.pitch_deg * round(lag * ratio / pitch);
        for (int j = 0; j < n; j++) {
            darc_lift lift;
            darc_model_lift(&model, x[k].param, j * step_deg + lag, &lift);
            lift_mm[j] += w * lift.mm;
        }
    }
    for (int j = 0; j < n; j++)
        lift_mm[j] /= sum;
}
