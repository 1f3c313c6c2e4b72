/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/other_laws.h"

#include <math.h>
#include <string.h>

#include "cam/law.h"
#include "estimate/gauss_newton.h"
#include "numeric/cholesky.h"
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

/* Some readings of a fit, linear about its parameters. */
typedef struct glance {
    const darc_fit *fit;
    const darc_thin *thin;
    double mean_mm[DARC_THIN_MAX]; /* by the stated law, without errors of instruments */
    double slope[DARC_MAX_PARAM];
} glance;

/* Where the trial's law has the readings at the parameters of the fit, errors of dial and
 * wheel aside: they are the same for every law. */
static void place(const glance *g, darc_fit *trial)
{
    trial->model.dial_terms = trial->model.wheel_terms = false;
    darc_model_rows(&trial->model, trial->param, &g->thin->record,
                    trial->noise.angle_sd_deg, trial->at.rows);
}

/* Leaves the factor of the equations, which serves for all laws, in the trial. */
static void open_glance(const darc_fit *fit, const darc_thin *thin, darc_fit *trial,
                        glance *g)
{
    g->fit = fit;
    g->thin = thin;
    darc_fit_follow(trial, fit);
    place(g, trial);
    darc_fit_clear_normal(trial);
    for (size_t i = 0; i < thin->record.n; i++) {
        const darc_pull *p = &fit->at.pulls[thin->at[i]];
        g->mean_mm[i] = trial->at.rows[i].mean;
        darc_fit_add_row(trial, fit->at.rows[thin->at[i]].by, p->g, p->w);
    }
    darc_fit_slope(trial, g->slope);
    darc_fit_factorise(trial, NULL);
}

/* Log evidence of the trial's law by these readings, up to a constant: with slopes and
 * weights of the fit, as far as whether it is worth one of its own. */
static double look(const glance *g, darc_fit *trial)
{
    double slope[DARC_MAX_PARAM], step[DARC_MAX_PARAM], log_likelihood = 0.0, gain = 0.0;
    int n = trial->model.n_param;
    memcpy(slope, g->slope, sizeof slope);
    place(g, trial);
    for (size_t i = 0; i < g->thin->record.n; i++) {
        const darc_pull *p = &g->fit->at.pulls[g->thin->at[i]];
        const double *by = g->fit->at.rows[g->thin->at[i]].by;
        double d = trial->at.rows[i].mean - g->mean_mm[i];
        log_likelihood += d * (p->g - 0.5 * p->w * d);
        darc_add_row(n, -p->w * d, by, slope);
    }
    memcpy(step, slope, sizeof step);
    darc_fit_backsolve(trial, step);
    for (int k = 0; k < n; k++)
        gain += slope[k] * step[k];
    return log_likelihood + 0.5 * gain;
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
    bool worth[DARC_CANDIDATES];
    darc_thin thin;
    glance g;
    darc_thin_out(record, &thin);
    for (size_t i = 0; i < record->n; i++)
        margin += darc_is_sound(&fit->at.pulls[i]) ? 0.0 : PER_REJECTED;
    open_glance(fit, &thin, trial, &g);
    double least = look(&g, trial) - margin;
    for (int k = 0; k < DARC_CANDIDATES; k++) {
        const darc_candidate *c = &darc_candidates[k];
        worth[k] = false;
        if (is_stated(fit, c))
            continue;
        sum += exp(c->log_prior);
        take_law(fit, c, trial);
        worth[k] = isgreater(look(&g, trial), least);
    }
    for (int k = 0; k < DARC_CANDIDATES; k++) {
        const darc_candidate *c = &darc_candidates[k];
        take_law(fit, c, trial);
        if (worth[k] && settle(record, trial, &rival[n]))
            rival[n++].log_odds += c->log_prior - log_evidence;
    }
    for (int k = 0; k < n; k++)
        rival[k].log_odds -= log(sum);
    return n;
}
