/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Where the pump stands for a crank angle, behind the play of its drive, with
 * derivatives. What is asked for every reading of every step of a fit is inline.
 */
#ifndef DARC_PUMP_SIDE_H
#define DARC_PUMP_SIDE_H

#include <math.h>

#include "core/normal.h"
#include "model/path.h"

/* Pump-side position in crank degrees, and what it depends on. */
typedef struct darc_pump_side {
    double position;
    double by_angle, by_slack, by_turn;
    int turn; /* parameter index of the turning point, or -1 */
} darc_pump_side;

/* Mean of max(x, least) for x normal about `x` with sd `sd`, and its slopes. */
static inline double darc_soft_max(double x, double least, double sd, double *by_x)
{
    double d = x - least;
    if (d > 5.0 * sd) {
        *by_x = 1.0;
        return x;
    }
    if (d < -5.0 * sd) {
        *by_x = 0.0;
        return least;
    }
    if (!(sd > 0.0)) {
        *by_x = 1.0;
        return x;
    }
    double t = d / sd;
    *by_x = 0.5 * erfc(-t * 0.70710678118654752440);
    return least + d * *by_x + sd * darc_normal_density(t);
}

/* Where the pump stands for one reading of a pass that started from `start`; without a
 * start the slack is taken up. */
static inline darc_pump_side darc_pump_side_at(double crank, double slack, int direction,
                                               const darc_pump_side *start, double sd)
{
    darc_pump_side d = {crank, 1.0, 0.0, 0.0, -1};
    double engaged = 1.0;
    if (direction > 0) { /* max(crank, start) */
        if (start)
            d.position = darc_soft_max(crank, start->position, sd, &engaged);
    } else { /* min(crank + slack, start) */
        d.position = crank + slack;
        if (start)
            d.position = -darc_soft_max(-d.position, -start->position, sd, &engaged);
        d.by_slack = engaged;
    }
    if (!start)
        return d;
    d.by_angle = engaged;
    d.by_slack += (1.0 - engaged) * start->by_slack;
    d.by_turn = (1.0 - engaged) * start->by_turn;
    d.turn = start->turn;
    return d;
}

/* Where the pump stands at a turning point whose crank angle is a parameter: on the flank
 * that drives it, or, when the pass was shorter than the slack, where it stood before. */
darc_pump_side darc_pump_side_at_turn(const double *param, int index, int direction,
                                      const darc_pump_side *start);

#endif
