/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/approach.h"

#include <math.h>

#include "core/finding.h"
#include "review/readings.h"

#define STILL_MM      0.008 /* above the minimum: the needle stands still there */
#define LEAST_FALLING 2     /* readings; one may be a misread */
/* Readings at the minimum: the law carries on from them, or has to be learned. */
#define LEAST_AT_REST    1
#define LEAST_REST_LEARN 2

#define NEAR_TDC_DEG   8.0
#define LEAST_NEAR_TDC 2
#define LEAST_WITH     2 /* readings in running direction, for the slack to be known */
#define SLACK_SDS      2.0
#define SLACK_SEEN_DEG 1.0 /* sd of the slack when the sweep shows it */
#define FALL_MM        0.03
#define ZEROED_WITHIN  0.2 /* share of a turn: the dial was set to zero at the minimum */
#define BELOW_ZERO_MM  0.01

/* A problem, its fit and what that says. */
typedef struct view {
    const darc_record *record;
    const darc_fit *fit;
    const darc_estimate *estimate;
} view;

/* The served lobe: the one on whose rise, or before whose rise, TDC lies. */
typedef struct lobe {
    double pitch_crank_deg, foot_crank_deg;
    double still_mm; /* lift up to which the needle stands still */
} lobe;

static lobe served(const view *v)
{
    const darc_model *m = &v->fit->model;
    double base = m->learned ? v->fit->param[DARC_BASE] : m->base_deg;
    lobe x = {m->pitch_deg * m->crank_per_pump, v->estimate->mean[DARC_ASK_FOOT],
              fmax(STILL_MM, darc_still_mm(&v->fit->noise))};
    if (-x.foot_crank_deg > x.pitch_crank_deg - base * m->crank_per_pump)
        x.foot_crank_deg += x.pitch_crank_deg;
    return x;
}

/* Where the pump stood for each reading, in crank degrees, by following the slack; goes
 * to `pump`. Also where each pass found it, which is where a pass in running direction
 * takes up the slack. */
static void follow(const view *v, double slack, double *pump, double *found)
{
    const darc_record *r = v->record;
    double at = 0.0;
    for (int k = 0; k < r->passes; k++) {
        const darc_pass *p = &r->pass[k];
        bool forward = p->direction > 0;
        bool fresh = darc_starts_free(&v->fit->model, r, k);
        if (fresh)
            at = forward ? -INFINITY : INFINITY;
        int turn = darc_turn_index(&v->fit->model, r, k);
        if (fresh && turn >= 0)
            at = v->fit->param[turn] + (forward ? slack : 0.0);
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
static void check_minimum(const view *v, const double *pump, const lobe *x,
                          dialarc_timing *t)
{
    double zero = v->estimate->mean[DARC_ASK_ZERO];
    int still = 0, rising = 0, falling = 0, back = 0;
    for (int k = 0; k < v->record->passes; k++)
        back += v->record->pass[k].direction < 0;
    for (size_t i = 0; i < v->record->n; i++) {
        double lift = v->fit->at.rows[i].mean - zero;
        double from_foot = pump[i] - x->foot_crank_deg;
        double read = v->record->lift_mm[i] - zero;
        falling += read > x->still_mm && from_foot < 0.0 &&
                   from_foot > -0.5 * x->pitch_crank_deg;
        if (!darc_is_sound(&v->fit->at.pulls[i]) ||
            fabs(from_foot) > 0.5 * x->pitch_crank_deg)
            continue;
        still += lift <= x->still_mm;
        rising += lift > x->still_mm && from_foot > 0.0;
    }
    if (still < (t->cam_learned ? LEAST_REST_LEARN : LEAST_AT_REST) || !rising ||
        (t->cam_learned && falling < LEAST_FALLING && !back))
        darc_findings_add(&t->findings, DIALARC_FINDING_MINIMUM_NOT_BRACKETED,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
}

/* sd of the crank angle at which a pass takes up the slack. */
static double take_up_sd(const view *v, int pass)
{
    double both[DARC_MAX_PARAM] = {0.0};
    int turn = darc_turn_index(&v->fit->model, v->record, pass);
    if (!darc_starts_free(&v->fit->model, v->record, pass) || turn < 0)
        return sqrt(v->estimate->var[DARC_ASK_SLACK]);
    both[turn] = both[DARC_SLACK] = 1.0; /* the record's start and the slack make it */
    return sqrt(fmax(darc_fit_variance(v->fit, both), 0.0));
}

/* How TDC was come to. */
typedef struct approach {
    bool covered;  /* by a pass in running direction */
    bool taken_up; /* with the slack taken up before TDC */
    int sound;     /* readings in running direction */
    int near;      /* those near TDC with the slack taken up */
    size_t row;    /* first reading at or after TDC in the slack */
} approach;

static void approach_of_pass(const view *v, const darc_pass *p, double taken_up,
                             approach *a)
{
    bool before = false, after = false;
    double tolerance = 2.0 * v->fit->noise.angle_sd_deg;
    for (size_t i = p->begin; i < p->end; i++) {
        double crank = v->record->crank_deg[i];
        before |= crank <= tolerance;
        if (crank >= -tolerance && taken_up > 0.0 && v->record->row[i] < a->row)
            a->row = v->record->row[i];
        after |= crank >= -tolerance;
        a->sound += darc_is_sound(&v->fit->at.pulls[i]);
        a->near += darc_is_sound(&v->fit->at.pulls[i]) && fabs(crank) <= NEAR_TDC_DEG &&
                   crank > taken_up;
    }
    a->covered |= before && after;
    a->taken_up |= before && after && taken_up <= 0.0;
}

static void check_slack(const view *v, const double *found, dialarc_timing *t)
{
    approach a = {false, false, 0, 0, DIALARC_NO_ROW};
    for (int k = 0; k < v->record->passes; k++)
        if (v->record->pass[k].direction > 0)
            approach_of_pass(v, &v->record->pass[k],
                             found[k] + SLACK_SDS * take_up_sd(v, k), &a);
    if (dialarc_findings_has(&t->findings, DIALARC_FINDING_TDC_NOT_REACHED))
        return;
    if (!a.covered &&
        (a.sound < LEAST_WITH || sqrt(v->estimate->var[DARC_ASK_SLACK]) > SLACK_SEEN_DEG))
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
static void check_wrong_way(const darc_estimate *estimate, dialarc_timing *t)
{
    if (estimate->mean[DARC_ASK_RATE] < 0.0 && estimate->mean[DARC_ASK_LIFT] > FALL_MM)
        darc_findings_add(&t->findings, DIALARC_FINDING_APPROACH_AGAINST_ROTATION,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
}

/* Whether the readings reach from one limit of the window to the other. */
static void check_window(const view *v, const darc_known *known, dialarc_timing *t)
{
    double least = INFINITY, most = -INFINITY;
    if (!known->has_window)
        return;
    for (size_t i = 0; i < v->record->n; i++)
        if (darc_is_sound(&v->fit->at.pulls[i])) {
            double lift = v->fit->at.rows[i].mean - v->estimate->mean[DARC_ASK_ZERO];
            least = fmin(least, lift);
            most = fmax(most, lift);
        }
    double middle = 0.5 * (known->low_mm + known->high_mm);
    double tolerance = darc_still_mm(&v->fit->noise);
    bool blind = t->cam_learned && (least > middle || most < middle);
    if (least > known->low_mm + tolerance || most < known->high_mm - tolerance)
        darc_findings_add(&t->findings, DIALARC_FINDING_WINDOW_WIDER_THAN_SWEEP,
                          blind ? DIALARC_SEVERITY_CAUTION : DIALARC_SEVERITY_NOTE,
                          DIALARC_NO_ROW);
}

/* The minimum lies below the zero to which the dial was set near it. */
static void check_below_zero(const view *v, dialarc_timing *t)
{
    double zero = v->estimate->mean[DARC_ASK_ZERO];
    double sure = 4.0 * sqrt(v->estimate->var[DARC_ASK_ZERO]) + BELOW_ZERO_MM;
    if (!dialarc_findings_has(&t->findings, DIALARC_FINDING_MINIMUM_NOT_BRACKETED) &&
        zero < -sure && zero > -ZEROED_WITHIN * v->fit->noise.turn_mm)
        darc_findings_add(&t->findings, DIALARC_FINDING_BELOW_ZERO, DIALARC_SEVERITY_NOTE,
                          DIALARC_NO_ROW);
}

void darc_check_approach(const darc_problem *problem, const darc_fit *fit,
                         const darc_estimate *estimate, double *pump_crank_deg,
                         dialarc_timing *t)
{
    double found[DARC_MAX_PASSES];
    const view v = {&problem->record, fit, estimate};
    lobe x = served(&v);
    follow(&v, fmax(estimate->mean[DARC_ASK_SLACK], 0.0), pump_crank_deg, found);
    check_minimum(&v, pump_crank_deg, &x, t);
    check_slack(&v, found, t);
    check_wrong_way(estimate, t);
    check_window(&v, &problem->known, t);
    check_below_zero(&v, t);
}
