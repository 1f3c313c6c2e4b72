/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/minimiser.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>

#define GOLDEN 0.3819660112501051 /* the smaller part of an interval so divided */

typedef struct place {
    double x, y;
} place;

/* The interval that holds the lowest place, and the lowest three seen. */
typedef struct bracket {
    double lo, hi;
    place first, second, third;
    double step, before; /* the last one, and that before it */
} bracket;

/* To the foot of the parabola through the three; false when that is no good: outside, or
 * more than half of the step before the last. */
static bool parabolic(bracket *b, double least)
{
    double r = (b->first.x - b->second.x) * (b->first.y - b->third.y);
    double q = (b->first.x - b->third.x) * (b->first.y - b->second.y);
    double p = (b->first.x - b->third.x) * q - (b->first.x - b->second.x) * r;
    double per = 2.0 * (q - r), was = b->before;
    if (per > 0.0)
        p = -p;
    per = fabs(per);
    b->before = b->step;
    if (!(fabs(p) < fabs(0.5 * per * was)) || !(p > per * (b->lo - b->first.x)) ||
        !(p < per * (b->hi - b->first.x)))
        return false;
    b->step = p / per;
    double x = b->first.x + b->step;
    if (x - b->lo < 2.0 * least || b->hi - x < 2.0 * least)
        b->step = copysign(least, 0.5 * (b->lo + b->hi) - b->first.x);
    return true;
}

/* Takes in a place that was looked at. */
static void narrow(bracket *b, place at)
{
    if (at.y <= b->first.y) {
        *(at.x < b->first.x ? &b->hi : &b->lo) = b->first.x;
        b->third = b->second;
        b->second = b->first;
        b->first = at;
        return;
    }
    *(at.x < b->first.x ? &b->lo : &b->hi) = at.x;
    if (at.y <= b->second.y || b->second.x == b->first.x) {
        b->third = b->second;
        b->second = at;
    } else if (at.y <= b->third.y || b->third.x == b->first.x ||
               b->third.x == b->second.x) {
        b->third = at;
    }
}

double darc_minimum(darc_curve curve, const void *context, double lo, double hi,
                    double fine)
{
    double x = lo + GOLDEN * (hi - lo);
    place begin = {x, curve(x, context)};
    bracket b = {lo, hi, begin, begin, begin, 0.0, 0.0};
    for (;;) {
        double middle = 0.5 * (b.lo + b.hi);
        double least = 0.25 * fine + DBL_EPSILON * fabs(b.first.x);
        if (fabs(b.first.x - middle) <= 2.0 * least - 0.5 * (b.hi - b.lo))
            return b.first.x;
        if (!(fabs(b.before) > least && parabolic(&b, least))) {
            b.before = (b.first.x < middle ? b.hi : b.lo) - b.first.x;
            b.step = GOLDEN * b.before;
        }
        double step = fabs(b.step) >= least ? b.step : copysign(least, b.step);
        place at = {b.first.x + step, 0.0};
        at.y = curve(at.x, context);
        narrow(&b, at);
    }
}
