/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/path.h"

#include <math.h>
#include <string.h>

#include "cam/law.h"
#include "core/sine.h"
#include "model/instrument.h"
#include "model/pump_side.h"

_Static_assert(DARC_MAX_PASSES <= 64, "free_passes has a bit for each");

/* State of the dial where it last turned round, with its derivatives. */
typedef struct dial_state {
    double reading; /* zero excluded, mm */
    double by[DARC_MAX_PARAM];
    long region; /* region in which the present monotone stretch of lift began */
} dial_state;

/* Whether the start of a pass is a parameter by the model's own choice. */
static bool is_chosen(const darc_model *model, int pass)
{
    return (model->free_passes >> pass & 1u) != 0;
}

bool darc_starts_free(const darc_model *model, const darc_record *record, int pass)
{
    return record->pass[pass].start == DARC_START_FREE || is_chosen(model, pass);
}

static bool has_turn(const darc_model *model, const darc_record *record, int pass)
{
    return record->pass[pass].start == DARC_START_TURN || is_chosen(model, pass);
}

int darc_turn_index(const darc_model *model, const darc_record *record, int pass)
{
    int at = model->first_turn;
    if (pass >= record->passes || !has_turn(model, record, pass))
        return -1;
    for (int k = 0; k < pass; k++)
        at += has_turn(model, record, k);
    return at < model->n_param ? at : -1;
}

void darc_model_layout(darc_model *model, const darc_record *record)
{
    int turns = 0, at = model->learned ? DARC_TERMS + 2 * model->terms : DARC_BASIC;
    for (int k = 0; k < record->passes && turns < DARC_MAX_TURNS; k++)
        turns += has_turn(model, record, k);
    model->first_dial = at;
    at += model->dial_terms ? DARC_DIAL_TERMS : 0;
    model->first_wheel = at;
    at += model->wheel_terms ? DARC_WHEEL_TERMS : 0;
    model->first_turn = at;
    model->n_param = at + turns;
}

void darc_model_terms(int n, double u, double *term)
{
    double s1, c1;
    darc_sine_cosine(DARC_PI * u, &s1, &c1);
    double sk = s1, ck = c1;
    for (int k = 0; k < n; k++) { /* by recurrence: without a sine a term */
        double next = sk * c1 + ck * s1;
        term[k] = s1 * sk;
        ck = ck * c1 - sk * s1;
        sk = next;
    }
}

/* Free terms with their derivatives. */
static void add_terms(const darc_model *model, const double *coefficient, double u,
                      double *basis, darc_motion *extra)
{
    double s1, c1;
    darc_sine_cosine(DARC_PI * u, &s1, &c1);
    double sk = s1, ck = c1;
    for (int k = 1; k <= model->terms; k++) {
        double f = s1 * sk;
        basis[k - 1] = f;
        extra->s += coefficient[k - 1] * f;
        extra->v += coefficient[k - 1] * DARC_PI * (c1 * sk + k * s1 * ck);
        extra->a += coefficient[k - 1] * DARC_PI * DARC_PI *
                    (2.0 * k * c1 * ck - (1.0 + (double)k * k) * s1 * sk);
        double next = sk * c1 + ck * s1;
        ck = ck * c1 - sk * s1;
        sk = next;
    }
}

/* Adds one falling flank at share v of its length; `sign` -1 for the fall itself. */
static void add_fall(const darc_model *model, const double *param, double total,
                     double fall_deg, double v, darc_lift *out)
{
    darc_motion m = darc_law(model->fall_law, model->blend, v);
    darc_motion x = {0.0, 0.0, 0.0};
    if (model->terms && v > 0.0 && v < 1.0)
        add_terms(model, param + DARC_TERMS + model->terms, v, out->term + model->terms,
                  &x);
    double by_v = -total * m.v + x.v;
    out->mm += -total * m.s + x.s;
    out->per_deg += by_v / fall_deg;
    out->per_deg2 += (-total * m.a + x.a) / (fall_deg * fall_deg);
    out->by_lift -= m.s;
    out->by_rise += by_v * (v - 1.0) / fall_deg;
    out->by_top += by_v * (v - 1.0) / fall_deg;
    out->by_base += by_v * v / fall_deg;
}

/* Lift from a table of the whole lobe, stretched to the total lift. */
static void table_lift(const darc_model *model, double total, double pump_deg,
                       darc_lift *out)
{
    dialarc_cam_motion m = {model->table_low_mm, 0.0, 0.0};
    double span = model->table_high_mm - model->table_low_mm;
    dialarc_camtable_motion(model->table, pump_deg, &m);
    out->by_lift = (m.lift_mm - model->table_low_mm) / span;
    out->mm = total * out->by_lift;
    out->per_deg = total * m.rate_mm_per_pump_deg / span;
    out->per_deg2 = total * m.acceleration_mm_per_pump_deg2 / span;
}

void darc_model_lift(const darc_model *model, const double *param, double pump_deg,
                     darc_lift *out)
{
    double total = param[DARC_LIFT];
    double rise = model->learned ? param[DARC_RISE] : model->rise_deg;
    double top = model->learned ? param[DARC_TOP] : model->top_deg;
    double base = model->learned ? param[DARC_BASE] : model->base_deg;
    double pitch = model->pitch_deg, fall = pitch - rise - top - base;
    double lobe = darc_whole((pump_deg + 0.5 * base) / pitch);
    double x = pump_deg - lobe * pitch; /* -base/2 .. pitch - base/2 */
    double u = x / rise;
    bool falling = x >= rise + 0.5 * top;

    out->region = (int)(2.0 * lobe) + falling;
    out->by_rise = out->by_top = out->by_base = 0.0;
    if (model->table) {
        table_lift(model, total, x, out);
        return;
    }
    if (model->terms)
        memset(out->term, 0, 2 * (size_t)model->terms * sizeof out->term[0]);
    darc_motion m = darc_law(model->rise_law, model->blend, u);
    darc_motion e = {0.0, 0.0, 0.0};
    if (model->terms && u > 0.0 && u < 1.0)
        add_terms(model, param + DARC_TERMS, u, out->term, &e);
    double by_u = total * m.v + e.v;
    out->mm = total * m.s + e.s;
    out->per_deg = by_u / rise;
    out->per_deg2 = (total * m.a + e.a) / (rise * rise);
    out->by_lift = m.s;
    out->by_rise = -by_u * u / rise;
    double v = (x - rise - top) / fall;
    if (v > 0.0)
        add_fall(model, param, total, fall, v, out);
    else if (base < 0.0 && v + pitch / fall < 1.0) { /* overlap with the fall before */
        out->mm += total;
        out->by_lift += 1.0;
        add_fall(model, param, total, fall, v + pitch / fall, out);
    }
}

/* Derivatives of the lift through drive and cam into a row. */
static void lift_row(const darc_model *model, const darc_pump_side *drive,
                     const darc_lift *lift, double *by)
{
    double rate = lift->per_deg / model->crank_per_pump;
    memset(by, 0, (size_t)model->n_param * sizeof by[0]);
    by[DARC_FOOT] = -rate;
    by[DARC_LIFT] = lift->by_lift;
    by[DARC_SLACK] = rate * drive->by_slack;
    if (model->learned) {
        by[DARC_RISE] = lift->by_rise;
        by[DARC_TOP] = lift->by_top;
        by[DARC_BASE] = lift->by_base;
        memcpy(by + DARC_TERMS, lift->term, 2 * (size_t)model->terms * sizeof by[0]);
    }
    if (drive->turn >= 0)
        by[drive->turn] = rate * drive->by_turn;
}

/* The dial where the lift passes its minimum or its maximum, lagging by half the play. */
static void dial_at_extreme(const darc_model *model, const double *param, bool rising,
                            dial_state *state)
{
    memset(state->by, 0, (size_t)model->n_param * sizeof state->by[0]);
    state->reading =
        rising ? 0.5 * param[DARC_HYST] : param[DARC_LIFT] - 0.5 * param[DARC_HYST];
    state->by[DARC_HYST] = rising ? 0.5 : -0.5;
    if (!rising)
        state->by[DARC_LIFT] = 1.0;
}

/* Dial play on a monotone stretch: writes the reading into `value` and `by`. */
static void dial_follow(const darc_model *model, const double *param,
                        const darc_pump_side *drive, const darc_lift *lift, int direction,
                        double lift_sd, dial_state *state, double *value, double *by)
{
    bool rising = (lift->region % 2 == 0) == (direction > 0);
    if (lift->region != state->region) {
        dial_at_extreme(model, param, rising, state);
        state->region = lift->region;
    }
    double lag = rising ? -0.5 : 0.5, sign = rising ? 1.0 : -1.0, live;
    double moved = lift->mm + lag * param[DARC_HYST];
    *value = sign * darc_soft_max(sign * moved, sign * state->reading, lift_sd, &live);
    if (live == 0.0) {
        memcpy(by, state->by, (size_t)model->n_param * sizeof by[0]);
        return;
    }
    lift_row(model, drive, lift, by);
    by[DARC_HYST] = lag;
    for (int k = 0; k < model->n_param && live < 1.0; k++)
        by[k] = live * by[k] + (1.0 - live) * state->by[k];
}

/* Evaluates one reading with its drive state fixed. */
static void reading_row(const darc_model *model, const double *param,
                        const darc_pump_side *drive, int direction, double angle_var,
                        dial_state *state, darc_row *row)
{
    darc_lift lift;
    darc_model_lift(model, param,
                    (drive->position - param[DARC_FOOT]) / model->crank_per_pump, &lift);
    double value, ratio = model->crank_per_pump;
    row->slope = drive->by_angle * lift.per_deg / ratio;
    double lift_sd = fabs(row->slope) * sqrt(angle_var);
    if (lift_sd < DARC_LEAST_LIFT_SD_MM)
        lift_sd = DARC_LEAST_LIFT_SD_MM;
    dial_follow(model, param, drive, &lift, direction, lift_sd, state, &value, row->by);
    double live = drive->by_angle * drive->by_angle;
    /* Noise in the angle bends the mean where the lift is curved. */
    double bend = 0.5 * angle_var * live * lift.per_deg2 / (ratio * ratio);
    row->mean = param[DARC_ZERO] + value + bend;
    row->by[DARC_ZERO] = 1.0;
}

/* Dial state that a pass starts from when its beginning is not a recorded turn. */
static void dial_at_start(const darc_model *model, const double *param,
                          const darc_pump_side *drive, int direction, dial_state *state)
{
    darc_lift lift;
    darc_model_lift(model, param,
                    (drive->position - param[DARC_FOOT]) / model->crank_per_pump, &lift);
    bool rising = (lift.region % 2 == 0) == (direction > 0);
    dial_at_extreme(model, param, rising, state);
    state->region = lift.region;
}

void darc_model_rows_of(const darc_model *model, const double *param,
                        const darc_record *record, double angle_sd_deg, int first_pass,
                        size_t end, darc_row *rows)
{
    double var = angle_sd_deg * angle_sd_deg, slack = param[DARC_SLACK];
    dial_state dial;
    darc_pump_side turned = {0.0, 0.0, 0.0, 0.0, -1}; /* where the pass before ended */
    for (int k = first_pass; k < record->passes && record->pass[k].begin < end; k++) {
        const darc_pass *pass = &record->pass[k];
        int index = darc_turn_index(model, record, k);
        int next = darc_turn_index(model, record, k + 1);
        bool ends_turning =
            k + 1 < record->passes && !darc_starts_free(model, record, k + 1);
        bool fresh = darc_starts_free(model, record, k);
        if (index >= 0 && fresh) /* as after a turn there */
            turned = darc_pump_side_at_turn(param, index, -pass->direction, NULL);
        darc_pump_side begun = turned;
        const darc_pump_side *start = index >= 0 || !fresh ? &begun : NULL;
        for (size_t i = pass->begin; i < pass->end && i < end; i++) {
            darc_pump_side drive = darc_pump_side_at(
                record->crank_deg[i], slack, pass->direction, start, angle_sd_deg);
            bool turning = i + 1 == pass->end && ends_turning;
            if (turning && next >= 0) /* a parameter, the wheel's reading a prior */
                drive = darc_pump_side_at_turn(param, next, pass->direction, start);
            if (turning) /* with more turns than parameters, where the wheel says */
                turned = drive;
            if (i == pass->begin && fresh)
                dial_at_start(model, param, &drive, pass->direction, &dial);
            reading_row(model, param, &drive, pass->direction, var, &dial, &rows[i]);
            if (turning) { /* the dial turns here */
                dial.reading = rows[i].mean - param[DARC_ZERO];
                memcpy(dial.by, rows[i].by, (size_t)model->n_param * sizeof dial.by[0]);
                dial.by[DARC_ZERO] = 0.0;
            }
            rows[i].slope *= sqrt((double)darc_record_stand(record, pass, i));
        }
    }
    size_t begin = record->pass[first_pass].begin,
           last = record->n < end ? record->n : end;
    if (begin < last)
        darc_instrument_add_rows(model, param, record->crank_deg + begin, last - begin,
                                 rows + begin);
}

void darc_model_rows(const darc_model *model, const double *param,
                     const darc_record *record, double angle_sd_deg, darc_row *rows)
{
    darc_model_rows_of(model, param, record, angle_sd_deg, 0, record->n, rows);
}
