/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Learning the cam from the sweep.
 *
 * Each law of the list, with its segment angles unknown, is one explanation of the
 * readings; each may be bent by smooth free terms on either flank, of an amplitude that
 * is unknown too. The answer is the average over laws and amplitudes, each weighted by
 * its probability given the readings: law-like where they support a law, free where they
 * do not. The readings enter as quadratic forms taken once, about a flexible fit that
 * already knows which readings are misread; so all explanations face the same data.
 */
#include <math.h>
#include <string.h>

#include "cam/law.h"
#include "estimate/fit.h"
#include "estimate/law_average.h"
#include "numeric/cholesky.h"

typedef struct candidate {
    dialarc_law law;
    double blend;
    double log_prior;
} candidate;

/* The seven laws, and the constant rate with other blends, which together count once. */
#define CANDIDATES      DARC_EXPLANATIONS
#define BLEND_LOG_PRIOR (-0.7)
static const candidate candidates[CANDIDATES] = {
    {DIALARC_LAW_MODIFIED_SINE, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_HARMONIC, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_POLY345, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_MODIFIED_TRAPEZOID, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_CONSTANT_RATE, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_CYCLOIDAL, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_POLY4567, DARC_DEFAULT_BLEND, 0.0},
    {DIALARC_LAW_CONSTANT_RATE, 0.10, BLEND_LOG_PRIOR},
    {DIALARC_LAW_CONSTANT_RATE, 0.14, BLEND_LOG_PRIOR},
    {DIALARC_LAW_CONSTANT_RATE, 0.19, BLEND_LOG_PRIOR},
    {DIALARC_LAW_CONSTANT_RATE, 0.31, BLEND_LOG_PRIOR},
    {DIALARC_LAW_CONSTANT_RATE, 0.37, BLEND_LOG_PRIOR},
    {DIALARC_LAW_CONSTANT_RATE, 0.44, BLEND_LOG_PRIOR},
};

#define LEVELS 6
/* Amplitude of the free terms as a share of the total lift: standard deviation of the
 * first term; the k-th has it over k^1.5. */
static const double level_share[LEVELS] = {2e-4, 8e-4, 2.5e-3, 7e-3, 2e-2, 5e-2};
static const double level_log_prior[LEVELS] = {0.0, 0.0, 0.3, -0.2, -1.0, -2.5};

/* Where the lift hides in the scatter, no reading tells one foot from another: the sd of
 * the foot that the laws tried leave out, over the angle in which it does. By simulation
 * with cams of and outside the laws. */
#define HIDDEN_SHARE 0.33

#define GRID           48
#define FLEXIBLE       5 /* level at which the readings are first looked at */
#define SHAPE_DECAY    1.5
#define LINEARISATIONS 12
#define SETTLED        2e-3 /* gain in log probability that is not worth another step */
#define PATIENCE       3
#define HOPELESS       12.0 /* behind in log evidence after that many steps */
#define LEAST_WEIGHT   1e-4 /* explanations less likely than this are left out */

static double level_sd(double total_mm, int level, int term)
{
    return total_mm * level_share[level] / pow(term + 1.0, SHAPE_DECAY);
}

static void set_levels(darc_fit *fit, double total_mm, int rise_level, int fall_level)
{
    for (int k = 0; k < fit->model.terms; k++) {
        double r = level_sd(total_mm, rise_level, k),
               f = level_sd(total_mm, fall_level, k);
        fit->prior.weight[DARC_TERMS + k] = 1.0 / (r * r);
        fit->prior.weight[DARC_TERMS + fit->model.terms + k] = 1.0 / (f * f);
    }
}

/* Weak knowledge of what a lobe looks like, as shares of the lobe pitch. */
static const double shape_mean[3] = {0.44, 0.06, 0.13};
static const double shape_sd[3] = {0.12, 0.06, 0.10};
/* a dwell cannot be negative: this holds it near zero */
#define NEGATIVE_DWELL_SD 0.004

void darc_fit_shape_prior(darc_fit *fit)
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

void darc_fit_look(darc_scratch *s, const dialarc_setup *setup, const darc_noise *noise)
{
    darc_fit *fit = &s->fit;
    darc_fit_model_init(fit, setup, noise);
    fit->model.learned = 1;
    fit->model.terms = DARC_SHAPE_TERMS;
    darc_model_layout(&fit->model, &s->record);
    darc_fit_prior_basic(fit, &s->record);
    darc_fit_start(fit, &s->record);
    set_levels(fit, fit->param[DARC_LIFT], FLEXIBLE, FLEXIBLE);
    darc_fit_iterate(fit, &s->record, s->rows, s->pulls);
    darc_fit_slack(s);
    for (size_t i = 0; i < s->record.n; i++)
        s->mean0[i] = s->rows[i].mean;
}

/* Normal equations of an explanation at its present parameters, for the frozen readings;
 * returns the log likelihood there. */
static double linearise(darc_scratch *s, darc_fit *fit)
{
    double loglik = 0.0;
    darc_model_rows(&fit->model, fit->param, &s->record, fit->noise.angle_sd_deg,
                    s->rows);
    darc_normal_clear(fit);
    for (size_t i = 0; i < s->record.n; i++) {
        double d = s->rows[i].mean - s->mean0[i], w = s->pulls[i].w;
        loglik += d * (s->pulls[i].g - 0.5 * w * d);
        darc_normal_add(fit, s->rows[i].by, s->pulls[i].g - w * d, w);
    }
    return loglik;
}

/* Log evidence of the levels now set in the prior; the step to their solution goes to
 * `step`, the factor stays in fit->factor. -INFINITY when singular. */
static double evidence(darc_fit *fit, double loglik, double *step)
{
    int m = fit->model.n_param;
    double log_det, cost = 0.0, gain = 0.0, prior_log_det = 0.0;
    double pull[DARC_MAX_PARAM];
    if (!darc_cholesky(m, DARC_MAX_PARAM, fit->normal[0], fit->prior.weight,
                       fit->factor[0], &log_det))
        return -INFINITY;
    for (int k = 0; k < m; k++) {
        double away = fit->prior.mean[k] - fit->param[k], w = fit->prior.weight[k];
        pull[k] = step[k] = fit->pull[k] + w * away;
        cost += w * away * away;
        if (w > 0.0)
            prior_log_det += log(w);
    }
    darc_cholesky_solve(m, DARC_MAX_PARAM, fit->factor[0], step);
    for (int k = 0; k < m; k++)
        gain += pull[k] * step[k];
    return loglik - 0.5 * cost + 0.5 * gain + 0.5 * (prior_log_det - log_det);
}

/* Half the penalty that the prior now set puts on the parameters. */
static double prior_cost(const darc_fit *fit)
{
    double sum = 0.0;
    for (int k = 0; k < fit->model.n_param; k++) {
        double away = fit->prior.mean[k] - fit->param[k];
        sum += fit->prior.weight[k] * away * away;
    }
    return 0.5 * sum;
}

/* Likeliest pair of levels about the present parameters, looking `reach` levels either
 * side of the present pair, one flank at a time; leaves it in the prior. Returns its log
 * evidence; -INFINITY, and no step, when the equations can be solved with none. */
static double choose_levels(darc_fit *fit, double loglik, double total_mm, int reach,
                            int level[2], double *best_step)
{
    double step[DARC_MAX_PARAM], best = -INFINITY;
    int at[2] = {level[0], level[1]};
    darc_fit_shape_prior(fit);
    for (int flank = 0; flank < 2; flank++)
        for (int by = -reach; by <= reach; by++) {
            int trial[2] = {level[0], level[1]};
            trial[flank] = at[flank] + by;
            if (trial[flank] < 0 || trial[flank] >= LEVELS || (flank == 1 && by == 0))
                continue;
            set_levels(fit, total_mm, trial[0], trial[1]);
            double e = evidence(fit, loglik, step) + level_log_prior[trial[0]] +
                       level_log_prior[trial[1]];
            if (e > best) {
                best = e;
                level[0] = trial[0];
                level[1] = trial[1];
                memcpy(best_step, step, sizeof step);
            }
        }
    set_levels(fit, total_mm, level[0], level[1]);
    return best;
}

/* Brings an explanation to its solution under its likeliest pair of levels. Gives up,
 * with -INFINITY, on one that is going to be much less likely than `rival`. */
static double settle(darc_scratch *s, darc_fit *fit, double total_mm, double rival)
{
    double step[DARC_MAX_PARAM];
    double loglik = linearise(s, fit);
    int level[2] = {FLEXIBLE, FLEXIBLE};
    for (int it = 0; it < LINEARISATIONS; it++) {
        double promise =
            choose_levels(fit, loglik, total_mm, it ? 1 : LEVELS, level, step);
        if (promise == -INFINITY || (it >= PATIENCE && promise < rival - HOPELESS))
            return -INFINITY;
        double before = loglik - prior_cost(fit), share = 1.0, gain = 0.0;
        for (int k = 0; k < fit->model.n_param; k++)
            gain += 0.5 * step[k] *
                    (fit->pull[k] +
                     fit->prior.weight[k] * (fit->prior.mean[k] - fit->param[k]));
        if (gain < SETTLED)
            break;
        for (int k = 0; k < fit->model.n_param; k++)
            fit->param[k] += step[k];
        loglik = linearise(s, fit);
        while (!(loglik - prior_cost(fit) > before - SETTLED) && share > 0.05) {
            share *= 0.5;
            for (int k = 0; k < fit->model.n_param; k++)
                fit->param[k] -= share * step[k];
            loglik = linearise(s, fit);
        }
    }
    return loglik;
}

/* Free terms that bend a law into the one on which the readings were looked at:
 * least squares on an even grid, so that every explanation starts from the same curve. */
static void start_terms(const darc_fit *look, const candidate *c, darc_fit *fit)
{
    double gram[DARC_SHAPE_TERMS][DARC_SHAPE_TERMS] = {{0.0}};
    double factor[DARC_SHAPE_TERMS][DARC_SHAPE_TERMS], ridge[DARC_SHAPE_TERMS];
    double v[DARC_SHAPE_TERMS] = {0.0};
    for (int j = 1; j < GRID; j++) {
        double u = (double)j / GRID, f[DARC_SHAPE_TERMS];
        for (int k = 0; k < DARC_SHAPE_TERMS; k++)
            f[k] = sin(DARC_PI * u) * sin((k + 1) * DARC_PI * u);
        double gap = darc_law(look->model.rise_law, look->model.blend, u).s -
                     darc_law(c->law, c->blend, u).s;
        for (int k = 0; k < DARC_SHAPE_TERMS; k++) {
            v[k] += gap * f[k];
            for (int l = 0; l <= k; l++)
                gram[l][k] += f[k] * f[l];
        }
    }
    for (int k = 0; k < DARC_SHAPE_TERMS; k++)
        ridge[k] = 1e-6;
    darc_cholesky(DARC_SHAPE_TERMS, DARC_SHAPE_TERMS, gram[0], ridge, factor[0], NULL);
    darc_cholesky_solve(DARC_SHAPE_TERMS, DARC_SHAPE_TERMS, factor[0], v);
    double total = look->param[DARC_LIFT];
    for (int k = 0; k < DARC_SHAPE_TERMS; k++) {
        fit->param[DARC_TERMS + k] += total * v[k];
        fit->param[DARC_TERMS + DARC_SHAPE_TERMS + k] -= total * v[k];
    }
}

/* Variance of `gradient` given the factor, with parameters in `fixed` held. */
static double quadratic(darc_fit *fit, const double *gradient)
{
    double v[DARC_MAX_PARAM], sum = 0.0;
    memcpy(v, gradient, (size_t)fit->model.n_param * sizeof v[0]);
    darc_fit_backsolve(fit, v);
    for (int k = 0; k < fit->model.n_param; k++)
        sum += v[k] * gradient[k];
    return sum;
}

/* Splits the variance of the lift: what scatter alone would give were shape and
 * hysteresis known, and what the hysteresis adds. */
static void split_variance(darc_fit *fit, const double *gradient, darc_explanation *x)
{
    darc_gauss kept = fit->prior;
    for (int k = DARC_RISE; k < fit->model.first_turn; k++)
        fit->prior.weight[k] = 1e14;
    darc_cholesky(fit->model.n_param, DARC_MAX_PARAM, fit->normal[0], fit->prior.weight,
                  fit->factor[0], NULL);
    double with_hysteresis = quadratic(fit, gradient);
    fit->prior.weight[DARC_HYST] = 1e14;
    darc_cholesky(fit->model.n_param, DARC_MAX_PARAM, fit->normal[0], fit->prior.weight,
                  fit->factor[0], NULL);
    x->var_readings = quadratic(fit, gradient);
    x->var_hysteresis = fmax(with_hysteresis - x->var_readings, 0.0);
    fit->prior = kept;
}

/* Averages one law over all pairs of levels about its solution; 0 when there is none. */
static int weigh_levels(darc_fit *fit, double loglik, double total_mm,
                        darc_explanation *x)
{
    double value[DARC_ASKED], gradient[DARC_ASKED][DARC_MAX_PARAM];
    double step[DARC_MAX_PARAM], sum = 0.0, top = -INFINITY;
    double log_e[LEVELS * LEVELS];
    darc_fit_gradient(fit, value, gradient);
    memset(x->mean, 0, sizeof x->mean);
    memset(x->second, 0, sizeof x->second);
    memset(x->param, 0, sizeof x->param);
    for (int j = 0; j < LEVELS * LEVELS; j++) {
        set_levels(fit, total_mm, j / LEVELS, j % LEVELS);
        log_e[j] = evidence(fit, loglik, step) + level_log_prior[j / LEVELS] +
                   level_log_prior[j % LEVELS];
        top = fmax(top, log_e[j]);
    }
    if (top == -INFINITY)
        return 0;
    for (int j = 0; j < LEVELS * LEVELS; j++) {
        double w = exp(log_e[j] - top);
        if (!(w > LEAST_WEIGHT))
            continue;
        set_levels(fit, total_mm, j / LEVELS, j % LEVELS);
        evidence(fit, loglik, step);
        sum += w;
        for (int q = 0; q < DARC_ASKED; q++) {
            double v = value[q];
            for (int k = 0; k < fit->model.n_param; k++)
                v += gradient[q][k] * step[k];
            x->mean[q] += w * v;
            x->second[q] += w * (v * v + quadratic(fit, gradient[q]));
        }
        for (int k = 0; k < fit->model.n_param; k++)
            x->param[k] += w * (fit->param[k] + step[k]);
    }
    for (int q = 0; q < DARC_ASKED; q++) {
        x->mean[q] /= sum;
        x->second[q] /= sum;
    }
    for (int k = 0; k < fit->model.n_param; k++)
        x->param[k] /= sum;
    x->log_evidence = top + log(sum);
    split_variance(fit, gradient[DARC_ASK_LIFT], x);
    return 1;
}

/* Crank angle in which the lift climbs out of the scatter of one reading: none when even
 * the foot is beyond it, the whole rise when nothing is. */
static double climb_crank_deg(const darc_answer *answer, const darc_model *model,
                              const darc_noise *noise)
{
    const double *lift = answer->rise_mm;
    double level = darc_reading_sd(noise);
    int k = 0;
    while (k <= DIALARC_RISE_INTERVALS && !(lift[k] > level))
        k++;
    double steps = fmin(k, DIALARC_RISE_INTERVALS);
    if (k > 0 && k <= DIALARC_RISE_INTERVALS)
        steps = k - 1 + (level - lift[k - 1]) / (lift[k] - lift[k - 1]);
    return model->crank_per_pump * answer->mean[DARC_ASK_RISE] * steps /
           DIALARC_RISE_INTERVALS;
}

void darc_fit_learn(darc_scratch *s, const dialarc_setup *setup, const darc_noise *noise,
                    darc_answer *answer)
{
    darc_explanation *x = s->learned;
    darc_fit_look(s, setup, noise);
    darc_answer_clear(answer);
    s->explanations = 0;
    if (!s->fit.solved)
        return;
    double total = s->fit.param[DARC_LIFT];
    double rival = -INFINITY;
    int converged = s->fit.converged, count = 0;
    for (int k = 0; k < CANDIDATES; k++) {
        const candidate *c = &candidates[k];

        s->trial = s->fit;
        s->trial.model.rise_law = s->trial.model.fall_law = x[count].law = c->law;
        s->trial.model.blend = x[count].blend = c->blend;
        start_terms(&s->fit, c, &s->trial);
        double loglik = settle(s, &s->trial, total, rival);
        if (loglik == -INFINITY || !weigh_levels(&s->trial, loglik, total, &x[count]))
            continue;
        x[count].log_evidence += c->log_prior;
        rival = fmax(rival, x[count++].log_evidence);
    }
    if (count == 0)
        return;
    darc_explanation_average(x, count, answer);
    s->explanations = count;
    s->foot_deg = answer->mean[DARC_ASK_FOOT];
    darc_explanation_lifts(&s->fit.model, x, count, s->foot_deg,
                           answer->mean[DARC_ASK_RISE] / DIALARC_RISE_INTERVALS,
                           DIALARC_RISE_INTERVALS + 1, answer->rise_mm);
    double hidden = HIDDEN_SHARE * climb_crank_deg(answer, &s->fit.model, noise);
    answer->var[DARC_ASK_FOOT] += hidden * hidden;
    answer->converged = converged;
}
