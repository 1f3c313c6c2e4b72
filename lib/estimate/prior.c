/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/prior.h"

#include <math.h>
#include <string.h>

#define SLACK_MEAN_DEG     3.0
#define SLACK_SD_DEG       8.0
#define FREE_START_SD_DEG  5.0
#define LEAST_TURN_SD_DEG  1e-3
#define LEAST_HYST_SD_MM   1e-5
#define LEAST_NEEDLE_SD_MM 1e-6

/* Rise, top dwell and base dwell as shares of the lobe pitch. Common practice, no source.
 */
static const double shape_mean[3] = {0.44, 0.06, 0.13};
static const double shape_sd[3] = {0.12, 0.06, 0.10};

/* A dwell cannot be negative: this share of the pitch holds it near zero. */
#define NEGATIVE_DWELL_SD 0.004

/* How much smaller a free term is thought to be than the first: k^1.5. */
static const double decay[DARC_SHAPE_TERMS] = {1.0,
                                               2.8284271247461903,
                                               5.196152422706632,
                                               8.0,
                                               11.180339887498949,
                                               14.696938456699069,
                                               18.520259177452136,
                                               22.627416997969522,
                                               27.0,
                                               31.622776601683793};

static void set_prior(darc_fit *fit, int k, double mean, double sd)
{
    fit->prior.mean[k] = mean;
    fit->prior.weight[k] = 1.0 / (sd * sd);
}

/* Of a learned cam as lobes have them; of a stated one as stated. */
static void set_segments(darc_fit *fit, const darc_given_cam *cam)
{
    const double stated[3] = {cam->rise_deg, cam->top_deg, cam->base_deg};
    for (int k = 0; k < 3; k++) {
        fit->segments.mean[k] = shape_mean[k] * fit->model.pitch_deg;
        fit->segments.sd[k] = shape_sd[k] * fit->model.pitch_deg;
        if (fit->model.law_stated) {
            fit->segments.mean[k] = stated[k];
            fit->segments.sd[k] = cam->rise_sd_deg;
        }
    }
}

static void set_instruments(darc_fit *fit, const darc_instruments *sd)
{
    int dial = fit->model.first_dial, wheel = fit->model.first_wheel;
    if (fit->model.dial_terms) {
        set_prior(fit, dial, 0.0, sd->travel_sd);
        set_prior(fit, dial + 1, 0.0, fmax(sd->needle_sd_mm, LEAST_NEEDLE_SD_MM));
        set_prior(fit, dial + 2, 0.0, fmax(sd->needle_sd_mm, LEAST_NEEDLE_SD_MM));
    }
    if (fit->model.wheel_terms) {
        set_prior(fit, wheel, 0.0, sd->wheel_sd_deg);
        set_prior(fit, wheel + 1, 0.0, sd->wheel_sd_deg);
    }
}

void darc_prior_turns(darc_fit *fit, const darc_problem *problem)
{
    const darc_record *record = &problem->record;
    for (int k = 0; k < record->passes; k++) {
        int at = darc_turn_index(&fit->model, record, k);
        if (at < 0)
            continue;
        if (darc_starts_free(&fit->model, record, k)) /* its caller knows where */
            set_prior(fit, at, fit->param[at], FREE_START_SD_DEG);
        else
            set_prior(fit, at, record->crank_deg[record->pass[k - 1].end - 1],
                      fmax(fit->noise.angle_sd_deg, LEAST_TURN_SD_DEG));
    }
}

void darc_prior_basic(darc_fit *fit, const darc_problem *problem)
{
    double half = 0.5 * fit->noise.hysteresis_max_mm;
    memset(&fit->prior, 0, sizeof fit->prior);
    set_prior(fit, DARC_SLACK, SLACK_MEAN_DEG, SLACK_SD_DEG);
    set_prior(fit, DARC_HYST, half, fmax(half / sqrt(3.0), LEAST_HYST_SD_MM));
    if (problem->zero_sd_mm > 0.0)
        set_prior(fit, DARC_ZERO, problem->zero_mm, problem->zero_sd_mm);
    set_prior(fit, DARC_LIFT, problem->cam.lift_mean_mm, problem->cam.lift_sd_mm);
    set_segments(fit, &problem->cam);
    set_instruments(fit, &problem->instruments);
    darc_prior_turns(fit, problem);
    for (int k = fit->model.first_turn; k < fit->model.n_param; k++)
        fit->param[k] = fit->prior.mean[k];
}

void darc_prior_shape(darc_fit *fit)
{
    double pitch = fit->model.pitch_deg;
    for (int k = 0; k < 3; k++) {
        double sd = fit->segments.sd[k], mean = fit->segments.mean[k];
        double weight = 1.0 / (sd * sd), wall = 0.0;
        if (k > 0 && fit->param[DARC_RISE + k] < 0.0)
            wall = 1.0 / (NEGATIVE_DWELL_SD * NEGATIVE_DWELL_SD * pitch * pitch);
        fit->prior.mean[DARC_RISE + k] = mean * weight / (weight + wall);
        fit->prior.weight[DARC_RISE + k] = weight + wall;
    }
}

static double term_weight(double total_mm, double share, int term)
{
    double sd = total_mm * share / decay[term];
    return 1.0 / (sd * sd);
}

void darc_prior_terms(darc_fit *fit, double total_mm, double rise_share,
                      double fall_share)
{
    double *rise = fit->prior.weight + DARC_TERMS, *fall = rise + fit->model.terms;
    for (int k = 0; k < fit->model.terms; k++) {
        rise[k] = term_weight(total_mm, rise_share, k);
        fall[k] = term_weight(total_mm, fall_share, k);
    }
}
