/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/law_average.h"

#include <math.h>
#include <string.h>

#define LEAST_SHAPING 1e-4 /* hypotheses less likely than this do not shape the lobe */

void darc_learned_average(const darc_learned *learned, darc_estimate *e)
{
    const darc_hypothesis *x = learned->hypothesis;
    int count = learned->count;
    double top = -INFINITY, sum = 0.0;
    memset(e, 0, sizeof *e);
    for (int k = 0; k < count; k++)
        top = fmax(top, x[k].log_evidence);
    for (int k = 0; k < count; k++) {
        double w = exp(x[k].log_evidence - top);
        sum += w;
        for (int q = 0; q < DARC_ASKED; q++) {
            e->mean[q] += w * x[k].mean[q];
            e->var[q] += w * x[k].second[q];
        }
        e->var_readings += w * x[k].var_readings;
        e->var_hysteresis += w * x[k].var_hysteresis;
        e->var_dial += w * x[k].var_dial;
        e->var_wheel += w * x[k].var_wheel;
        if (w > e->law_probability) {
            e->law_probability = w;
            e->law = x[k].law;
        }
    }
    for (int q = 0; q < DARC_ASKED; q++) {
        e->mean[q] /= sum;
        e->var[q] = fmax(e->var[q] / sum - e->mean[q] * e->mean[q], 0.0);
    }
    e->log_evidence = top + log(fmax(sum, 1.0)); /* the likeliest one alone is 1 */
    e->var_readings /= sum;
    e->var_hysteresis /= sum;
    e->var_dial /= sum;
    e->var_wheel /= sum;
    e->law_probability /= sum;
    e->var_cam = fmax(e->var[DARC_ASK_LIFT] - e->var_readings - e->var_hysteresis -
                          e->var_dial - e->var_wheel,
                      0.0);
}

const darc_hypothesis *darc_learned_best(const darc_learned *learned)
{
    const darc_hypothesis *best = learned->hypothesis;
    for (int k = 1; k < learned->count; k++)
        if (learned->hypothesis[k].log_evidence > best->log_evidence)
            best = &learned->hypothesis[k];
    return best;
}

void darc_learned_take(const darc_learned *learned, darc_model *model, double *param)
{
    const darc_hypothesis *best = darc_learned_best(learned);
    model->rise_law = model->fall_law = best->law;
    model->blend = best->blend;
    memcpy(param, best->param, (size_t)model->n_param * sizeof *param);
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
