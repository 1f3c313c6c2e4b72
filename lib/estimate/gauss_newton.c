/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/gauss_newton.h"

#include <math.h>
#include <string.h>

#include "estimate/prior.h"
#include "estimate/step.h"
#include "record/thin.h"

/* From this iteration on the effective variances stay: where a flank ends in a corner
 * they would else change with every step, and the steps would go on for ever. */
#define KEEP_FROM      20
#define LATELY         16 /* iterations over which the lift must have stayed as it is */
#define LEAST_LIFT_MM  0.05
#define FIRST_WIDENING 0.03 /* of the total lift: errors the first step may have ... */
#define NARROWING      0.25 /* ... of which each leaves this share for the next ... */
#define LAST_WIDENING  0.5  /* ... down to this share of the dial's sd */

/* Length of the last step, in posterior standard deviations: what is aimed at with a
 * known cam, and with free terms, where the solution is only looked from. */
#define SETTLED      1e-4
#define SETTLED_LOOK 1e-2
#define SETTLED_LIFT 0.05 /* change of the lift at TDC, in its sds, that still passes */

/* Pulls of all readings about the present rows; returns the mean misread probability.
 * With `keep` the readings keep the sd they had. */
static double weigh(darc_fit *fit, const darc_record *record, double widen_mm, bool keep)
{
    const darc_noise *e = &fit->noise;
    const darc_row *rows = fit->at.rows;
    darc_pull *pulls = fit->at.pulls;
    double misread = 0.0;
    for (size_t i = 0; i < record->n; i++) {
        double sd = keep ? pulls[i].sd : darc_pull_sd(e, rows[i].slope, widen_mm);
        pulls[i] = darc_reading_pull(e, fit->misread_share, record->lift_mm[i],
                                     rows[i].mean, sd);
        misread += 1.0 - pulls[i].sound;
    }
    return misread / (double)record->n;
}

/* Takes a share of one Gauss-Newton step, within the range over which the model is nearly
 * straight. Returns the length of the whole step in posterior standard deviations, or
 * below 0 when the equations have no solution. */
static double step(darc_fit *fit, darc_descent *last)
{
    int m = fit->model.n_param;
    double slope[DARC_MAX_PARAM], limit[DARC_MAX_PARAM], move[DARC_MAX_PARAM];
    darc_step_limits(&fit->model, fit->param[DARC_LIFT], m, limit);
    darc_system system = darc_fit_system(fit, slope);
    double length = darc_descent_step(last, &system, limit, move);
    if (length < 0.0)
        return length;
    for (int k = 0; k < m; k++)
        fit->param[k] += move[k];
    fit->param[DARC_LIFT] = fmax(fit->param[DARC_LIFT], LEAST_LIFT_MM);
    return length;
}

#define BINS 64

/* Median absolute residual, by a histogram on a logarithmic scale: no sorting. What is
 * not finite comes last. */
static double typical_residual(const darc_record *record, const darc_row *rows)
{
    size_t bin[BINS] = {0};
    for (size_t i = 0; i < record->n; i++) {
        double r = fabs(record->lift_mm[i] - rows[i].mean);
        double k = r > 1e-6 ? 4.0 * log2(r / 1e-6) : 0.0;
        bin[k < BINS - 1 ? (size_t)k : BINS - 1]++;
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
static bool lift_settled(const darc_fit *fit, const wander *w)
{
    double value[DARC_ASKED], gradient[DARC_ASKED][DARC_MAX_PARAM];
    double v[DARC_MAX_PARAM], slope[DARC_MAX_PARAM], variance = 0.0, change = 0.0;
    const double *lift = gradient[DARC_ASK_LIFT];
    darc_fit_ask(fit, value, gradient);
    memcpy(v, lift, sizeof v);
    darc_fit_backsolve(fit, v);
    darc_fit_slope(fit, slope);
    for (int k = 0; k < fit->model.n_param; k++) {
        variance += v[k] * lift[k];
        change += v[k] * slope[k];
    }
    double most = SETTLED_LIFT * sqrt(variance), range = w->high_mm - w->low_mm;
    return fabs(change) <= most || (range >= 0.0 && range <= most);
}

/* Rows at the fit's present parameters. */
static void evaluate(darc_fit *fit, const darc_record *record)
{
    darc_model_rows(&fit->model, fit->param, record, fit->noise.angle_sd_deg,
                    fit->at.rows);
}

/* One step on the readings of a record, which count as `widen` blunter than they are;
 * returns its length. */
static double advance(darc_fit *fit, const darc_record *record, double widen, bool keep,
                      darc_descent *last)
{
    double misread = weigh(fit, record, widen, keep);
    darc_fit_accumulate(fit, record->n);
    if (fit->model.learned)
        darc_prior_shape(fit);
    double length = step(fit, last);
    fit->misread_share = darc_misread_share(misread);
    return length;
}

void darc_fit_approach(darc_fit *fit, const darc_record *record)
{
    darc_thin thin;
    darc_thin_out(record, &thin);
    evaluate(fit, &thin.record);
    double widen = fmax(typical_residual(&thin.record, fit->at.rows),
                        FIRST_WIDENING * fit->param[DARC_LIFT]);
    while (widen > LAST_WIDENING * fit->noise.dial_sd_mm + 1e-5) {
        darc_descent last; /* each is a problem of its own */
        darc_descent_begin(&last);
        if (advance(fit, &thin.record, widen, false, &last) < 0.0)
            return;
        evaluate(fit, &thin.record);
        widen *= NARROWING;
    }
}

void darc_fit_iterate(darc_fit *fit, const darc_record *record)
{
    double length = INFINITY, settled = fit->model.terms ? SETTLED_LOOK : SETTLED;
    darc_descent last;
    wander lately = {INFINITY, -INFINITY};
    darc_descent_begin(&last);
    darc_fit_approach(fit, record);
    for (int it = 0; it < DARC_MOST_STEPS && length > settled; it++) {
        evaluate(fit, record);
        length = advance(fit, record, 0.0, it >= KEEP_FROM, &last);
        if (length < 0.0)
            break;
        /* As 1/n, whose sum has no bound: what the sweep hardly shows can still get to
         * its place, and whether the lift has come to rest is looked at by itself. */
        if (it >= DARC_SHORTEN_FROM)
            last.most = DARC_SHORTEN_FROM / (it + 1.0);
        if (it >= DARC_MOST_STEPS - LATELY)
            follow(&lately, fit);
    }
    if (length > SETTLED) { /* no step so short that it left the rows as they are */
        evaluate(fit, record);
        weigh(fit, record, 0.0, true);
        darc_fit_accumulate(fit, record->n);
    }
    fit->log_likelihood = 0.0;
    for (size_t i = 0; i < record->n; i++)
        fit->log_likelihood += log(fit->at.pulls[i].density);
    fit->solved = darc_fit_factorise(fit, NULL);
    fit->converged = fit->solved && lift_settled(fit, &lately);
}
