/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/errors.h"

#include <math.h>
#include <string.h>

#include "estimate/solve.h"
#include "review/goodness.h"

/* What is tried: misfits of a learned cam as shares of its lift, or the dial's error
 * times these, and the wheel's times these. */
static const double misfit_share[] = {3e-4, 6e-4, 1.2e-3, 2.5e-3};
static const double dial_times[] = {1.5, 2.2, 3.3};
static const double wheel_times[] = {1.6, 2.5, 4.0};
#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))
#define MOST_TRIED  4

#define LIKELY_GAIN 1.0  /* in log evidence, for larger errors to be reckoned with ... */
#define SURE_GAIN   8.0  /* ... and to be told: chance does not bring it in 1 of 1000 */
#define SHOWS       1.05 /* times what a reading errs by: less gains nothing */
/* At the rows of the fit so far: then a fit does not make it up. */
#define LOSS_SEEN 3.0

typedef struct search {
    darc_problem trial;
    darc_noise best;
    double log_evidence;
    bool fitted; /* by other errors than those stated */
} search;

/* Log evidence of a fit by other errors, at its rows, up to a constant. */
static double glance(const darc_fit *fit, const darc_record *record,
                     const darc_noise *noise, darc_fit *about)
{
    double step[DARC_MAX_PARAM], sum = 0.0;
    darc_fit_follow(about, fit);
    memcpy(about->at.rows, fit->at.rows, record->n * sizeof *fit->at.rows);
    for (size_t i = 0; i < record->n; i++) {
        about->at.pulls[i] = darc_row_pull(noise, fit->misread_share, record->lift_mm[i],
                                           &fit->at.rows[i]);
        sum += log(about->at.pulls[i].density);
    }
    darc_fit_accumulate(about, record->n);
    return darc_fit_evidence(about, sum, step);
}

/* Which of so many errors, tried in place of those that a fit has, are worth one of their
 * own: all when the fit has more to explain than scatter, or there is no telling. */
static void look_over(const darc_fit *fit, const darc_record *record,
                      const darc_noise *noise, int n, darc_fit *about, bool *worth)
{
    darc_goodness g = darc_goodness_of(fit, record);
    bool sound =
        !g.excess && !darc_is_systematic(&g) && darc_few_are_rejected(&g, record->n);
    double now = glance(fit, record, &fit->noise, about);
    for (int k = 0; k < n; k++)
        worth[k] =
            !sound || !isless(glance(fit, record, &noise[k], about), now - LOSS_SEEN);
}

/* Fits with the trial's errors and keeps them when more speaks for them. */
static void try_errors(search *s, const darc_noise *noise, bool learn, darc_fit *fit,
                       darc_fit *spare)
{
    darc_estimate e;
    s->trial.noise = *noise;
    s->fitted = true;
    darc_fit_solve(fit, spare, &s->trial, learn, &e);
    if (!darc_estimate_is_sensible(&e) ||
        !(e.log_evidence > s->log_evidence + LIKELY_GAIN))
        return;
    s->best = *noise;
    s->log_evidence = e.log_evidence;
}

/* Errors of the dial to be tried: with a given cam times what is stated, else by the
 * misfit of the cam. Returns how many. */
static int dial_errors(const darc_noise *from, bool learn, double total_mm,
                       darc_noise *noise)
{
    int n = 0, most = learn ? COUNT(misfit_share) : COUNT(dial_times);
    for (int k = 0; k < most; k++) {
        noise[n] = *from;
        noise[n].dial_sd_mm = learn ? hypot(from->dial_sd_mm, misfit_share[k] * total_mm)
                                    : from->dial_sd_mm * dial_times[k];
        n += darc_reading_sd(&noise[n]) > SHOWS * darc_reading_sd(from);
    }
    return n;
}

static int wheel_errors(const darc_noise *from, darc_noise *noise)
{
    for (int k = 0; k < COUNT(wheel_times); k++) {
        noise[k] = *from;
        noise[k].angle_sd_deg = from->angle_sd_deg * wheel_times[k];
    }
    return COUNT(wheel_times);
}

/* How much larger the errors found are than those stated, whichever is more so. */
static double times(const darc_noise *stated, const darc_noise *found)
{
    double dial = darc_reading_sd(found) / darc_reading_sd(stated);
    double wheel = found->angle_sd_deg > stated->angle_sd_deg
                       ? found->angle_sd_deg / stated->angle_sd_deg
                       : 1.0;
    return fmax(dial, wheel);
}

darc_errors darc_errors_seen(bool learn, bool misread, darc_fit *fit, darc_fit *spare,
                             darc_estimate *estimate, darc_problem *problem)
{
    const darc_noise stated = problem->noise;
    search s = {*problem, stated, estimate->log_evidence, false};
    double before = s.log_evidence, total_mm = estimate->mean[DARC_ASK_TOTAL];
    darc_noise dial[MOST_TRIED] = {stated}, wheel[MOST_TRIED] = {stated};
    bool by_dial[MOST_TRIED], by_wheel[MOST_TRIED];
    int dials = learn || !misread ? dial_errors(&stated, learn, total_mm, dial) : 0;
    int wheels = misread ? 0 : wheel_errors(&stated, wheel);
    look_over(fit, &problem->record, dial, dials, spare, by_dial);
    look_over(fit, &problem->record, wheel, wheels, spare, by_wheel);
    for (int k = 0; k < dials; k++)
        if (by_dial[k])
            try_errors(&s, &dial[k], learn, fit, spare);
    if (learn)
        before = s.log_evidence;
    bool other_dial = s.log_evidence > estimate->log_evidence;
    if (other_dial) /* what was seen of the wheel was with the dial as stated */
        wheels = misread ? 0 : wheel_errors(&s.best, wheel);
    for (int k = 0; k < wheels; k++)
        if (by_wheel[k] || other_dial)
            try_errors(&s, &wheel[k], learn, fit, spare);
    problem->noise = s.best;
    if (s.fitted)
        darc_fit_solve(fit, spare, problem, learn, estimate);
    return (darc_errors){times(&stated, &s.best), s.log_evidence > before + SURE_GAIN};
}
