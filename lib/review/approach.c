/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings about the way the crank took: minimum seen, slack taken up, window covered. */
#include <math.h>

#include "review/review.h"

#define STILL_MM       0.008 /* above the minimum: the needle stands still there */
#define LEAST_FALLING  2     /* readings; one may be a misread */
#define STILL_SDS      2.5
#define LEAST_STILL    1 /* readings at the minimum; the law carries on from them ... */
#define LEAST_LEARNED  2 /* ... or has to be learned */
#define NEAR_TDC_DEG   8.0
#define LEAST_NEAR_TDC 2
#define LEAST_WITH     2 /* readings in running direction, for the slack to be known */
#define SLACK_SDS      2.0
#define SLACK_SEEN_DEG 1.0 /* sd of the slack when the sweep shows it */
#define FALL_MM        0.03
#define ZEROED_WITHIN  0.2 /* share of a turn: the dial was set to zero at the minimum */
#define BELOW_ZERO_MM  0.01

/* The served lobe: the one on whose rise, or before whose rise, TDC lies. */
typedef struct lobe {
    double pitch_crank_deg, foot_crank_deg;
    double still_mm; /* lift up to which the needle stands still */
} lobe;

static lobe served(const darc_scratch *s, const darc_answer *answer)
{
    const darc_model *m = &s->fit.model;
    double base = m->learned ? s->fit.param[DARC_BASE] : m->base_deg;
    double sd = darc_reading_sd(&s->fit.noise);
    lobe x = {m->pitch_deg * m->crank_per_pump, answer->mean[DARC_ASK_FOOT],
              fmax(STILL_MM, STILL_SDS * sd)};
    if (-x.foot_crank_deg > x.pitch_crank_deg - base * m->crank_per_pump)
        x.foot_crank_deg += x.pitch_crank_deg;
    return x;
}

/* Where the pump stood for each reading, in crank degrees, by following the slack; goes
 * to `pump`. Also where each pass found it, which is where a pass in running direction
 * takes up the slack. */
static void follow(const darc_scratch *s, double slack, double *pump, double *found)
{
    const darc_record *r = &s->record;
    double at = 0.0;
    for (int k = 0; k < r->passes; k++) {
        const darc_pass *p = &r->pass[k];
        int forward = p->direction > 0;
        int fresh = darc_starts_free(&s->fit.model, r, k);
        if (fresh)
            at = forward ? -INFINITY : INFINITY;
        int turn = darc_turn_index(&s->fit.model, r, k);
        if (fresh && turn >= 0)
            at = s->fit.param[turn] + (forward ? slack : 0.0);
        found[k] = at;
        for (size_t i = p->begin; i < p->end; i++)
            pump[i] = forward ? fmax(r->crank_deg[i], found[k])
                              : fmin(r->crank_deg[i] + slack, found[k]);
        at = pump[p->end - 1];
    }
}

/* A way through the minimum is seen when the lift falls to it and rises from it, or when
 * the crank came to it from above. In one direction with the cam unknown, a flat stretch
 * at the beginning may as well be slack being taken up. */
static void minimum(const darc_scratch *s, const darc_answer *answer, const lobe *x,
                    dialarc_timing *t)
{
    int still = 0, rising = 0, falling = 0, back = 0;
    for (int k = 0; k < s->record.passes; k++)
        back += s->record.pass[k].direction < 0;
    for (size_t i = 0; i < s->record.n; i++) {
        double lift = s->rows[i].mean - answer->mean[DARC_ASK_ZERO];
        double from_foot = s->mean0[i] - x->foot_crank_deg;
        double read = s->record.lift_mm[i] - answer->mean[DARC_ASK_ZERO];
        falling += read > x->still_mm && from_foot < 0.0 &&
                   from_foot > -0.5 * x->pitch_crank_deg;
        if (!darc_is_sound(&s->pulls[i]) || fabs(from_foot) > 0.5 * x->pitch_crank_deg)
            continue;
        still += lift <= x->still_mm;
        rising += lift > x->still_mm && from_foot > 0.0;
    }
    if (still < (t->cam_learned ? LEAST_LEARNED : LEAST_STILL) || !rising ||
        (t->cam_learned && falling < LEAST_FALLING && !back))
        darc_findings_add(&t->findings, DIALARC_FINDING_MINIMUM_NOT_BRACKETED,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
}

/* sd of the crank angle at which a pass takes up the slack. */
static double take_up_sd(darc_scratch *s, const darc_answer *answer, int pass)
{
    double v[DARC_MAX_PARAM] = {0.0};
    int turn = darc_turn_index(&s->fit.model, &s->record, pass);
    if (!darc_starts_free(&s->fit.model, &s->record, pass) || turn < 0)
        return sqrt(answer->var[DARC_ASK_SLACK]);
    v[turn] = v[DARC_SLACK] = 1.0; /* the record's start and the slack make it together */
    darc_fit_backsolve(&s->fit, v);
    return sqrt(fmax(v[turn] + v[DARC_SLACK], 0.0));
}

/* How TDC was come to. */
typedef struct approach {
    int covered;  /* by a pass in running direction */
    int taken_up; /* with the slack taken up before TDC */
    int sound;    /* readings in running direction */
    int near;     /* those near TDC with the slack taken up */
    size_t row;   /* first reading at or after TDC in the slack */
} approach;

static void approach_of_pass(const darc_scratch *s, const darc_pass *p, double taken_up,
                             approach *a)
{
    int before = 0, after = 0;
    double tolerance = 2.0 * s->fit.noise.angle_sd_deg;
    for (size_t i = p->begin; i < p->end; i++) {
        double crank = s->record.crank_deg[i];
        before |= crank <= tolerance;
        if (crank >= -tolerance && taken_up > 0.0 && s->record.row[i] < a->row)
            a->row = s->record.row[i];
        after |= crank >= -tolerance;
        a->sound += darc_is_sound(&s->pulls[i]);
        a->near += darc_is_sound(&s->pulls[i]) && fabs(crank) <= NEAR_TDC_DEG &&
                   crank > taken_up;
    }
    a->covered |= before && after;
    a->taken_up |= before && after && taken_up <= 0.0;
}

static void slack(darc_scratch *s, const darc_answer *answer, const double *found,
                  dialarc_timing *t)
{
    approach a = {0, 0, 0, 0, DIALARC_NO_ROW};
    for (int k = 0; k < s->record.passes; k++)
        if (s->record.pass[k].direction > 0)
            approach_of_pass(s, &s->record.pass[k],
                             found[k] + SLACK_SDS * take_up_sd(s, answer, k), &a);
    if (dialarc_findings_has(&t->findings, DIALARC_FINDING_TDC_NOT_REACHED))
        return;
    if (!a.covered &&
        (a.sound < LEAST_WITH || sqrt(answer->var[DARC_ASK_SLACK]) > SLACK_SEEN_DEG))
        darc_findings_add(&t->findings, DIALARC_FINDING_APPROACH_AGAINST_ROTATION,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
    if (a.covered && !a.taken_up)
        darc_findings_add(&t->findings, DIALARC_FINDING_SLACK_NOT_TAKEN_UP,
                          a.near >= LEAST_NEAR_TDC ? DIALARC_SEVERITY_CAUTION
                                                   : DIALARC_SEVERITY_STOP,
                          a.row);
}

/* Lift that falls through TDC: the engine was turned the wrong way round, or its angles
 * are counted so. */
static void wrong_way(const darc_answer *answer, dialarc_timing *t)
{
    if (answer->mean[DARC_ASK_RATE] < 0.0 && answer->mean[DARC_ASK_LIFT] > FALL_MM)
        darc_findings_add(&t->findings, DIALARC_FINDING_APPROACH_AGAINST_ROTATION,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
}

/* Whether the readings reach from one limit of the window to the other. */
static void window(const darc_scratch *s, const dialarc_setup *setup,
                   const darc_answer *answer, dialarc_timing *t)
{
    double low = INFINITY, high = -INFINITY;
    if (isnan(setup->lift_low_mm) || isnan(setup->lift_high_mm))
        return;
    for (size_t i = 0; i < s->record.n; i++)
        if (darc_is_sound(&s->pulls[i])) {
            low = fmin(low, s->rows[i].mean - answer->mean[DARC_ASK_ZERO]);
            high = fmax(high, s->rows[i].mean - answer->mean[DARC_ASK_ZERO]);
        }
    double middle = 0.5 * (setup->lift_low_mm + setup->lift_high_mm);
    double tolerance = STILL_SDS * darc_reading_sd(&s->fit.noise);
    int blind = t->cam_learned && (low > middle || high < middle);
    if (low > setup->lift_low_mm + tolerance || high < setup->lift_high_mm - tolerance)
        darc_findings_add(&t->findings, DIALARC_FINDING_WINDOW_WIDER_THAN_SWEEP,
                          blind ? DIALARC_SEVERITY_CAUTION : DIALARC_SEVERITY_NOTE,
                          DIALARC_NO_ROW);
}

/* The minimum lies below the zero to which the dial was set near it. */
static void below_zero(const darc_scratch *s, const darc_answer *answer,
                       dialarc_timing *t)
{
    double zero = answer->mean[DARC_ASK_ZERO];
    double sure = 4.0 * sqrt(answer->var[DARC_ASK_ZERO]) + BELOW_ZERO_MM;
    if (!dialarc_findings_has(&t->findings, DIALARC_FINDING_MINIMUM_NOT_BRACKETED) &&
        zero < -sure && zero > -ZEROED_WITHIN * s->fit.noise.turn_mm)
        darc_findings_add(&t->findings, DIALARC_FINDING_BELOW_ZERO, DIALARC_SEVERITY_NOTE,
                          DIALARC_NO_ROW);
}

void darc_scrutinise_path(darc_scratch *s, const dialarc_setup *setup,
                          const darc_answer *answer, dialarc_timing *t)
{
    double found[DARC_MAX_PASSES];
    lobe x = served(s, answer);
    follow(s, fmax(answer->mean[DARC_ASK_SLACK], 0.0), s->mean0, found);
    minimum(s, answer, &x, t);
    slack(s, answer, found, t);
    wrong_way(answer, t);
    window(s, setup, answer, t);
    below_zero(s, answer, t);
}
