/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Starting values: a grid over the foot and the slack, zero and total lift solved for. */
#include <math.h>

#include "fit.h"

#define SAMPLE      48  /* readings looked at */
#define FEET        48  /* trial feet a lobe pitch */
#define TABLE       256 /* points of the unit lift over a pitch */
#define SLACKS      9
#define RISES       3    /* trial rise lengths when the cam is learned ... */
#define LOOKS       3    /* ... and trial laws, from blunt to sharp */
#define SCALE_SHARE 0.05 /* residuals beyond this share of the span count little */

static const double trial_slack[SLACKS] = {0.0, 1.0, 2.0, 3.5, 5.0, 7.0, 9.0, 11.5, 14.0};
static const double trial_rise[RISES] = {0.38, 0.45, 0.54}; /* of the pitch */
static const dialarc_law trial_law[LOOKS] = {
    DIALARC_LAW_MODIFIED_SINE, DIALARC_LAW_CONSTANT_RATE, DIALARC_LAW_POLY4567};
static const double trial_blend[LOOKS] = {0.25, 0.15, 0.25};

typedef struct sample {
    int n;
    double crank_deg[SAMPLE];      /* as recorded */
    double pump_crank_deg[SAMPLE]; /* pump side, slack removed */
    double lift_mm[SAMPLE];
    double unit[SAMPLE];
    int direction[SAMPLE];
    size_t at[SAMPLE];
} sample;

static void take_sample(const darc_record *record, sample *s)
{
    size_t n = record->n;
    s->n = n < SAMPLE ? (int)n : SAMPLE;
    int pass = 0;
    for (int k = 0; k < s->n; k++) {
        size_t i = n <= SAMPLE ? (size_t)k : (size_t)k * (n - 1) / (SAMPLE - 1);
        while (i >= record->pass[pass].end)
            pass++;
        s->at[k] = i;
        s->crank_deg[k] = record->crank_deg[i];
        s->lift_mm[k] = record->lift_mm[i];
        s->direction[k] = record->pass[pass].direction;
    }
}

/* Pump side of the sampled readings for a trial slack, following every reading. */
static void take_up(const darc_record *record, double slack, sample *s)
{
    double w = record->crank_deg[0];
    if (record->pass[0].direction < 0)
        w += slack;
    int k = 0;
    for (size_t i = 0; i < record->n && k < s->n; i++) {
        double u = record->crank_deg[i];
        w = fmax(u, fmin(u + slack, w));
        if (s->at[k] == i)
            s->pump_crank_deg[k++] = w;
    }
}

/* Robust straight line of readings on unit lift: bounded loss, a few reweightings. */
static double line_cost(const sample *s, double scale, double *zero, double *total)
{
    double w[SAMPLE];
    for (int k = 0; k < s->n; k++)
        w[k] = 1.0;
    double cost = INFINITY;
    for (int round = 0; round < 4; round++) {
        double n = 1e-9, x = 0, y = 0, xx = 1e-9, xy = 0;
        for (int k = 0; k < s->n; k++) {
            n += w[k];
            x += w[k] * s->unit[k];
            y += w[k] * s->lift_mm[k];
        }
        x /= n;
        y /= n;
        for (int k = 0; k < s->n; k++) {
            double d = s->unit[k] - x;
            xx += w[k] * d * d;
            xy += w[k] * d * (s->lift_mm[k] - y);
        }
        *total = xy / xx;
        *zero = y - *total * x;
        cost = 0.0;
        for (int k = 0; k < s->n; k++) {
            double r = (s->lift_mm[k] - *zero - *total * s->unit[k]) / scale;
            w[k] = 1.0 / ((1.0 + r * r) * (1.0 + r * r));
            cost += r * r / (1.0 + r * r);
        }
    }
    return cost;
}

/* Span of the readings; medians of three neighbours keep single misreads out of it. */
static double span(const sample *s)
{
    double low = INFINITY, high = -INFINITY;
    for (int k = 1; k + 1 < s->n; k++) {
        double a = s->lift_mm[k - 1], b = s->lift_mm[k], c = s->lift_mm[k + 1];
        double m = fmax(fmin(a, b), fmin(fmax(a, b), c));
        low = fmin(low, m);
        high = fmax(high, m);
    }
    return s->n >= 3 ? high - low : 0.0;
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
static void place(sample *s, const double *unit, double foot, double crank_pitch)
{
    for (int k = 0; k < s->n; k++) {
        double x = (s->pump_crank_deg[k] - foot) / crank_pitch;
        double at = TABLE * (x - floor(x));
        int j = at < TABLE - 1 ? (int)at : TABLE - 1;
        s->unit[k] = unit[j] + (at - j) * (unit[j + 1] - unit[j]);
    }
}

/* Best foot and slack for one trial shape; keeps the best so far in fit->param. */
static void search(darc_fit *fit, const darc_record *record, sample *s, double scale,
                   const double *trial, double *best)
{
    double pitch = fit->model.pitch_deg * fit->model.crank_per_pump;
    double range = scale / SCALE_SHARE, unit[TABLE + 1];
    tabulate(&fit->model, trial, unit);
    for (int j = 0; j < SLACKS; j++) {
        take_up(record, trial_slack[j], s);
        for (int f = 0; f < FEET; f++) {
            double foot = -pitch * (f + 0.5) / FEET, zero, total;
            place(s, unit, foot, pitch);
            double cost = line_cost(s, scale, &zero, &total);
            /* Among equals the smaller slack: a one-way sweep does not show it. */
            if (total > 0.5 * range && cost < *best - 1e-9) {
                *best = cost;
                for (int k = DARC_RISE; k <= DARC_BASE && fit->model.learned; k++)
                    fit->param[k] = trial[k];
                fit->param[DARC_ZERO] = zero;
                fit->param[DARC_LIFT] = total;
                fit->param[DARC_FOOT] = foot;
                fit->param[DARC_SLACK] = trial_slack[j];
            }
        }
    }
}

void darc_fit_start(darc_fit *fit, const darc_record *record)
{
    sample s;
    double trial[DARC_MAX_PARAM] = {0.0};
    double best = INFINITY, pitch = fit->model.pitch_deg;
    take_sample(record, &s);
    double scale = fmax(SCALE_SHARE * span(&s), 0.01);
    int shapes = fit->model.learned ? RISES * LOOKS : 1;
    fit->param[DARC_ZERO] = s.n ? s.lift_mm[0] : 0.0;
    fit->param[DARC_LIFT] = scale / SCALE_SHARE;
    fit->param[DARC_FOOT] = fit->param[DARC_SLACK] = 0.0;
    trial[DARC_LIFT] = 1.0;
    darc_model best_model = fit->model;
    for (int k = 0; k < shapes; k++) {
        double before = best, rise = trial_rise[k / LOOKS];
        trial[DARC_RISE] = rise * pitch;
        trial[DARC_TOP] = 0.05 * pitch;
        trial[DARC_BASE] = (0.95 - rise) * 0.25 * pitch;
        if (fit->model.learned) {
            fit->model.rise_law = fit->model.fall_law = trial_law[k % LOOKS];
            fit->model.blend = trial_blend[k % LOOKS];
        }
        search(fit, record, &s, scale, trial, &best);
        if (best < before)
            best_model = fit->model;
    }
    fit->model = best_model;
}
