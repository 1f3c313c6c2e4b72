/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/errors.h"

#include <math.h>

#include "estimate/solve.h"

/* What is tried: misfits of a learned cam as shares of its lift, or the dial's error
 * times these, and the wheel's times these. */
static const double misfit_share[] = {3e-4, 6e-4, 1.2e-3, 2.5e-3};
static const double dial_times[] = {1.5, 2.2, 3.3};
static const double wheel_times[] = {1.6, 2.5, 4.0};
#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))

#define LIKELY_GAIN 1.0 /* in log evidence, for larger errors to be reckoned with ... */
#define SURE_GAIN   8.0 /* ... and to be told: chance does not bring it in 1 of 1000 */
#define FAR_BELOW   3.0 /* errors so far behind the best are too large, larger ones too */

typedef struct search {
    darc_problem trial;
    darc_noise best;
    double log_evidence;
} search;

/* Fits with the trial's errors and keeps them when more speaks for them. Returns whether
 * larger ones are worth trying. */
static bool try_errors(search *s, bool learn, darc_fit *fit, darc_fit *spare)
{
    darc_estimate e;
    darc_fit_solve(fit, spare, &s->trial, learn, &e);
    if (!darc_estimate_is_sensible(&e))
        return true;
    if (e.log_evidence > s->log_evidence + LIKELY_GAIN) {
        s->best = s->trial.noise;
        s->log_evidence = e.log_evidence;
    }
    return e.log_evidence > s->log_evidence - FAR_BELOW;
}

/* Of the dial: with a given cam times what is stated, else by the misfit of the cam, of
 * which all are tried: a small one may get a sharp dial nowhere where a larger one does.
 */
static void try_dial(search *s, bool learn, double total_mm, darc_fit *fit,
                     darc_fit *spare)
{
    const double stated = s->trial.noise.dial_sd_mm;
    for (int k = 0; k < (learn ? COUNT(misfit_share) : COUNT(dial_times)); k++) {
        s->trial.noise.dial_sd_mm =
            learn ? hypot(stated, misfit_share[k] * total_mm) : stated * dial_times[k];
        if (!try_errors(s, learn, fit, spare) && !learn)
            break;
    }
}

static void try_wheel(search *s, bool learn, darc_fit *fit, darc_fit *spare)
{
    const double stated = s->best.angle_sd_deg;
    s->trial.noise = s->best;
    for (int k = 0; k < COUNT(wheel_times); k++) {
        s->trial.noise.angle_sd_deg = stated * wheel_times[k];
        if (!try_errors(s, learn, fit, spare))
            break;
    }
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
    search s = {*problem, problem->noise, estimate->log_evidence};
    const darc_noise stated = problem->noise;
    double before = s.log_evidence;
    if (learn || !misread)
        try_dial(&s, learn, estimate->mean[DARC_ASK_TOTAL], fit, spare);
    if (learn)
        before = s.log_evidence;
    if (!misread)
        try_wheel(&s, learn, fit, spare);
    problem->noise = s.best;
    darc_fit_solve(fit, spare, problem, learn, estimate);
    return (darc_errors){times(&stated, &s.best), s.log_evidence > before + SURE_GAIN};
}
