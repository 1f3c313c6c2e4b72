/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "guide/outlook.h"

#include <math.h>
#include <string.h>

#include "estimate/known_cam.h"
#include "estimate/levels.h"
#include "estimate/prior.h"
#include "review/larger_errors.h"

#define MIDDLE_LEVEL 2 /* of the bends that a cam to be learned may have */

void darc_outlook_bends(darc_fit *fit)
{
    darc_levels_set(fit, fit->param[DARC_LIFT],
                    (darc_levels){MIDDLE_LEVEL, MIDDLE_LEVEL});
}

/* A cam that is to be learned, as a lobe of the middle kind. */
static void begin_learned(darc_fit *fit, const darc_problem *problem,
                          const darc_guess *guess)
{
    darc_fit_begin(fit, problem);
    fit->model.learned = true;
    fit->model.terms = DARC_SHAPE_TERMS;
    fit->model.rise_law = fit->model.fall_law = guess->law;
    darc_model_layout(&fit->model, &problem->record);
    darc_prior_basic(fit, problem);
    for (int k = 0; k < 3; k++)
        fit->param[DARC_RISE + k] = fit->segments.mean[k];
    fit->param[DARC_RISE] += guess->rise_sds * fit->segments.sd[0];
    darc_prior_shape(fit);
    fit->param[DARC_LIFT] = fit->prior.mean[DARC_LIFT];
    darc_outlook_bends(fit);
}

/* Puts the foot where the lift at TDC is as wanted; false when it never is. */
static bool place_foot(darc_fit *fit, double lift_mm)
{
    const darc_model *m = &fit->model;
    double low = 0.0, high = m->learned ? fit->param[DARC_RISE] : m->rise_deg;
    if (!(lift_mm > 0.0 && lift_mm < fit->param[DARC_LIFT]))
        return false;
    for (;;) {
        double middle = 0.5 * (low + high);
        darc_lift lift;
        if (!(middle > low && middle < high))
            break;
        darc_model_lift(m, fit->param, middle, &lift);
        if (lift.mm < lift_mm)
            low = middle;
        else
            high = middle;
    }
    fit->param[DARC_FOOT] = -low * m->crank_per_pump;
    return true;
}

/* The fit of a problem where nothing has been read; its rows. */
static bool begin(darc_fit *fit, const darc_problem *problem, const darc_guess *guess)
{
    if (problem->cam.given) {
        darc_fit_known_begin(fit, problem);
        if (fit->model.learned)
            darc_prior_shape(fit);
    } else {
        begin_learned(fit, problem, guess);
    }
    fit->param[DARC_LIFT] = fit->prior.mean[DARC_LIFT];
    fit->param[DARC_SLACK] = guess->slack_deg;
    fit->param[DARC_HYST] = fit->prior.mean[DARC_HYST];
    if (!place_foot(fit, guess->lift_mm))
        return false;
    darc_model_rows(&fit->model, fit->param, &problem->record, fit->noise.angle_sd_deg,
                    fit->at.rows);
    return true;
}

dialarc_status darc_outlook_open(darc_memory *m, const dialarc_setup *setup,
                                 const darc_guess *guess, size_t n,
                                 const double *crank_deg, double *dial_mm,
                                 darc_problem *problem)
{
    const dialarc_sweep sweep = {n, crank_deg, dial_mm, NULL};
    memset(dial_mm, 0, n * sizeof *dial_mm);
    /* Twice: the errors of a dial go by the travel that it is used over. */
    for (int round = 0; round < 2; round++) {
        dialarc_status status = darc_memory_open(m, setup, NULL, 0.0, &sweep, problem);
        if (status != DIALARC_OK)
            return status;
        problem->noise.step_mm = problem->known.noise.step_mm;
        problem->noise.dial_error_mm = problem->known.noise.dial_error_mm;
        if (!begin(&m->fit, problem, guess))
            return DIALARC_ERR_LIFT;
        for (size_t i = 0; i < n; i++)
            dial_mm[problem->record.row[i]] =
                darc_shown(&problem->known.dial, m->fit.at.rows[i].mean);
    }
    return DIALARC_OK;
}

#define GRADUATION_PLACES 16 /* between two graduations */

/* The information of a reading that is an interval: its mean over the places between two
 * graduations, at each the mean over the intervals into which it may fall. */
static double interval_weight(const darc_noise *noise, double sd, double share)
{
    double step = noise->step_mm, sum = 0.0;
    int reach = (int)ceil(5.0 * sd / step) + 1;
    for (int k = 0; k < GRADUATION_PLACES; k++) {
        double mean = ((k + 0.5) / GRADUATION_PLACES - 0.5) * step;
        for (int i = -reach; i <= reach; i++) {
            darc_pull p = darc_reading_pull(noise, share, i * step, mean, sd);
            sum += step * p.density * p.sound * p.w;
        }
    }
    return sum / GRADUATION_PLACES;
}

double darc_outlook_weight(const darc_noise *noise, const darc_row *row)
{
    double share = darc_misread_share(0.0), sd = darc_pull_sd(noise, row->slope, 0.0);
    if (darc_is_interval(sd, noise->step_mm))
        return interval_weight(noise, sd, share);
    return darc_reading_pull(noise, share, 0.0, 0.0, sd).w;
}

/* Degrees of freedom that readings leave: each less what it tells of the parameters. */
static double freedom(const darc_fit *fit, size_t n)
{
    double dof = 0.0;
    for (size_t i = 0; i < n; i++)
        dof += 1.0 - fit->at.pulls[i].w * darc_fit_variance(fit, fit->at.rows[i].by);
    return fmax(dof, 0.0);
}

bool darc_outlook_known(darc_fit *fit, const darc_problem *problem, darc_estimate *e)
{
    size_t n = problem->record.n;
    darc_fit_clear_normal(fit);
    for (size_t i = 0; i < n; i++) {
        fit->at.pulls[i].w = darc_outlook_weight(&fit->noise, &fit->at.rows[i]);
        darc_fit_add_row(fit, fit->at.rows[i].by, 0.0, fit->at.pulls[i].w);
    }
    darc_estimate_clear(e);
    if (!darc_fit_factorise(fit, NULL))
        return false;
    e->law = problem->cam.law;
    darc_fit_known_tell(fit, &problem->cam, e);
    e->var_readings *= darc_larger_expected(freedom(fit, n));
    return darc_estimate_is_sensible(e);
}
