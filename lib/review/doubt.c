/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/doubt.h"

#include <math.h>

#include "core/finding.h"
#include "core/normal.h"
#include "review/hysteresis.h"

/* Probability from which on a doubt about the dial is believed; where the cam is learned,
 * it might be what starts sharply. */
#define LIKELY         0.5
#define LIKELY_LEARNED 0.9
#define IGNORED        0.025 /* ... below which it is not reckoned with */
#define UNLIKELY       0.02  /* below this a stated law is taken to be another one */
#define MUCH           1.5   /* times the uncertainty without the doubt, to be told */
#define SURE           0.95  /* probability from which on errors are told to be larger */

/* How likely it is before any reading that a dial does not follow. Common practice, no
 * source: preload is forgotten more often than travel. */
static const double prior[DARC_ENDS] = {[DARC_END_LOW] = 0.04, [DARC_END_HIGH] = 0.01};

/* Either explanation with the errors for which most speaks, those stated or those that
 * the reported fit has grown; and with the cam for which most speaks, be it that of the
 * reported fit or one that only the other readings led to. */
static darc_rival stand_off(const darc_reported *stated, const darc_reported *grown,
                            darc_end end, bool learned, darc_memory *m, size_t *row)
{
    darc_contact c = darc_contact_look(&stated->problem, end, learned, m);
    double reported = fmax(fmax(stated->log_evidence, grown->log_evidence), c.following);
    if (c.found && (!c.good || grown->log_evidence > stated->log_evidence)) {
        darc_contact other = darc_contact_look(&grown->problem, end, learned, m);
        reported = fmax(reported, other.following);
        if (other.found && other.estimate.log_evidence > c.estimate.log_evidence)
            c = other;
    }
    *row = c.row;
    if (!c.found)
        return (darc_rival){0.0, 0.0, -INFINITY};
    return (darc_rival){c.estimate.mean[DARC_ASK_LIFT], c.estimate.var[DARC_ASK_LIFT],
                        log(prior[end]) + c.estimate.log_evidence - reported};
}

void darc_doubts_clear(darc_doubts *d)
{
    *d = (darc_doubts){.n = DARC_FIRST_LAW, .left = 1.0};
    for (int k = 0; k < DARC_FIRST_LAW; k++)
        d->rival[k] = (darc_rival){0.0, 0.0, -INFINITY};
    for (int end = 0; end < DARC_ENDS; end++)
        d->row[end] = DIALARC_NO_ROW;
}

void darc_doubts_raise(const darc_reported *stated, const darc_reported *grown,
                       const darc_estimate *estimate, const darc_goodness *goodness,
                       bool learned, darc_memory *m, darc_doubts *d)
{
    const darc_given_cam *cam = &stated->problem.cam;
    const double log_evidence = fmax(stated->log_evidence, grown->log_evidence);
    for (int end = 0; end < DARC_ENDS; end++)
        d->rival[end] = stand_off(stated, grown, (darc_end)end, learned, m, &d->row[end]);
    d->rival[DARC_HYSTERESIS] = darc_more_hysteresis(&stated->problem, learned, estimate,
                                                     log_evidence, m, &d->hysteresis_mm);
    for (int k = DARC_FIRST_SCALE; k < DARC_FIRST_LAW; k++)
        d->rival[k] = (darc_rival){0.0, 0.0, -INFINITY};
    if (!learned)
        darc_larger_errors(&stated->problem, goodness, log_evidence, m,
                           &d->rival[DARC_FIRST_SCALE]);
    d->n = DARC_FIRST_LAW;
    d->learned = learned;
    if (!learned && !cam->table && cam->sd_mm > 0.0)
        d->n += darc_other_laws(&m->fit, grown->log_evidence, &stated->problem.record,
                                &m->trial, &d->rival[d->n]);
    d->left = darc_rivals_weigh(d->rival, d->n, d->probability);
}

bool darc_hysteresis_is_more(const darc_doubts *d)
{
    return d->probability[DARC_HYSTERESIS] > LIKELY;
}

double darc_contact_log_odds(const darc_doubts *d)
{
    return fmax(d->rival[DARC_END_LOW].log_odds, d->rival[DARC_END_HIGH].log_odds);
}

bool darc_check_contact(const darc_doubts *d, dialarc_timing *t)
{
    static const dialarc_finding code[DARC_ENDS] = {
        [DARC_END_LOW] = DIALARC_FINDING_DIAL_OFF_SPINDLE,
        [DARC_END_HIGH] = DIALARC_FINDING_DIAL_AT_STOP};
    const double likely = d->learned ? LIKELY_LEARNED : LIKELY;
    bool lost = false;
    for (int end = 0; end < DARC_ENDS; end++) {
        if (!(d->probability[end] > likely))
            continue;
        lost = true;
        darc_findings_add(&t->findings, code[end], DIALARC_SEVERITY_STOP, d->row[end]);
    }
    return lost;
}

/* Kinds of doubt: each about the dial for itself, all errors and all laws together. */
enum { ERRORS = DARC_FIRST_SCALE, LAWS, KINDS };

static int kind_of(int rival)
{
    return rival < DARC_FIRST_SCALE ? rival : rival < DARC_FIRST_LAW ? ERRORS : LAWS;
}

/* What kind adds most to the variance. */
static int greatest(const darc_doubts *d, double lift_mm)
{
    double part[KINDS] = {0.0};
    int most = 0;
    for (int k = 0; k < d->n; k++) {
        double away = d->rival[k].lift_mm - lift_mm;
        part[kind_of(k)] += d->probability[k] * (d->rival[k].var + away * away);
    }
    for (int k = 1; k < KINDS; k++)
        most = part[k] > part[most] ? k : most;
    return most;
}

/* Whether errors are surely larger: else it is no more than worth a note. Nor is what no
 * sweep can tell from a cam to be learned that starts sharply: the uncertainty says it.
 */
static dialarc_severity severity_of(const darc_doubts *d, int kind)
{
    double errors = 0.0;
    if (d->learned && kind < (int)DARC_ENDS)
        return DIALARC_SEVERITY_NOTE;
    for (int k = DARC_FIRST_SCALE; k < DARC_FIRST_LAW; k++)
        errors += d->probability[k];
    return kind == ERRORS && errors < SURE ? DIALARC_SEVERITY_NOTE
                                           : DIALARC_SEVERITY_CAUTION;
}

/* Widens the estimate until its 95 % hold those of a dial that did not follow, where it
 * is not ruled out: far off and unlikely, it adds too little to the variance for that. */
static void cover_contact(const darc_doubts *d, darc_estimate *e)
{
    double *var = &e->var[DARC_ASK_LIFT];
    for (int end = 0; end < DARC_ENDS; end++) {
        const darc_rival *rival = &d->rival[end];
        if (!(d->probability[end] > IGNORED))
            continue;
        double away = fabs(rival->lift_mm - e->mean[DARC_ASK_LIFT]);
        double sd = away / DARC_NORMAL_975 + sqrt(rival->var);
        double gain = fmax(sd * sd - *var, 0.0);
        *var += gain;
        e->var_readings += gain;
    }
}

void darc_check_doubts(const darc_doubts *d, darc_estimate *e, dialarc_timing *t)
{
    static const dialarc_finding code[KINDS] = {
        [DARC_END_LOW] = DIALARC_FINDING_DIAL_NOT_PRELOADED,
        [DARC_END_HIGH] = DIALARC_FINDING_DIAL_AT_STOP,
        [DARC_HYSTERESIS] = DIALARC_FINDING_HYSTERESIS_AT_LIMIT,
        [ERRORS] = DIALARC_FINDING_SCATTER_ABOVE_SETUP,
        [LAWS] = DIALARC_FINDING_CAM_NOT_CONFIRMED};
    if (!(d->left < 1.0))
        return;
    double lift = e->mean[DARC_ASK_LIFT], var = e->var[DARC_ASK_LIFT];
    darc_estimate_mix(e, d->rival, d->probability, d->n);
    double away = e->mean[DARC_ASK_LIFT] - lift;
    if (d->learned)
        cover_contact(d, e);
    int most = greatest(d, lift);
    if (most == LAWS && d->left < UNLIKELY)
        darc_findings_add(&t->findings, DIALARC_FINDING_CAM_MISMATCH,
                          DIALARC_SEVERITY_CAUTION, DIALARC_NO_ROW);
    else if (e->var[DARC_ASK_LIFT] + away * away > MUCH * MUCH * var)
        darc_findings_add(&t->findings, code[most], severity_of(d, most),
                          most < DARC_ENDS ? d->row[most] : DIALARC_NO_ROW);
}
