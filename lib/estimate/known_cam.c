/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fit of a cam whose shape is known, and what every fit shares. */
#include <math.h>
#include <string.h>

#include "cam/law.h"
#include "estimate/fit.h"

/* Weak priors: they matter only where a sweep leaves a quantity undetermined. */
#define SLACK_MEAN_DEG    3.0
#define SLACK_SD_DEG      8.0
#define LIFT_MEAN_MM      2.4
#define LIFT_SD_MM        1.0
#define NOMINAL_LIFT_SD   0.05 /* of a total lift that the setup gives */
#define FREE_START_SD_DEG 5.0

static void set_prior(darc_fit *fit, int k, double mean, double sd)
{
    fit->prior.mean[k] = mean;
    fit->prior.weight[k] = 1.0 / (sd * sd);
}

void darc_fit_prior_basic(darc_fit *fit, const darc_record *record)
{
    double half = 0.5 * fit->noise.hysteresis_max_mm;
    memset(&fit->prior, 0, sizeof fit->prior);
    set_prior(fit, DARC_SLACK, SLACK_MEAN_DEG, SLACK_SD_DEG);
    set_prior(fit, DARC_HYST, half, fmax(half / sqrt(3.0), 1e-5));
    set_prior(fit, DARC_LIFT, LIFT_MEAN_MM, LIFT_SD_MM);
    for (int k = 0; k < record->passes; k++) {
        int at = darc_turn_index(&fit->model, record, k);
        if (at < 0)
            continue;
        if (darc_starts_free(&fit->model, record, k)) { /* its caller knows where */
            set_prior(fit, at, fit->param[at], FREE_START_SD_DEG);
        } else {
            double turn = record->crank_deg[record->pass[k - 1].end - 1];
            fit->param[at] = turn;
            set_prior(fit, at, turn, fmax(fit->noise.angle_sd_deg, 1e-3));
        }
    }
}

void darc_fit_gradient(const darc_fit *fit, double value[DARC_ASKED],
                       double gradient[DARC_ASKED][DARC_MAX_PARAM])
{
    const darc_model *m = &fit->model;
    double ratio = m->crank_per_pump, pitch = m->pitch_deg * ratio;
    double foot = fit->param[DARC_FOOT];
    darc_lift lift;
    darc_model_lift(m, fit->param, -foot / ratio, &lift);
    memset(gradient, 0, DARC_ASKED * sizeof gradient[0]);
    double *g = gradient[DARC_ASK_LIFT];
    g[DARC_FOOT] = -lift.per_deg / ratio;
    g[DARC_LIFT] = lift.by_lift;
    if (m->learned) {
        g[DARC_RISE] = lift.by_rise;
        g[DARC_TOP] = lift.by_top;
        g[DARC_BASE] = lift.by_base;
        memcpy(g + DARC_TERMS, lift.term, 2 * (size_t)m->terms * sizeof g[0]);
    }
    gradient[DARC_ASK_ZERO][DARC_ZERO] = 1.0;
    gradient[DARC_ASK_FOOT][DARC_FOOT] = 1.0;
    gradient[DARC_ASK_SLACK][DARC_SLACK] = 1.0;
    gradient[DARC_ASK_HYST][DARC_HYST] = 1.0;
    gradient[DARC_ASK_TOTAL][DARC_LIFT] = 1.0;
    value[DARC_ASK_LIFT] = lift.mm;
    value[DARC_ASK_ZERO] = fit->param[DARC_ZERO];
    value[DARC_ASK_FOOT] = foot - pitch * ceil(foot / pitch);
    value[DARC_ASK_SLACK] = fit->param[DARC_SLACK];
    value[DARC_ASK_HYST] = fit->param[DARC_HYST];
    value[DARC_ASK_RATE] = lift.per_deg / ratio;
    value[DARC_ASK_TOTAL] = fit->param[DARC_LIFT];
    value[DARC_ASK_RISE] = m->learned ? fit->param[DARC_RISE] : m->rise_deg;
    if (m->learned)
        gradient[DARC_ASK_RISE][DARC_RISE] = 1.0;
}

void darc_fit_model_init(darc_fit *fit, const dialarc_setup *setup,
                         const darc_noise *noise)
{
    memset(fit, 0, sizeof *fit);
    fit->noise = *noise;
    fit->misread_share = 0.05;
    fit->model.pitch_deg = 360.0 / setup->lobes;
    fit->model.crank_per_pump =
        isnan(setup->crank_per_pump) ? 2.0 : setup->crank_per_pump;
    fit->model.blend = DARC_DEFAULT_BLEND;
}

static double variance(darc_fit *fit, const double *gradient)
{
    double v[DARC_MAX_PARAM], sum = 0.0;
    memcpy(v, gradient, (size_t)fit->model.n_param * sizeof v[0]);
    darc_fit_backsolve(fit, v);
    for (int k = 0; k < fit->model.n_param; k++)
        sum += v[k] * gradient[k];
    return sum;
}

/* Where the curve of a table stands this share of its span from its ends, its flanks
 * begin and end; it decides no more than in which dwell the dial turns. */
#define DWELL_SHARE 0.002

/* The cam's shape from the setup, or from the table that takes its place. */
static void give_cam(darc_scratch *s, const dialarc_setup *setup)
{
    darc_model *m = &s->fit.model;
    m->rise_law = m->fall_law = setup->cam_law;
    m->rise_deg = setup->rise_deg;
    m->top_deg = setup->top_dwell_deg;
    m->base_deg = setup->base_dwell_deg;
    m->table = s->table;
    if (!s->table)
        return;
    double period, low, high, foot = 0.0, top = 0.0, leave = 0.0, rest = 0.0;
    dialarc_camtable_range(s->table, &period, &low, &high);
    double small = DWELL_SHARE * (high - low);
    dialarc_camtable_angle_at_lift(s->table, low + small, DIALARC_FLANK_RISING, 0.0,
                                   &foot);
    dialarc_camtable_angle_at_lift(s->table, high - small, DIALARC_FLANK_RISING,
                                   foot + 0.4 * period, &top);
    dialarc_camtable_angle_at_lift(s->table, high - small, DIALARC_FLANK_FALLING, top,
                                   &leave);
    dialarc_camtable_angle_at_lift(s->table, low + small, DIALARC_FLANK_FALLING,
                                   leave + 0.4 * period, &rest);
    m->table_low_mm = low;
    m->table_high_mm = high;
    m->rise_deg = top;
    m->top_deg = fmax(leave - top, 0.0);
    m->base_deg = fmax(period - rest, 0.0);
}

void darc_fit_known(darc_scratch *s, const dialarc_setup *setup, const darc_noise *noise,
                    darc_answer *answer)
{
    darc_fit *fit = &s->fit;
    s->explanations = 0;
    darc_fit_model_init(fit, setup, noise);
    give_cam(s, setup);
    darc_model_layout(&fit->model, &s->record);
    darc_fit_prior_basic(fit, &s->record);
    if (!isnan(setup->cam_lift_mm))
        set_prior(fit, DARC_LIFT, setup->cam_lift_mm,
                  NOMINAL_LIFT_SD * setup->cam_lift_mm);
    darc_fit_start(fit, &s->record);
    darc_fit_iterate(fit, &s->record, s->rows, s->pulls);
    darc_fit_slack(s);
    darc_answer_clear(answer);
    answer->law = setup->cam_law;
    if (!fit->solved)
        return;

    double gradient[DARC_ASKED][DARC_MAX_PARAM];
    darc_fit_gradient(fit, answer->mean, gradient);
    for (int k = 0; k < DARC_ASKED; k++)
        answer->var[k] = variance(fit, gradient[k]);
    double hyst[DARC_MAX_PARAM] = {0.0};
    hyst[DARC_HYST] = 1.0;
    darc_fit_backsolve(fit, hyst);
    double shared = 0.0; /* covariance of lift at TDC and hysteresis */
    for (int k = 0; k < fit->model.n_param; k++)
        shared += hyst[k] * gradient[DARC_ASK_LIFT][k];
    answer->var_hysteresis = shared * shared / hyst[DARC_HYST];
    answer->var_readings = fmax(answer->var[DARC_ASK_LIFT] - answer->var_hysteresis, 0.0);
    answer->var_cam = 0.0;
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++) {
        darc_lift lift;
        darc_model_lift(&fit->model, fit->param,
                        fit->model.rise_deg * k / DIALARC_RISE_INTERVALS, &lift);
        answer->rise_mm[k] = lift.mm;
    }
    answer->law_probability = 1.0;
    answer->converged = fit->converged;
}
