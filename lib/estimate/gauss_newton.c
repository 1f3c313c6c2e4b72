/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reweighted Gauss-Newton on the path model. */
#include <math.h>
#include <string.h>

#include "estimate/fit.h"
#include "numeric/cholesky.h"
#include "record/thin.h"

#define MAX_ITERATIONS 80
/* From this iteration on the effective variances stay: where a flank ends in a corner
 * they would else change with every step, and the steps would go on for ever. */
#define KEEP_FROM 20
/* From this one on the steps become shorter, so that they come to rest in a corner. */
#define CALM_FROM      16
#define LATELY         16  /* iterations over which the lift must have stayed as it is */
#define LEAST_SHARE    0.2 /* of a Gauss-Newton step that is taken ... */
#define MOST_SHARE     2.0
#define LEAST_LIFT_MM  0.05
#define FIRST_WIDENING 0.03 /* of the total lift: errors the first step may have ... */
#define NARROWING      0.25 /* ... of which each leaves this share for the next ... */
#define LAST_WIDENING  0.5  /* ... down to this share of the dial's sd */
#define LEAST_MISREAD  0.002
#define MOST_MISREAD   0.12

/* Length of the last step, in posterior standard deviations: what is aimed at with a
 * known cam, and with free terms, where the solution is only looked from. */
#define SETTLED      1e-4
#define SETTLED_LOOK 1e-2
#define SETTLED_LIFT 0.05 /* change of the lift at TDC, in its sds, that still passes */

void darc_fit_backsolve(darc_fit *fit, double *v)
{
    darc_cholesky_solve(fit->model.n_param, DARC_MAX_PARAM, fit->factor[0], v);
}

/* Pulls of all readings about the present rows; returns the mean misread probability.
 * With `keep` the readings keep the sd they had. */
static double weigh(darc_fit *fit, const darc_record *record, double widen_mm, int keep,
                    const darc_row *rows, darc_pull *pulls)
{
    const darc_noise *e = &fit->noise;
    double misread = 0.0;
    for (size_t i = 0; i < record->n; i++) {
        double turned = rows[i].slope * e->angle_sd_deg;
        double sd =
            sqrt(e->dial_sd_mm * e->dial_sd_mm + turned * turned + widen_mm * widen_mm);
        if (keep)
            sd = pulls[i].sd;
        pulls[i] = darc_reading_pull(record->lift_mm[i], rows[i].mean, sd, e->step_mm,
                                     e->turn_mm, fit->misread_share);
        misread += 1.0 - pulls[i].sound;
    }
    return misread / (double)record->n;
}

void darc_normal_clear(darc_fit *fit)
{
    int m = fit->model.n_param;
    for (int k = 0; k < m; k++) {
        fit->pull[k] = 0.0;
        memset(fit->normal[k] + k, 0, (size_t)(m - k) * sizeof fit->normal[k][0]);
    }
}

void darc_normal_add(darc_fit *fit, const double *by, double g, double w)
{
    int m = fit->model.n_param, count = 0, at[DARC_MAX_PARAM];
    for (int k = 0; k < m; k++)
        if (by[k] != 0.0) /* a reading depends on the terms of one flank alone */
            at[count++] = k;
    for (int k = 0; k < count; k++) {
        double wk = w * by[at[k]], *row = fit->normal[at[k]];
        fit->pull[at[k]] += g * by[at[k]];
        for (int l = k; l < count; l++)
            row[at[l]] += wk * by[at[l]];
    }
}

/* Normal equations at the present rows. */
static void accumulate(darc_fit *fit, size_t n, const darc_row *rows,
                       const darc_pull *pulls)
{
    darc_normal_clear(fit);
    for (size_t i = 0; i < n; i++)
        darc_normal_add(fit, rows[i].by, pulls[i].g, pulls[i].w);
}

/* The step taken last, from which the share of the next one is learned. */
typedef struct descent {
    double step[DARC_MAX_PARAM]; /* whole Gauss-Newton step */
    double gain;                 /* its slope; 0: nothing to learn from */
    double share;                /* the share of it that was taken */
    double most;                 /* the share that may be taken next */
} descent;

#define NEW_DESCENT                                                                      \
    {                                                                                    \
        {0.0}, 0.0, 1.0, MOST_SHARE                                                      \
    }

/* The share that the last step should have had, as the slope that it left shows: more
 * than 1 where readings still change their weight, less where the steps overshoot. */
static double next_share(const descent *last, const double *slope, int m)
{
    double left = 0.0;
    if (!(last->gain > 0.0))
        return 1.0;
    for (int k = 0; k < m; k++)
        left += slope[k] * last->step[k];
    double gone = 1.0 - left / last->gain;
    double share = gone > last->share / last->most ? last->share / gone : last->most;
    return fmin(fmax(share, LEAST_SHARE), last->most);
}

/* Takes a share of one Gauss-Newton step. Returns the length of the whole step in
 * posterior standard deviations, or -1 when the equations have no solution. */
static double step(darc_fit *fit, descent *last)
{
    int m = fit->model.n_param;
    double d[DARC_MAX_PARAM], g[DARC_MAX_PARAM];
    if (!darc_cholesky(m, DARC_MAX_PARAM, fit->normal[0], fit->prior.weight,
                       fit->factor[0], NULL))
        return -1.0;
    for (int k = 0; k < m; k++)
        d[k] = g[k] =
            fit->pull[k] + fit->prior.weight[k] * (fit->prior.mean[k] - fit->param[k]);
    darc_cholesky_solve(m, DARC_MAX_PARAM, fit->factor[0], d);
    double gain = 0.0;
    for (int k = 0; k < m; k++)
        gain += d[k] * g[k];
    if (!isfinite(gain))
        return -1.0;
    /* Keep within the range over which the model is nearly straight. */
    double limit[DARC_BASIC] = {1.0,
                                0.04 * fit->model.pitch_deg * fit->model.crank_per_pump,
                                0.3 * fit->param[DARC_LIFT], 3.0, 0.05};
    double scale = next_share(last, g, m);
    for (int k = 0; k < DARC_BASIC; k++)
        if (fabs(d[k]) * scale > limit[k])
            scale = limit[k] / fabs(d[k]);
    for (int k = 0; k < m; k++) {
        fit->param[k] += scale * d[k];
        last->step[k] = d[k];
    }
    last->gain = gain;
    last->share = scale;
    fit->param[DARC_LIFT] = fmax(fit->param[DARC_LIFT], LEAST_LIFT_MM);
    return sqrt(fmax(gain, 0.0));
}

/* Median absolute residual, by a histogram on a logarithmic scale: no sorting. */
static double typical_residual(const darc_record *record, const darc_row *rows)
{
    size_t bin[64] = {0};
    for (size_t i = 0; i < record->n; i++) {
        double r = fabs(record->lift_mm[i] - rows[i].mean);
        int k = r > 1e-6 ? (int)(4.0 * log2(r / 1e-6)) : 0;
        bin[k < 0 ? 0 : k > 63 ? 63 : k]++;
    }
    int k = 0;
    size_t seen = bin[0];
    while (2 * seen < record->n)
        seen += bin[++k];
    return 1e-6 * exp2((k + 1) / 4.0);
}

/* How far the lift at TDC has moved of late. */
typedef struct wander {
    double low_mm, high_mm;
} wander;

static void follow(wander *w, const darc_fit *fit)
{
    darc_lift lift;
    darc_model_lift(&fit->model, fit->param,
                    -fit->param[DARC_FOOT] / fit->model.crank_per_pump, &lift);
    w->low_mm = fmin(w->low_mm, lift.mm);
    w->high_mm = fmax(w->high_mm, lift.mm);
}

/* Whether the lift at TDC stays where it is: a further step would leave it there, or many
 * have. Parameters of which the sweep shows little, the end of the fall say, may still be
 * on the move. */
static int lift_settled(darc_fit *fit, const wander *w)
{
    double value[DARC_ASKED], gradient[DARC_ASKED][DARC_MAX_PARAM];
    double v[DARC_MAX_PARAM], variance = 0.0, change = 0.0;
    const double *lift = gradient[DARC_ASK_LIFT];
    darc_fit_gradient(fit, value, gradient);
    memcpy(v, lift, sizeof v);
    darc_fit_backsolve(fit, v);
    for (int k = 0; k < fit->model.n_param; k++) {
        variance += v[k] * lift[k];
        change += v[k] * (fit->pull[k] +
                          fit->prior.weight[k] * (fit->prior.mean[k] - fit->param[k]));
    }
    double most = SETTLED_LIFT * sqrt(variance), range = w->high_mm - w->low_mm;
    return fabs(change) <= most || (range >= 0.0 && range <= most);
}

/* One step on the readings of a record, which count as `widen` blunter than they are;
 * returns its length. */
static double advance(darc_fit *fit, const darc_record *record, double widen, int keep,
                      descent *last, darc_row *rows, darc_pull *pulls)
{
    double misread = weigh(fit, record, widen, keep, rows, pulls);
    accumulate(fit, record->n, rows, pulls);
    if (fit->model.learned)
        darc_fit_shape_prior(fit);
    double length = step(fit, last);
    fit->misread_share = fmin(fmax(misread, LEAST_MISREAD), MOST_MISREAD);
    return length;
}

/* From afar: some of the readings, blunt at first. */
static void approach(darc_fit *fit, const darc_record *record, darc_row *rows,
                     darc_pull *pulls)
{
    darc_thin thin;
    darc_thin_out(record, &thin);
    darc_model_rows(&fit->model, fit->param, &thin.record, fit->noise.angle_sd_deg, rows);
    double widen = fmax(typical_residual(&thin.record, rows),
                        FIRST_WIDENING * fit->param[DARC_LIFT]);
    while (widen > LAST_WIDENING * fit->noise.dial_sd_mm + 1e-5) {
        descent last = NEW_DESCENT; /* each is a problem of its own */
        if (advance(fit, &thin.record, widen, 0, &last, rows, pulls) < 0.0)
            return;
        darc_model_rows(&fit->model, fit->param, &thin.record, fit->noise.angle_sd_deg,
                        rows);
        widen *= NARROWING;
    }
}

void darc_fit_iterate(darc_fit *fit, const darc_record *record, darc_row *rows,
                      darc_pull *pulls)
{
    double length = INFINITY, settled = fit->model.terms ? SETTLED_LOOK : SETTLED;
    descent last = NEW_DESCENT;
    wander lately = {INFINITY, -INFINITY};
    approach(fit, record, rows, pulls);
    for (int it = 0; it < MAX_ITERATIONS && length > settled; it++) {
        darc_model_rows(&fit->model, fit->param, record, fit->noise.angle_sd_deg, rows);
        length = advance(fit, record, 0.0, it >= KEEP_FROM, &last, rows, pulls);
        if (length < 0.0)
            break;
        if (it >= CALM_FROM)
            last.most = CALM_FROM / (it + 1.0);
        if (it >= MAX_ITERATIONS - LATELY)
            follow(&lately, fit);
    }
    if (length > SETTLED) { /* no step so short that it left the rows as they are */
        darc_model_rows(&fit->model, fit->param, record, fit->noise.angle_sd_deg, rows);
        weigh(fit, record, 0.0, 1, rows, pulls);
        accumulate(fit, record->n, rows, pulls);
    }
    fit->log_likelihood = 0.0;
    for (size_t i = 0; i < record->n; i++)
        fit->log_likelihood += log(pulls[i].density);
    fit->solved = darc_cholesky(fit->model.n_param, DARC_MAX_PARAM, fit->normal[0],
                                fit->prior.weight, fit->factor[0], NULL);
    fit->converged = fit->solved && lift_settled(fit, &lately);
}
