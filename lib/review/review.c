/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/review.h"

#include <math.h>

#include "core/finding.h"
#include "estimate/solve.h"
#include "review/approach.h"
#include "review/contact.h"
#include "review/copied.h"
#include "review/doubt.h"
#include "review/errors.h"
#include "review/goodness.h"
#include "review/lengths.h"
#include "review/lobe_mismatch.h"
#include "review/row_order.h"
#include "review/zero_drift.h"

#define LEAST_USED       5 /* readings that agree; a known cam has five unknowns ... */
#define LEAST_USED_LEARN 7 /* ... and one to be learned more */
#define MANY_REJECTED    0.10
#define MOST_REJECTED    2.0 /* plus this share of all: more is no misreading */
#define MOST_SHARE       0.2
#define HOPELESS         6.0 /* times the scatter stated */
#define GROWTHS          6
#define WHOLE_TURN_SDS   6.0
#define BETTER_LOG       20.0   /* gain in log likelihood that proves another cam */
#define LEFT_SHARE       0.4    /* of the misfit that it may leave */
#define LOG_OTHER_CAM    (-3.0) /* of the probability that a stated cam is another, 5 % */
#define HOPELESS_SDS     7.0 /* correlation between neighbours at which to give up ... */
#define ALTERNATE_SDS    4.0 /* ... when neighbours err in opposite senses */

/* A fit and what was seen of it. */
typedef struct attempt {
    darc_estimate estimate;
    darc_goodness stated, grown; /* by the errors stated, and by those seen */
    double factor;               /* of those seen over those stated */
    bool scatters;               /* readings surely scatter more than stated */
    double first_scatter;        /* before other errors than those were tried */
    darc_reported by_stated, by_grown;
} attempt;

/* Whether a learned cam explains what a given one does not. */
static bool explains(const darc_goodness *learned, const darc_goodness *given)
{
    double gain = learned->log_likelihood - given->log_likelihood;
    double freed = fmax(given->dof - learned->dof, 0.0);
    double left = learned->scatter * learned->scatter - 1.0;
    double had = given->scatter * given->scatter - 1.0;
    return gain > BETTER_LOG + 0.5 * freed && learned->rejected <= given->rejected &&
           (!learned->excess || left < LEFT_SHARE * had);
}

/* Fits again with errors as large as those seen, so that the readings are weighed and
 * rejected by them. */
static void grow_errors(bool learn, darc_fit *fit, darc_fit *spare, attempt *a)
{
    darc_problem *problem = &a->by_grown.problem;
    darc_noise *noise = &problem->noise;
    double rounding = noise->step_mm * noise->step_mm / 12.0;
    for (int k = 0; k < GROWTHS && a->grown.excess; k++) {
        double by = a->grown.scatter, full = darc_reading_sd(noise) * by;
        a->factor *= by;
        a->scatters = true;
        noise->angle_sd_deg *= by;
        noise->dial_sd_mm = sqrt(full * full - rounding);
        darc_fit_solve(fit, spare, problem, learn, &a->estimate);
        a->grown = darc_goodness_of(fit, &problem->record);
    }
}

/* More than a careful hand misreads. */
static bool many_rejected(size_t rejected, size_t readings)
{
    return (double)rejected > MANY_REJECTED * (double)readings + 2.0;
}

/* Whether there is a fit, and it shows that the dial was moved: then that is what is to
 * be explained. */
static bool was_moved(const darc_problem *problem, const darc_fit *fit,
                      const darc_estimate *estimate, darc_memory *m, dialarc_timing *t)
{
    if (!darc_estimate_is_sensible(estimate))
        return true;
    darc_check_zero_drift(problem, fit, estimate, m->sample_mm, t);
    return dialarc_findings_has(&t->findings, DIALARC_FINDING_ZERO_DRIFT);
}

static void attempt_fit(const darc_problem *problem, bool learn, darc_fit *fit,
                        darc_memory *m, dialarc_timing *t, attempt *a)
{
    darc_fit_solve(fit, &m->trial, problem, learn, &a->estimate);
    a->stated = a->grown = darc_goodness_of(fit, &problem->record);
    a->factor = 1.0;
    a->scatters = false;
    a->first_scatter = a->stated.scatter;
    a->by_stated = a->by_grown = (darc_reported){*problem, a->estimate.log_evidence};
    bool misread = many_rejected(a->stated.rejected, problem->record.n);
    bool clean = !misread && a->estimate.converged && !darc_is_systematic(&a->stated) &&
                 !darc_scatter_is_suspect(&a->stated);
    if (!clean && !was_moved(problem, fit, &a->estimate, m, t)) {
        darc_errors e = darc_errors_seen(learn, misread, fit, &m->trial, &a->estimate,
                                         &a->by_grown.problem);
        a->factor = e.times;
        a->scatters = e.sure;
        a->grown = darc_goodness_of(fit, &problem->record);
        if (learn)
            a->stated = a->grown;
    }
    grow_errors(learn, fit, &m->trial, a);
    a->by_grown.log_evidence = a->estimate.log_evidence;
}

/* What else could explain the readings: nothing, when what is reported does not. */
static void raise_doubts(const attempt *a, bool learned, darc_memory *m, darc_doubts *d)
{
    darc_doubts_clear(d);
    if (darc_estimate_is_sensible(&a->estimate))
        darc_doubts_raise(&a->by_stated, &a->by_grown, &a->estimate, &a->stated, learned,
                          m, d);
}

static double log_evidence(const attempt *a)
{
    return fmax(a->by_stated.log_evidence, a->by_grown.log_evidence);
}

/* A given cam that does not fit gives way to a learned one that explains what it does
 * not, and does so better than a dial that stood off: unless the dial was moved, which is
 * no fault of the cam's. Returns whether it does. */
static bool check_given_cam(const darc_problem *problem, const darc_doubts *d,
                            darc_memory *m, attempt *given, dialarc_timing *t)
{
    attempt learned;
    if (darc_estimate_is_sensible(&given->estimate))
        darc_check_zero_drift(problem, &m->fit, &given->estimate, m->sample_mm, t);
    if (dialarc_findings_has(&t->findings, DIALARC_FINDING_ZERO_DRIFT))
        return false;
    attempt_fit(problem, true, &m->other, m, t, &learned);
    if (!explains(&learned.stated, &given->stated) ||
        log_evidence(&learned) + LOG_OTHER_CAM <
            log_evidence(given) + darc_contact_log_odds(d))
        return false;
    *given = learned;
    darc_fit_swap(&m->fit, &m->other);
    t->cam_learned = 1;
    darc_findings_add(&t->findings, DIALARC_FINDING_CAM_MISMATCH,
                      DIALARC_SEVERITY_CAUTION, DIALARC_NO_ROW);
    return true;
}

/* Another number of lobes has to explain the readings better than a dial that stood off
 * does, too. */
static void check_number_of_lobes(const darc_problem *problem, const attempt *a,
                                  const darc_doubts *d, darc_memory *m, dialarc_timing *t)
{
    darc_goodness best = a->stated;
    best.log_likelihood += fmax(darc_contact_log_odds(d), 0.0);
    if (darc_is_systematic(&a->grown))
        darc_check_lobes(problem, &best, &m->other, m->sample_mm, t);
}

static size_t first_row(size_t so_far, size_t row)
{
    return row < so_far ? row : so_far;
}

/* Readings set aside, and those of them that are out by whole turns. */
static void check_rejected(const darc_problem *problem, const darc_fit *fit,
                           dialarc_timing *t)
{
    const darc_record *record = &problem->record;
    const darc_noise *noise = &problem->noise;
    size_t count = 0, turns = 0, row = DIALARC_NO_ROW, turn_row = DIALARC_NO_ROW;
    for (size_t i = 0; i < record->n; i++) {
        if (darc_is_sound(&fit->at.pulls[i]))
            continue;
        double off = record->lift_mm[i] - fit->at.rows[i].mean;
        double whole = noise->turn_mm * round(off / noise->turn_mm);
        double sd =
            hypot(darc_reading_sd(noise), fit->at.rows[i].slope * noise->angle_sd_deg);
        count++;
        row = first_row(row, record->row[i]);
        if (whole != 0.0 && fabs(off - whole) < WHOLE_TURN_SDS * sd) {
            turns++;
            turn_row = first_row(turn_row, record->row[i]);
        }
    }
    t->readings_rejected = count;
    t->readings_used = record->n - count;
    if (t->readings_used < (t->cam_learned ? LEAST_USED_LEARN : LEAST_USED))
        darc_findings_add(&t->findings, DIALARC_FINDING_TOO_FEW_READINGS,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
    if (count)
        darc_findings_add(&t->findings, DIALARC_FINDING_READING_REJECTED,
                          many_rejected(count, record->n) ? DIALARC_SEVERITY_CAUTION
                                                          : DIALARC_SEVERITY_NOTE,
                          row);
    if (turns)
        darc_findings_add(&t->findings, DIALARC_FINDING_WHOLE_TURN_MISREAD,
                          many_rejected(turns, record->n) ? DIALARC_SEVERITY_CAUTION
                                                          : DIALARC_SEVERITY_NOTE,
                          turn_row);
}

/* Whether the readings contradict each other, or the search for the best fit went on. */
static void check_contradictions(const attempt *a, dialarc_timing *t)
{
    const darc_goodness *g = &a->grown;
    double most =
        MOST_REJECTED + MOST_SHARE * (double)(t->readings_used + t->readings_rejected);
    bool contradicted = (double)g->rejected > most || t->scatter > HOPELESS ||
                        g->in_a_row >= DARC_SYSTEMATIC || g->serial > HOPELESS_SDS ||
                        g->serial < -ALTERNATE_SDS ||
                        !darc_estimate_is_sensible(&a->estimate);
    if (contradicted || !a->estimate.converged)
        darc_findings_add(&t->findings, DIALARC_FINDING_FIT_NOT_CONVERGED,
                          contradicted ? DIALARC_SEVERITY_STOP : DIALARC_SEVERITY_CAUTION,
                          DIALARC_NO_ROW);
    if (a->scatters)
        darc_findings_add(&t->findings, DIALARC_FINDING_SCATTER_ABOVE_SETUP,
                          DIALARC_SEVERITY_CAUTION, DIALARC_NO_ROW);
}

/* Fits with more hysteresis than the dial may have, when that is likelier. */
static void check_hysteresis(darc_problem *problem, darc_memory *m, attempt *a,
                             darc_doubts *d, dialarc_timing *t)
{
    if (!darc_hysteresis_is_more(d))
        return;
    problem->noise.hysteresis_max_mm = d->hysteresis_mm;
    attempt_fit(problem, t->cam_learned, &m->fit, m, t, a);
    raise_doubts(a, t->cam_learned, m, d);
    darc_findings_add(&t->findings, DIALARC_FINDING_HYSTERESIS_AT_LIMIT,
                      DIALARC_SEVERITY_CAUTION, DIALARC_NO_ROW);
}

double darc_fit_reviewed(const darc_problem *stated, darc_memory *m,
                         darc_estimate *estimate, dialarc_timing *t)
{
    attempt a;
    darc_doubts d;
    darc_problem as_found = *stated;
    const darc_problem *problem = &as_found;
    t->cam_learned = !problem->cam.given;
    attempt_fit(problem, t->cam_learned, &m->fit, m, t, &a);
    raise_doubts(&a, t->cam_learned, m, &d);
    check_hysteresis(&as_found, m, &a, &d, t);
    if (!t->cam_learned &&
        (darc_is_systematic(&a.grown) || darc_is_systematic(&a.stated)) &&
        check_given_cam(problem, &d, m, &a, t))
        raise_doubts(&a, true, m, &d);
    check_number_of_lobes(problem, &a, &d, m, t);
    bool lobes = dialarc_findings_has(&t->findings, DIALARC_FINDING_LOBE_COUNT_MISMATCH);
    if (!lobes && !darc_check_contact(&d, t))
        darc_check_doubts(&d, &a.estimate, t);
    t->scatter = a.scatters ? a.factor * a.grown.scatter : a.first_scatter;
    check_rejected(problem, &m->fit, t);
    check_contradictions(&a, t);
    *estimate = a.estimate;
    double inflate = a.grown.excess ? a.grown.scatter * a.grown.scatter : 1.0;
    if (darc_estimate_is_sensible(estimate)) {
        double *hysteresis = &estimate->mean[DARC_ASK_HYST];
        *hysteresis = fmin(*hysteresis, problem->noise.hysteresis_max_mm);
        darc_check_copied(&problem->record, &m->fit, t);
        darc_check_row_order(estimate, inflate, t);
        darc_check_lengths(&problem->known, estimate, t);
        darc_check_zero_drift(problem, &m->fit, estimate, m->sample_mm, t);
        darc_check_approach(problem, &m->fit, estimate, m->pump_crank_deg, t);
    } else {
        darc_estimate_clear(estimate);
    }
    return inflate;
}
