/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The path model: expected reading of every dial reading of a record, with derivatives.
 *
 *   reading = zero + play_h(lift((play_s(crank) - foot) / crank_per_pump))
 *
 * Both play operators are followed pass by pass. Within a pass the motion is taken as
 * monotone, so that noise in the recorded angles never acts as a reversal; the true angle
 * of each turning point is an unknown of its own, shared by all readings taken while the
 * slack is being taken up behind it.
 */
#ifndef DARC_PATH_H
#define DARC_PATH_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <dialarc/cam.h>
#include <dialarc/camtable.h>

#include "record/record.h"

#define DARC_SHAPE_TERMS 10 /* free terms a flank when the cam is learned */
#define DARC_MAX_TURNS   12
#define DARC_DIAL_TERMS  3 /* errors of dial and wheel: model/instrument.h */
#define DARC_WHEEL_TERMS 2

/* Parameters, in this order; a cam that is known exactly has the first five, the errors
 * of dial and wheel, and the turns only. */
enum {
    DARC_ZERO,  /* dial reading at zero lift, mm */
    DARC_FOOT,  /* crank angle of the foot of a rise, degrees */
    DARC_LIFT,  /* total lift, mm */
    DARC_SLACK, /* crank degrees */
    DARC_HYST,  /* mm */
    DARC_BASIC
};
enum {
    DARC_RISE = DARC_BASIC, /* pump degrees */
    DARC_TOP,               /* pump degrees */
    DARC_BASE,              /* pump degrees */
    DARC_TERMS              /* first free term, mm: the rise's, then the fall's */
};
#define DARC_MAX_PARAM                                                                   \
    (DARC_TERMS + 2 * DARC_SHAPE_TERMS + DARC_DIAL_TERMS + DARC_WHEEL_TERMS +            \
     DARC_MAX_TURNS)

typedef struct darc_model {
    dialarc_law rise_law, fall_law;
    double blend;
    const dialarc_camtable *table; /* in place of the laws, or NULL */
    double table_low_mm, table_high_mm;
    double pitch_deg; /* pump degrees */
    double crank_per_pump;
    bool learned;         /* segment angles are parameters */
    bool law_stated;      /* though the law is not to be looked for */
    int terms;            /* free terms a flank: 0 or DARC_SHAPE_TERMS */
    uint64_t free_passes; /* bit k: the start of pass k in the slack is a parameter */
    double rise_deg, top_deg, base_deg; /* used when not learned */
    bool dial_terms, wheel_terms;       /* the errors of dial and wheel are parameters */
    double dial_turn_mm;                /* travel of one turn of the needle */
    double wheel_zero_deg;              /* crank angle at which the wheel is right */
    int n_param;
    int first_dial, first_wheel; /* index of the first parameter of each kind, ... */
    int first_turn;              /* ... and of the first turning point */
} darc_model;

/* One lift evaluation: value, slope and curvature against pump angle, and derivatives
 * by the shape parameters. */
typedef struct darc_lift {
    double mm, per_deg, per_deg2;
    double by_lift, by_rise, by_top, by_base;
    double term[2 * DARC_SHAPE_TERMS]; /* basis functions; valid when model->terms */
    int region; /* counts half-lobes from mid-dwell to mid-dwell: even rise, odd fall */
} darc_lift;

typedef struct darc_row {
    double mean;  /* expected reading, mm */
    double slope; /* by the recorded crank angle, mm per degree; of m readings at one
                     stand, which share its error, times the root of m: so weighed they
                     say of it together what one does */
    double by[DARC_MAX_PARAM];
} darc_row;

/* Least width over which the corner of the dial's play is rounded: it keeps the model
 * smooth where the angle does not move the lift. */
#define DARC_LEAST_LIFT_SD_MM 1e-4

/* floor() of the lobes passed; inline, where the library's is not. 0 for nonsense, which
 * must not overflow. */
static inline double darc_whole(double x)
{
    if (!(fabs(x) < 1e9))
        return 0.0;
    double cut = (double)(int64_t)x;
    return cut > x ? cut - 1.0 : cut;
}

/* Whether the pass before says nothing about where a pass begins: at the start of the
 * record, after a jump, or because the model says so. */
bool darc_starts_free(const darc_model *model, const darc_record *record, int pass);

/* Parameter index of the turning point before a pass, or of its start in the slack when
 * that is a parameter; -1 when it has none. */
int darc_turn_index(const darc_model *model, const darc_record *record, int pass);

/* Lays out the parameters of a model for a record. */
void darc_model_layout(darc_model *model, const darc_record *record);

/* The first n free terms at share u of a flank: sin(pi u) sin(k pi u), k = 1 ... n. Value
 * and slope of each vanish at both ends of the flank. */
void darc_model_terms(int n, double u, double *term);

/* Lift at a pump angle counted from the foot. */
void darc_model_lift(const darc_model *model, const double *param, double pump_deg,
                     darc_lift *out);

/* The readings from the start of a pass up to but not including reading `end`: rows[i].
 * No pass depends on those before it when its own start is free. angle_sd_deg smooths
 * the kinks where the slack is taken up. */
void darc_model_rows_of(const darc_model *model, const double *param,
                        const darc_record *record, double angle_sd_deg, int first_pass,
                        size_t end, darc_row *rows);

/* All readings. */
void darc_model_rows(const darc_model *model, const double *param,
                     const darc_record *record, double angle_sd_deg, darc_row *rows);

#endif
