/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fit looked at, and done again where the readings contradict what it was told. */
#include "review/review.h"

#include <math.h>

#define LEAST_USED    5 /* readings that agree; a known cam has five unknowns ... */
#define LEAST_LEARNED 7 /* ... and one to be learned more */
#define MANY_REJECTED 0.10
#define MOST_REJECTED 2.0 /* plus this share of all: more is no misreading */
#define MOST_SHARE    0.2
#define HOPELESS      6.0 /* times the scatter stated */
#define GROWTHS       6
#define TURN_SDS      6.0
#define BETTER_LOG    20.0 /* gain in log likelihood that proves another cam */
#define LEFT_SHARE    0.4  /* of the misfit that it may leave */
#define HOPELESS_SDS  7.0  /* correlation between neighbours at which to give up ... */
#define ALTERNATE_SDS 4.0  /* ... when neighbours err in opposite senses */

static void describe(darc_scratch *s)
{
    const darc_noise *e = &s->fit.noise;
    darc_model_rows(&s->fit.model, s->fit.param, &s->record, e->angle_sd_deg, s->rows);
    for (size_t i = 0; i < s->record.n; i++)
        s->pulls[i] =
            darc_row_pull(e, s->fit.misread_share, s->record.lift_mm[i], &s->rows[i]);
}

void darc_fit_restore(darc_scratch *s)
{
    s->fit = s->kept;
    if (!s->fit.model.learned)
        s->explanations = 0; /* of a cam learned in the meantime */
    describe(s);
}

/* Whether a learned cam explains what a given one does not. */
static int explains(const darc_fitness *learned, const darc_fitness *given)
{
    double gain = learned->log_likelihood - given->log_likelihood;
    double freed = fmax(given->dof - learned->dof, 0.0);
    double left = learned->scatter * learned->scatter - 1.0;
    double had = given->scatter * given->scatter - 1.0;
    return gain > BETTER_LOG + 0.5 * freed && learned->rejected <= given->rejected &&
           (!learned->excess || left < LEFT_SHARE * had);
}

void darc_fit_as(darc_scratch *s, const dialarc_setup *setup, const darc_noise *noise,
                 int learn, darc_answer *answer)
{
    if (learn) {
        darc_fit_learn(s, setup, noise, answer);
        describe(s); /* by the shape that they were looked at with */
    } else {
        darc_fit_known(s, setup, noise, answer);
    }
}

/* Fits again with errors as large as those seen, so that the readings are weighed and
 * rejected by them; returns the factor on the sd. */
static double grow_errors(darc_scratch *s, const dialarc_setup *setup,
                          const darc_noise *noise, int learn, darc_fitness *fitness,
                          darc_answer *answer)
{
    darc_noise grown = *noise;
    double factor = 1.0, rounding = noise->step_mm * noise->step_mm / 12.0;
    for (int k = 0; k < GROWTHS && fitness->excess; k++) {
        double by = fitness->scatter, full = darc_reading_sd(&grown) * by;
        factor *= by;
        grown.angle_sd_deg *= by;
        grown.dial_sd_mm = sqrt(full * full - rounding);
        darc_fit_as(s, setup, &grown, learn, answer);
        *fitness = darc_fitness_of(s);
    }
    return factor;
}

/* A fit and what was seen of it. */
typedef struct attempt {
    darc_answer answer;
    darc_fitness stated, grown; /* by the errors stated, and by those seen */
    double factor;
} attempt;

static void try(darc_scratch *s, const dialarc_setup *setup, const darc_noise *noise,
                int learn, attempt *a)
{
    darc_fit_as(s, setup, noise, learn, &a->answer);
    a->stated = a->grown = darc_fitness_of(s);
    a->factor = grow_errors(s, setup, noise, learn, &a->grown, &a->answer);
}

/* A dial off its plunger: shown by the given cam when it fits all but the readings in
 * which the dial stood still, or else by a learned one. */
static int off_spindle(darc_scratch *s, const dialarc_setup *setup,
                       const darc_noise *noise, dialarc_timing *t)
{
    darc_floor floor = darc_floor_look(s, setup, noise, 0);
    if (!floor.good)
        floor = darc_floor_look(s, setup, noise, 1);
    return darc_scrutinise_floor(&floor, t);
}

/* Why a given cam does not fit. A dial that was moved or that was off the plunger is no
 * fault of the cam's; else the cam gives way to a learned one that explains what it does
 * not. */
static void find_cause(darc_scratch *s, const dialarc_setup *setup,
                       const darc_noise *noise, attempt *given, dialarc_timing *t)
{
    attempt learned;
    s->kept = s->fit;
    if (darc_answer_is_sensible(&given->answer))
        darc_scrutinise_drift(s, noise, &given->answer, t);
    if (!dialarc_findings_has(&t->findings, DIALARC_FINDING_ZERO_DRIFT) &&
        !off_spindle(s, setup, noise, t)) {
        try(s, setup, noise, 1, &learned);
        if (explains(&learned.stated, &given->stated)) {
            *given = learned;
            t->cam_learned = 1;
            darc_findings_add(&t->findings, DIALARC_FINDING_CAM_MISMATCH,
                              DIALARC_SEVERITY_CAUTION, DIALARC_NO_ROW);
            return;
        }
    }
    darc_fit_restore(s);
}

static size_t first_row(size_t so_far, size_t row)
{
    return row < so_far ? row : so_far;
}

/* Readings set aside, and those of them that are out by whole turns. */
static void rejected_readings(const darc_scratch *s, const darc_noise *noise,
                              dialarc_timing *t)
{
    size_t count = 0, turns = 0, row = DIALARC_NO_ROW, turn_row = DIALARC_NO_ROW;
    for (size_t i = 0; i < s->record.n; i++) {
        if (darc_is_sound(&s->pulls[i]))
            continue;
        double off = s->record.lift_mm[i] - s->rows[i].mean;
        double whole = noise->turn_mm * round(off / noise->turn_mm);
        double sd = hypot(darc_reading_sd(noise), s->rows[i].slope * noise->angle_sd_deg);
        count++;
        row = first_row(row, s->record.row[i]);
        if (whole != 0.0 && fabs(off - whole) < TURN_SDS * sd) {
            turns++;
            turn_row = first_row(turn_row, s->record.row[i]);
        }
    }
    double many = MANY_REJECTED * (double)s->record.n + 2.0;
    t->readings_rejected = count;
    t->readings_used = s->record.n - count;
    if (t->readings_used < (t->cam_learned ? LEAST_LEARNED : LEAST_USED))
        darc_findings_add(&t->findings, DIALARC_FINDING_TOO_FEW_READINGS,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
    if (count)
        darc_findings_add(
            &t->findings, DIALARC_FINDING_READING_REJECTED,
            (double)count > many ? DIALARC_SEVERITY_CAUTION : DIALARC_SEVERITY_NOTE, row);
    if (turns)
        darc_findings_add(&t->findings, DIALARC_FINDING_WHOLE_TURN_MISREAD,
                          (double)turns > many ? DIALARC_SEVERITY_CAUTION
                                               : DIALARC_SEVERITY_NOTE,
                          turn_row);
}

/* Whether the readings contradict each other, or the search for the best fit went on. */
static void contradictions(const attempt *a, dialarc_timing *t)
{
    const darc_fitness *f = &a->grown;
    double most =
        MOST_REJECTED + MOST_SHARE * (double)(t->readings_used + t->readings_rejected);
    int contradicted = (double)f->rejected > most || t->scatter > HOPELESS ||
                       f->in_a_row >= DARC_SYSTEMATIC || f->serial > HOPELESS_SDS ||
                       f->serial < -ALTERNATE_SDS || !darc_answer_is_sensible(&a->answer);
    if (contradicted || !a->answer.converged)
        darc_findings_add(&t->findings, DIALARC_FINDING_FIT_NOT_CONVERGED,
                          contradicted ? DIALARC_SEVERITY_STOP : DIALARC_SEVERITY_CAUTION,
                          DIALARC_NO_ROW);
    if (a->factor > 1.0)
        darc_findings_add(&t->findings, DIALARC_FINDING_SCATTER_ABOVE_SETUP,
                          DIALARC_SEVERITY_CAUTION, DIALARC_NO_ROW);
}

double darc_scrutinised_fit(darc_scratch *s, const dialarc_setup *setup,
                            const darc_noise *noise, darc_answer *answer,
                            dialarc_timing *t)
{
    attempt a;
    t->cam_learned = !darc_cam_given(s, setup);
    if (t->cam_learned) {
        darc_floor floor = darc_floor_look(s, setup, noise, 1);
        darc_scrutinise_floor(&floor, t);
    }
    try(s, setup, noise, t->cam_learned, &a);
    if (!t->cam_learned &&
        (darc_is_systematic(&a.grown) || darc_is_systematic(&a.stated)))
        find_cause(s, setup, noise, &a, t);
    if (darc_is_systematic(&a.grown) &&
        !dialarc_findings_has(&t->findings, DIALARC_FINDING_DIAL_OFF_SPINDLE))
        darc_scrutinise_lobes(s, setup, noise, &a.stated, t);
    t->scatter = a.factor * a.grown.scatter;
    rejected_readings(s, noise, t);
    contradictions(&a, t);
    *answer = a.answer;
    if (darc_answer_is_sensible(answer)) {
        darc_scrutinise_drift(s, noise, answer, t);
        darc_scrutinise_path(s, setup, answer, t);
    } else {
        darc_answer_clear(answer);
    }
    return a.grown.excess ? a.grown.scatter * a.grown.scatter : 1.0;
}
