/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit_average.h"

#include <math.h>
#include <string.h>

#define LEAST_WEIGHT 1e-4 /* explanations less likely than this do not shape the rise */

void darc_explanation_average(const darc_explanation *x, int count, darc_answer *a)
{
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

/* Lift along the mean rise, averaged over the laws in crank angle. */
void darc_explanation_rise(const darc_fit *fit, const darc_explanation *x, int count,
                           darc_answer *a)
{
    double top = -INFINITY, sum = 0.0;
    darc_model model = fit->model;
    for (int k = 0; k < count; k++)
        top = fmax(top, x[k].log_evidence);
    memset(a->rise_mm, 0, sizeof a->rise_mm);
    for (int k = 0; k < count; k++) {
        double w = exp(x[k].log_evidence - top);
        if (!(w > LEAST_WEIGHT))
            continue;
        sum += w;
        model.rise_law = model.fall_law = x[k].law;
        model.blend = x[k].blend;
        double pitch = model.pitch_deg * model.crank_per_pump,
               foot = x[k].param[DARC_FOOT];
        foot -= pitch * ceil(foot / pitch);
        double lag = (a->mean[DARC_ASK_FOOT] - foot) / model.crank_per_pump;
        for (int j = 0; j <= DIALARC_RISE_INTERVALS; j++) {
            darc_lift lift;
            double at = a->mean[DARC_ASK_RISE] * j / DIALARC_RISE_INTERVALS;
            darc_model_lift(&model, x[k].param, at + lag, &lift);
            a->rise_mm[j] += w * lift.mm;
        }
    }
    for (int j = 0; j <= DIALARC_RISE_INTERVALS; j++)
        a->rise_mm[j] /= sum;
}
