/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The path model of a whole turn. Unlike that of one sweep, the lift turns round where
 * lobe and run-out together do, and each lobe has a foot and a lift of its own.
 */
#include "model/turn_path.h"

#include <math.h>
#include <string.h>

#include "core/angle.h"
#include "core/sine.h"
#include "model/instrument.h"

#define BISECTIONS 26

/* Lift of one lobe with run-out, by pump angle. */
typedef struct place {
    darc_lift cam;
    double mm, per_deg, per_deg2;
    double cosine, sine;
    int lobe;
} place;

static int wrap_lobe(const darc_lobes_model *m, double lobe)
{
    double turns = floor(lobe / m->lobes);
    return (int)(lobe - turns * m->lobes);
}

static double base_deg(const darc_lobes_model *m)
{
    return m->cam->learned ? m->common[DARC_BASE] : m->cam->base_deg;
}

/* How much later than equal spacing a lobe comes, pump degrees. */
static double late_deg(const darc_lobes_model *m, double lobe)
{
    int k = wrap_lobe(m, lobe);
    return k ? m->own[darc_lobes_timing(k)] / m->cam->crank_per_pump : 0.0;
}

/* Lift at a pump angle from the first foot, on the given lobe counted without wrapping.
 */
static void lift_at(const darc_lobes_model *m, double lobe, double pump_deg, place *p)
{
    double param[DARC_MAX_PARAM];
    int k = wrap_lobe(m, lobe);
    memcpy(param, m->common, (size_t)m->cam->n_param * sizeof param[0]);
    if (k)
        param[DARC_LIFT] += m->own[darc_lobes_lift(m->lobes, k)];
    darc_model_lift(m->cam, param,
                    pump_deg - lobe * m->cam->pitch_deg - late_deg(m, lobe), &p->cam);
    p->lobe = k;
    /* Run-out is counted from TDC: a foot that is hard to see does not turn its phase. */
    double from_tdc = pump_deg + m->common[DARC_FOOT] / m->cam->crank_per_pump;
    darc_sine_cosine(DARC_RAD_PER_DEG * from_tdc, &p->sine, &p->cosine);
    double a = m->own[0], b = m->own[1];
    p->mm = p->cam.mm + a * p->cosine + b * p->sine;
    p->per_deg = p->cam.per_deg + DARC_RAD_PER_DEG * (b * p->cosine - a * p->sine);
    p->per_deg2 = p->cam.per_deg2 -
                  DARC_RAD_PER_DEG * DARC_RAD_PER_DEG * (a * p->cosine + b * p->sine);
}

/* The angle at which one lobe takes over from the one before. */
static double border(const darc_lobes_model *m, double lobe)
{
    double late = 0.5 * (late_deg(m, lobe - 1.0) + late_deg(m, lobe));
    return lobe * m->cam->pitch_deg - 0.5 * base_deg(m) + late;
}

/* The lobe that an angle belongs to, which lies on the given lobe or near its ends. */
static double owner(const darc_lobes_model *m, double lobe, double pump_deg)
{
    if (pump_deg < border(m, lobe))
        return lobe - 1.0;
    return pump_deg < border(m, lobe + 1.0) ? lobe : lobe + 1.0;
}

/* Where the slope, times sign, passes from below zero to above. */
static double find_turn(const darc_lobes_model *m, double lobe, double low, double high,
                        double sign)
{
    place p;
    for (int k = 0; k < BISECTIONS; k++) {
        double middle = 0.5 * (low + high);
        lift_at(m, owner(m, lobe, middle), middle, &p);
        if (sign * p.per_deg < 0.0)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

void darc_lobes_find_turns(darc_lobes_model *m)
{
    const darc_model *cam = m->cam;
    double rise = cam->learned ? m->common[DARC_RISE] : cam->rise_deg;
    double top = cam->learned ? m->common[DARC_TOP] : cam->top_deg;
    double half_fall = 0.5 * (cam->pitch_deg - rise - top - base_deg(m));
    for (int k = 0; k < m->lobes; k++) {
        double foot = k * cam->pitch_deg + late_deg(m, k);
        double before = border(m, k) - 0.5 * base_deg(m) - half_fall;
        m->turn[k].minimum_deg = find_turn(m, k, before, foot + 0.5 * rise, 1.0);
        m->turn[k].maximum_deg =
            find_turn(m, k, foot + 0.5 * rise, foot + rise + top + half_fall, -1.0);
    }
}

static double turn_deg(const darc_lobes_model *m, double lobe, bool maximum)
{
    const darc_lobes_turn *t = &m->turn[wrap_lobe(m, lobe)];
    double whole = 360.0 * floor(lobe / m->lobes);
    return whole + (maximum ? t->maximum_deg : t->minimum_deg);
}

/* Where the pump stands for a reading. */
static darc_pump_side pump_side(darc_lobes_walk *w, size_t i)
{
    const darc_pass *pass = &w->record->pass[w->pass];
    const double *param = w->model->common;
    const darc_pump_side *start = w->begun_known ? &w->begun : NULL;
    bool turning = w->turns && i + 1 == pass->end;
    darc_pump_side drive =
        turning && w->next >= 0
            ? darc_pump_side_at_turn(param, w->next, pass->direction, start)
            : darc_pump_side_at(w->record->crank_deg[i], param[DARC_SLACK],
                                pass->direction, start, w->angle_sd_deg);
    if (turning)
        w->turned = drive;
    return drive;
}

/* Lift and derivatives of a place into a row, as if there were no play in the dial. */
static void place_row(const darc_lobes_model *m, const place *p,
                      const darc_pump_side *drive, darc_lobes_row *row)
{
    double rate = p->per_deg / m->cam->crank_per_pump;
    memset(row->common, 0, (size_t)m->cam->n_param * sizeof row->common[0]);
    row->mean = p->mm;
    row->common[DARC_LIFT] = row->by_lift = p->cam.by_lift;
    row->common[DARC_FOOT] = row->by_timing = -p->cam.per_deg / m->cam->crank_per_pump;
    if (m->cam->learned) {
        row->common[DARC_RISE] = p->cam.by_rise;
        row->common[DARC_TOP] = p->cam.by_top;
        row->common[DARC_BASE] = p->cam.by_base;
        memcpy(row->common + DARC_TERMS, p->cam.term,
               2 * (size_t)m->cam->terms * sizeof row->common[0]);
    }
    row->by_cos = p->cosine;
    row->by_sin = p->sine;
    row->lobe = p->lobe;
    if (!drive)
        return;
    row->common[DARC_SLACK] = rate * drive->by_slack;
    if (drive->turn >= 0)
        row->common[drive->turn] = rate * drive->by_turn;
}

/* The dial where the lift turned round before this stretch. */
static void hold_turn(darc_lobes_walk *w, double lobe, bool rising, bool forward)
{
    const darc_lobes_model *m = w->model;
    double at =
        rising && !forward ? lobe + 1.0 : lobe; /* lobe that the turn belongs to */
    place p;
    double angle = turn_deg(m, at, !rising);
    lift_at(m, owner(m, lobe, angle), angle, &p);
    place_row(m, &p, NULL, &w->held);
    double lag = rising ? 0.5 : -0.5;
    w->held.mean += lag * m->common[DARC_HYST];
    w->held.common[DARC_HYST] = lag;
}

/* Mixes what the dial holds into a row, as far as it has not been moved. */
static void mix_held(const darc_lobes_walk *w, double live, darc_lobes_row *row)
{
    const darc_lobes_row *held = &w->held;
    double rest = 1.0 - live;
    for (int k = 0; k < w->model->cam->n_param; k++)
        row->common[k] = live * row->common[k] + rest * held->common[k];
    row->by_cos = live * row->by_cos + rest * held->by_cos;
    row->by_sin = live * row->by_sin + rest * held->by_sin;
    if (held->lobe != row->lobe && live >= 0.5) /* a row has one lobe: the livelier */
        rest = 0.0;
    else if (held->lobe != row->lobe)
        live = 0.0;
    row->lobe = rest > live ? held->lobe : row->lobe;
    row->by_timing = live * row->by_timing + rest * held->by_timing;
    row->by_lift = live * row->by_lift + rest * held->by_lift;
}

static void enter_pass(darc_lobes_walk *w, int number)
{
    const darc_pass *pass = &w->record->pass[number];
    int index = darc_turn_index(w->model->cam, w->record, number);
    w->pass = number;
    w->turns = number + 1 < w->record->passes &&
               !darc_starts_free(w->model->cam, w->record, number + 1);
    w->next = w->turns ? darc_turn_index(w->model->cam, w->record, number + 1) : -1;
    w->fresh = darc_starts_free(w->model->cam, w->record, number);
    if (index >= 0 && w->fresh) /* as after a turn there */
        w->turned =
            darc_pump_side_at_turn(w->model->common, index, -pass->direction, NULL);
    w->begun = w->turned;
    w->begun_known = index >= 0 || !w->fresh;
}

void darc_lobes_begin(const darc_lobes_model *model, const darc_record *record,
                      double angle_sd_deg, darc_lobes_walk *walk)
{
    memset(walk, 0, sizeof *walk);
    walk->model = model;
    walk->record = record;
    walk->angle_sd_deg = angle_sd_deg;
    enter_pass(walk, 0);
}

/* Lobe at a pump angle, counted without wrapping, from minimum to minimum. */
static double lobe_at(const darc_lobes_model *m, double pump_deg)
{
    double lobe = floor((pump_deg + 0.5 * base_deg(m)) / m->cam->pitch_deg);
    if (pump_deg < turn_deg(m, lobe, false))
        return lobe - 1.0;
    return pump_deg < turn_deg(m, lobe + 1.0, false) ? lobe : lobe + 1.0;
}

void darc_lobes_next(darc_lobes_walk *w, size_t i, darc_lobes_row *row)
{
    const darc_lobes_model *m = w->model;
    while (i >= w->record->pass[w->pass].end)
        enter_pass(w, w->pass + 1);
    const darc_pass *pass = &w->record->pass[w->pass];
    darc_pump_side drive = pump_side(w, i);
    double ratio = m->cam->crank_per_pump;
    double pump_deg = (drive.position - m->common[DARC_FOOT]) / ratio;
    double lobe = lobe_at(m, pump_deg);
    bool after = pump_deg >= turn_deg(m, lobe, true), forward = pass->direction > 0;
    bool rising = forward ? !after : after;
    long region = 2 * (long)lobe + after;
    if (region != w->region || (i == pass->begin && w->fresh))
        hold_turn(w, lobe, rising, forward);
    w->region = region;

    place p;
    lift_at(m, owner(m, lobe, pump_deg), pump_deg, &p);
    place_row(m, &p, &drive, row);
    row->slope = drive.by_angle * p.per_deg / ratio;
    double var = w->angle_sd_deg * w->angle_sd_deg, sign = rising ? 1.0 : -1.0, live;
    double sd = fmax(fabs(row->slope) * w->angle_sd_deg, DARC_LEAST_LIFT_SD_MM);
    row->common[DARC_HYST] = -0.5 * sign;
    row->mean = sign * darc_soft_max(sign * row->mean - 0.5 * m->common[DARC_HYST],
                                     sign * w->held.mean, sd, &live);
    mix_held(w, live, row);
    /* Noise in the angle bends the mean where the lift is curved. */
    row->mean +=
        0.5 * var * drive.by_angle * drive.by_angle * p.per_deg2 / (ratio * ratio);
    if (i + 1 == pass->end && w->turns) /* the dial turns here */
        w->held = *row;
    row->mean += m->common[DARC_ZERO];
    row->common[DARC_ZERO] = 1.0;
    darc_instrument_add(m->cam, m->common, w->record->crank_deg[i], &row->mean,
                        &row->slope, row->common);
    row->slope *= sqrt((double)darc_record_stand(w->record, pass, i));
}
