/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/error_grid.h"

#include <math.h>

#define LAST (DARC_GRID - 1)

#define DIAL_LEAST_MM   0.0005
#define ANGLE_LEAST_DEG 0.02
#define GROWTH          1.3335214321633240 /* from place to place: 100 times in all */

#define FINE       41   /* places by which the density is added up, each way */
#define NARROWINGS 8    /* down to where the density is not nothing */
#define DROP       14.0 /* in log evidence: nothing */
#define TAIL       0.025
#define OPEN       0.15 /* of the largest density: a normal one at the ends of 95 % */

double darc_grid_dial_mm(double place)
{
    return DIAL_LEAST_MM * pow(GROWTH, place);
}

double darc_grid_angle_deg(double place)
{
    return ANGLE_LEAST_DEG * pow(GROWTH, place);
}

/* Between four places in a row, by the cubic through them. */
static double cubic(const double y[4], double x)
{
    return y[0] * x * (x - 1.0) * (x - 2.0) / -6.0 +
           y[1] * (x + 1.0) * (x - 1.0) * (x - 2.0) / 2.0 +
           y[2] * (x + 1.0) * x * (x - 2.0) / -2.0 +
           y[3] * (x + 1.0) * x * (x - 1.0) / 6.0;
}

/* The second of the four places that are used at x. */
static int second_of(double x)
{
    int second = (int)x;
    return second < 1 ? 1 : second > LAST - 2 ? LAST - 2 : second;
}

static double between(const darc_error_grid *grid, double dial, double angle)
{
    int i = second_of(dial), k = second_of(angle);
    double row[4];
    for (int j = 0; j < 4; j++)
        row[j] = cubic(&grid->log_evidence[i - 1 + j][k - 1], angle - k);
    return cubic(row, dial - i);
}

/* A part of the grid, and the density in it. */
typedef struct part {
    double from[2], to[2];
    double density[FINE][FINE];
} part;

static double place_of(const part *p, int axis, int k)
{
    return p->from[axis] + (p->to[axis] - p->from[axis]) * k / (FINE - 1);
}

/* Fills in the density, largest 1. */
static void fill(const darc_error_grid *grid, part *p)
{
    double most = -INFINITY;
    for (int i = 0; i < FINE; i++)
        for (int k = 0; k < FINE; k++) {
            p->density[i][k] = between(grid, place_of(p, 0, i), place_of(p, 1, k));
            most = fmax(most, p->density[i][k]);
        }
    for (int i = 0; i < FINE; i++)
        for (int k = 0; k < FINE; k++) {
            double drop = most - p->density[i][k];
            p->density[i][k] = drop < DROP ? exp(-drop) : 0.0;
        }
}

/* The density of one of the two errors, whatever the other. */
static void margin(const part *p, int axis, double along[FINE])
{
    for (int k = 0; k < FINE; k++)
        along[k] = 0.0;
    for (int i = 0; i < FINE; i++)
        for (int k = 0; k < FINE; k++)
            along[axis ? k : i] += p->density[i][k];
}

/* Leaves out what has no density, but for one place on each side. */
static void narrow(part *p)
{
    for (int axis = 0; axis < 2; axis++) {
        double along[FINE];
        int first = 0, last = FINE - 1;
        margin(p, axis, along);
        while (first + 1 < last && along[first + 1] == 0.0)
            first++;
        while (last - 1 > first && along[last - 1] == 0.0)
            last--;
        double from = place_of(p, axis, first), to = place_of(p, axis, last);
        p->from[axis] = from;
        p->to[axis] = to;
    }
}

/* Where a share of the density lies below. */
static double quantile(const part *p, int axis, const double *along, double share)
{
    double sum = 0.0, all = 0.0;
    for (int k = 0; k + 1 < FINE; k++)
        all += 0.5 * (along[k] + along[k + 1]);
    for (int k = 0; k + 1 < FINE; k++) {
        double here = 0.5 * (along[k] + along[k + 1]) / all;
        if (sum + here >= share)
            return place_of(p, axis, k) +
                   (place_of(p, axis, k + 1) - place_of(p, axis, k)) * (share - sum) /
                       here;
        sum += here;
    }
    return p->to[axis];
}

static darc_grid_range range_of(const part *p, int axis)
{
    double along[FINE], sum = 0.0, mean = 0.0, most = 0.0;
    margin(p, axis, along);
    for (int k = 0; k < FINE; k++) {
        sum += along[k];
        mean += along[k] * place_of(p, axis, k);
        most = fmax(most, along[k]);
    }
    darc_grid_range r = {mean / sum, quantile(p, axis, along, TAIL),
                         quantile(p, axis, along, 1.0 - TAIL)};
    double open = OPEN * most;
    if (p->from[axis] <= 0.0 && along[0] > open)
        r.low = 0.0;
    if (p->to[axis] >= LAST && along[FINE - 1] > open)
        r.high = LAST;
    return r;
}

void darc_grid_ranges(const darc_error_grid *grid, darc_grid_range *dial,
                      darc_grid_range *angle)
{
    part p = {.from = {0.0, 0.0}, .to = {LAST, LAST}};
    for (int k = 0; k < NARROWINGS; k++) {
        fill(grid, &p);
        narrow(&p);
    }
    fill(grid, &p);
    *dial = range_of(&p, 0);
    *angle = range_of(&p, 1);
}
