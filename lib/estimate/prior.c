/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/prior.h"

#include <math.h>
#include <string.h>

#define SLACK_MEAN_DEG    3.0
#define SLACK_SD_DEG      8.0
#define FREE_START_SD_DEG 5.0
#define LEAST_TURN_SD_DEG 1e-3
#define LEAST_HYST_SD_MM  1e-5

/* Rise, top dwell and base dwell as shares of the lobe pitch. Common practice, no source.
 */
static const double shape_mean[3] = {0.44, 0.06, 0.13};
static const double shape_sd[3] = {0.12, 0.06, 0.10};

/* A dwell cannot be negative: this share of the pitch holds it near zero. */
#define NEGATIVE_DWELL_SD 0.004

static void set_prior(darc_fit *fit, int k, double mean, double sd)
{
    fit->prior.mean[k] = mean;
    fit->prior.weight[k] = 1.0 / (sd * sd);
}

void darc_prior_basic(darc_fit *fit, const darc_problem *problem)
{
    const darc_record *record = &problem->record;
    double half = 0.5 * fit->noise.hysteresis_max_mm;
    memset(&fit->prior, 0, sizeof fit->prior);
    set_prior(fit, DARC_SLACK, SLACK_MEAN_DEG, SLACK_SD_DEG);
    set_prior(fit, DARC_HYST, half, fmax(half / sqrt(3.0), LEAST_HYST_SD_MM));
    set_prior(fit, DARC_LIFT, problem->cam.lift_mean_mm, problem->cam.lift_sd_mm);
    for (int k = 0; k < record->passes; k++) {
        int at = darc_turn_index(&fit->model, record, k);
        if (at < 0)
            continue;
        if (darc_starts_free(&fit->model, record, k)) { /* its caller knows where */
            set_prior(fit, at, fit->param[at], FREE_START_SD_DEG);
        } else {
            double turn = record->crank_deg[record->pass[k - 1].end - 1];
            fit->param[at] = turn;
            set_prior(fit, at, turn, fmax(fit->noise.angle_sd_deg, LEAST_TURN_SD_DEG));
        }
    }
}

void darc_prior_turns(darc_fit *fit, const darc_problem *problem)
{
    double param[DARC_MAX_PARAM];
    darc_gauss before = fit->prior;
    memcpy(param, fit->param, sizeof param);
    darc_prior_basic(fit, problem);
    for (int k = 0; k < fit->model.first_turn; k++) {
        fit->prior.mean[k] = before.mean[k];
        fit->prior.weight[k] = before.weight[k];
    }
    memcpy(fit->param, param, sizeof param);
}

void darc_prior_shape(darc_fit *fit)
{
    double pitch = fit->model.pitch_deg;
    for (int k = 0; k < 3; k++) {
        double sd = shape_sd[k] * pitch, mean = shape_mean[k] * pitch;
        double weight = 1.0 / (sd * sd), wall = 0.0;
        if (k > 0 && fit->param[DARC_RISE + k] < 0.0)
            wall = 1.0 / (NEGATIVE_DWELL_SD * NEGATIVE_DWELL_SD * pitch * pitch);
        fit->prior.mean[DARC_RISE + k] = mean * weight / (weight + wall);
        fit->prior.weight[DARC_RISE + k] = weight + wall;
    }
}
