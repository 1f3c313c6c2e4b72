/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/other_laws.h"

#include <math.h>

#include "cam/law.h"
#include "estimate/gauss_newton.h"
#include "record/thin.h"

/* In log evidence by some of the readings, and more for each that the stated law has set
 * aside, which another may explain. */
#define FAR_BEHIND   12.0
#define PER_REJECTED 6.0

static bool is_stated(const darc_fit *fit, const darc_candidate *c)
{
    return c->law == fit->model.rise_law && c->law == fit->model.fall_law &&
           c->blend == fit->model.blend;
}

/* Makes the trial begin where the fit stands, with another law. */
static void take_law(const darc_fit *fit, const darc_candidate *c, darc_fit *trial)
{
    darc_fit_follow(trial, fit);
    trial->model.rise_law = trial->model.fall_law = c->law;
    trial->model.blend = c->blend;
}

/* Log evidence of the trial's law by some of the readings, up to the constant that
 * belongs to them: linear about the fit's parameters, with the fit's weights. */
static double glance(const darc_fit *fit, const darc_thin *thin, darc_fit *trial)
{
    double step[DARC_MAX_PARAM], log_likelihood = 0.0;
    darc_model_rows(&trial->model, trial->param, &thin->record, trial->noise.angle_sd_deg,
                    trial->at.rows);
    darc_fit_clear_normal(trial);
    for (size_t i = 0; i < thin->record.n; i++) {
        const darc_pull *p = &fit->at.pulls[thin->at[i]];
        double d = trial->at.rows[i].mean - fit->at.rows[thin->at[i]].mean;
        log_likelihood += d * (p->g - 0.5 * p->w * d);
        darc_fit_add_row(trial, trial->at.rows[i].by, p->g - p->w * d, p->w);
    }
    return darc_fit_evidence(trial, log_likelihood, step);
}

/* What the trial makes of the readings from where it begins. */
static bool settle(const darc_record *record, darc_fit *trial, darc_rival *rival)
{
    double value[DARC_ASKED], gradient[DARC_ASKED][DARC_MAX_PARAM], step[DARC_MAX_PARAM];
    darc_fit_iterate(trial, record);
    if (!trial->solved)
        return false;
    rival->log_odds = darc_fit_evidence(trial, trial->log_likelihood, step);
    darc_fit_ask(trial, value, gradient);
    rival->lift_mm = value[DARC_ASK_LIFT];
    rival->var = darc_fit_variance(trial, gradient[DARC_ASK_LIFT]);
    return isfinite(rival->log_odds) && isfinite(rival->lift_mm) && rival->var >= 0.0;
}

int darc_other_laws(const darc_fit *fit, double log_evidence, const darc_record *record,
                    darc_fit *trial, darc_rival *rival)
{
    int n = 0;
    double sum = 0.0, margin = FAR_BEHIND;
    darc_thin thin;
    darc_thin_out(record, &thin);
    for (size_t i = 0; i < record->n; i++)
        margin += darc_is_sound(&fit->at.pulls[i]) ? 0.0 : PER_REJECTED;
    darc_fit_follow(trial, fit);
    double least = glance(fit, &thin, trial) - margin;
    for (int k = 0; k < DARC_CANDIDATES; k++) {
        const darc_candidate *c = &darc_candidates[k];
        if (is_stated(fit, c))
            continue;
        sum += exp(c->log_prior);
        take_law(fit, c, trial);
        if (!(glance(fit, &thin, trial) > least) || !settle(record, trial, &rival[n]))
            continue;
        rival[n++].log_odds += c->log_prior - log_evidence;
    }
    for (int k = 0; k < n; k++)
        rival[k].log_odds -= log(sum);
    return n;
}
