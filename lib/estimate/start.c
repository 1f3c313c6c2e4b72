/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/start.h"

#include <math.h>

#include "record/thin.h"

#define PLENTY       32 /* readings of which the coarse grid looks at every second */
#define FEET         24 /* trial feet a lobe pitch */
#define TABLE        64 /* points of the unit lift over a pitch */
#define SLACKS       3
#define RISES        3    /* trial rise lengths when the cam is learned ... */
#define BASES        3    /* ... base dwells ... */
#define LOOKS        3    /* ... and trial laws, from blunt to sharp */
#define NEAR_STEPS   1    /* steps either side that the finer grid goes */
#define NEAR_DEG     2.0  /* its step in slack; in the foot half a coarse step */
#define REWEIGHTINGS 4    /* reweightings of the robust line */
#define LEAST_SPAN   0.5  /* of the span of the readings, a lobe's */
#define COMES_LAST   1e12 /* more than any cost */
#define SCALE_SHARE  0.05 /* residuals beyond this share of the span count little */

static const double trial_slack[SLACKS] = {1.5, 5.0, 10.0};
static const double trial_rise[RISES] = {0.38, 0.45, 0.54}; /* of the pitch */
/* Of what rise and top leave. */
static const double trial_base[BASES] = {0.25, 0.1, 0.45};
static const dialarc_law trial_law[LOOKS] = {
    DIALARC_LAW_MODIFIED_SINE, DIALARC_LAW_CONSTANT_RATE, DIALARC_LAW_POLY4567};
static const double trial_blend[LOOKS] = {0.25, 0.15, 0.25};

typedef struct sample {
    const darc_thin *thin;
    double pump_crank_deg[DARC_THIN_MAX]; /* pump side, slack removed */
    double unit[DARC_THIN_MAX];           /* lift of a cam of total lift 1 */
    size_t every;                         /* reading, for the coarse grid */
} sample;

/* A point of the grid. */
typedef struct start {
    double cost, foot, slack, zero, total;
} start;

/* Pump side of the readings for a trial slack. */
static void take_up(double slack, sample *s)
{
    const darc_record *r = &s->thin->record;
    double w = r->crank_deg[0];
    if (r->pass[0].direction < 0)
        w += slack;
    for (size_t i = 0; i < r->n; i++) {
        double u = r->crank_deg[i];
        w = w > u + slack ? u + slack : w < u ? u : w;
        s->pump_crank_deg[i] = w;
    }
}

/* Straight line of the medians on unit lift: sum of squares left. */
static double square_cost(const sample *s, start *at)
{
    double x = 0.0, y = 0.0, xx = 1e-9, xy = 0.0, yy = 0.0;
    double n = 0.0;
    for (size_t k = 0; k < s->thin->record.n; k += s->every) {
        n += 1.0;
        double u = s->unit[k], m = s->thin->median_mm[k];
        x += u;
        y += m;
        xx += u * u;
        xy += u * m;
        yy += m * m;
    }
    xx -= x * x / n;
    xy -= x * y / n;
    at->total = xy / xx;
    at->zero = (y - at->total * x) / n;
    return yy - y * y / n - at->total * xy;
}

/* Robust straight line of readings on unit lift: bounded loss, a few reweightings. */
static double robust_cost(const sample *s, double scale, start *at)
{
    double w[DARC_THIN_MAX];
    const double *lift = s->thin->lift_mm;
    size_t count = s->thin->record.n;
    for (size_t k = 0; k < count; k++)
        w[k] = 1.0;
    double cost = INFINITY, per = 1.0 / (scale * scale);
    for (int round = 0; round < REWEIGHTINGS; round++) {
        double n = 1e-9, x = 0.0, y = 0.0, xx = 1e-9, xy = 0.0;
        for (size_t k = 0; k < count; k++) {
            n += w[k];
            x += w[k] * s->unit[k];
            y += w[k] * lift[k];
            xx += w[k] * s->unit[k] * s->unit[k];
            xy += w[k] * s->unit[k] * lift[k];
        }
        at->total = (xy - x * y / n) / (xx - x * x / n);
        at->zero = (y - at->total * x) / n;
        cost = 0.0;
        for (size_t k = 0; k < count; k++) {
            double r = lift[k] - at->zero - at->total * s->unit[k];
            double near = 1.0 / (1.0 + r * r * per);
            w[k] = near * near;
            cost += 1.0 - near;
        }
    }
    return cost;
}

/* Span of the readings; medians keep single misreads out of it. */
static double span(const darc_thin *thin)
{
    double low = INFINITY, high = -INFINITY;
    for (size_t k = 1; k + 1 < thin->record.n; k++) {
        double m = thin->median_mm[k];
        low = m < low ? m : low;
        high = m > high ? m : high;
    }
    return thin->record.n >= 3 ? high - low : 0.0;
}

/* Unit lift over one pitch, for one trial shape. */
static void tabulate(const darc_model *model, const double *trial, double *unit)
{
    darc_model law = *model;
    darc_lift lift;
    law.terms = 0;
    for (int k = 0; k <= TABLE; k++) {
        darc_model_lift(&law, trial, model->pitch_deg * k / TABLE, &lift);
        unit[k] = lift.mm;
    }
}

/* Unit lift of the sampled readings for a trial foot, by linear interpolation. */
static void place(sample *s, size_t every, const double *unit, double foot,
                  double crank_pitch)
{
    double scale = 1.0 / crank_pitch;
    for (size_t k = 0; k < s->thin->record.n; k += every) {
        double x = (s->pump_crank_deg[k] - foot) * scale;
        double at = TABLE * (x - darc_whole(x));
        int j = at >= 0.0 && at < TABLE - 1 ? (int)at : TABLE - 1;
        s->unit[k] = unit[j] + (at - j) * (unit[j + 1] - unit[j]);
    }
}

/* A lobe much lower than the readings span comes after all others. */
static double too_low(const start *at, double range)
{
    return at->total > LEAST_SPAN * range ? 0.0 : COMES_LAST;
}

/* Best point of the coarse grid for one trial shape. */
static start coarse(sample *s, const double *unit, double crank_pitch, double range)
{
    start best = {INFINITY, 0.0, 0.0, 0.0, 0.0};
    /* The slack does not show in one direction. */
    const darc_record *r = &s->thin->record;
    int slacks = r->passes > 1 || r->pass[0].direction < 0 ? SLACKS : 1;
    for (int j = 0; j < slacks; j++) {
        start at = {INFINITY, 0.0, trial_slack[j], 0.0, 0.0};
        take_up(at.slack, s);
        for (int f = 0; f < FEET; f++) {
            at.foot = -crank_pitch * (f + 0.5) / FEET;
            place(s, s->every, unit, at.foot, crank_pitch);
            at.cost = square_cost(s, &at) + too_low(&at, range);
            if (at.cost < best.cost)
                best = at;
        }
    }
    return best;
}

/* The finer grid about `from`. */
static start finer(sample *s, const double *unit, double crank_pitch, double range,
                   start from)
{
    start best = from;
    best.cost = INFINITY;
    for (int j = -NEAR_STEPS; j <= NEAR_STEPS; j++) {
        start at = from;
        at.slack = fmax(from.slack + j * NEAR_DEG, 0.0);
        take_up(at.slack, s);
        for (int f = -NEAR_STEPS; f <= NEAR_STEPS; f++) {
            at.foot = from.foot + 0.5 * f * crank_pitch / FEET;
            place(s, 1, unit, at.foot, crank_pitch);
            at.cost = robust_cost(s, SCALE_SHARE * range, &at) + too_low(&at, range);
            if (at.cost < best.cost)
                best = at;
        }
    }
    return best;
}

void darc_fit_start(darc_fit *fit, const darc_record *record)
{
    darc_thin thin;
    sample s = {.thin = &thin};
    double trial[DARC_MAX_PARAM] = {0.0}, unit[TABLE + 1];
    double pitch = fit->model.pitch_deg, crank_pitch = pitch * fit->model.crank_per_pump;
    darc_thin_out(record, &thin);
    s.every = thin.record.n >= PLENTY ? 2 : 1;
    double range = fmax(span(&thin), 0.01 / SCALE_SHARE);
    bool search = fit->model.learned && !fit->model.law_stated;
    int shapes = search ? RISES * BASES * LOOKS : 1;
    start best = {INFINITY, 0.0, 0.0, record->lift_mm[0], range};
    darc_model best_model = fit->model;
    trial[DARC_LIFT] = 1.0;
    for (int k = 0; k < shapes; k++) {
        double rise = trial_rise[k / (BASES * LOOKS)];
        trial[DARC_RISE] = rise * pitch;
        trial[DARC_TOP] = 0.05 * pitch;
        trial[DARC_BASE] = (0.95 - rise) * trial_base[k / LOOKS % BASES] * pitch;
        for (int j = DARC_RISE; j <= DARC_BASE && fit->model.law_stated; j++)
            trial[j] = fit->param[j];
        if (search) {
            fit->model.rise_law = fit->model.fall_law = trial_law[k % LOOKS];
            fit->model.blend = trial_blend[k % LOOKS];
        }
        tabulate(&fit->model, trial, unit);
        start at = coarse(&s, unit, crank_pitch, range);
        at = finer(&s, unit, crank_pitch, range, at);
        if (at.cost < best.cost) {
            best = at;
            best_model = fit->model;
            for (int j = DARC_RISE; j <= DARC_BASE && search; j++)
                fit->param[j] = trial[j];
        }
    }
    fit->model = best_model;
    fit->param[DARC_ZERO] = best.zero;
    fit->param[DARC_LIFT] = fmax(best.total, LEAST_SPAN * range);
    fit->param[DARC_FOOT] = best.foot;
    fit->param[DARC_SLACK] = best.slack;
}
