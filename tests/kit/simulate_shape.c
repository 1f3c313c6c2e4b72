/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit/simulate_shape.h"

#include <math.h>

#define PI   3.14159265358979323846
#define LAST (SIM_SHAPE - 1)

/* --- the nearest law --------------------------------------------------------------- */

#define EVERY 8 /* steps of a shape from one compared point to the next */

/* Sum of squares between a shape and a law of that place; the law's lift is free. */
static double misfit(const sim_shape *s, const sim_nearest *n, double *worst)
{
    double law[SIM_SHAPE], cross = 0, square = 0, sum = 0;
    for (int k = 0; k <= LAST; k += EVERY) {
        law[k] = sim_law(n->law, 0.25, ((double)k / LAST - n->begin) / n->length);
        cross += law[k] * s->lift[k];
        square += law[k] * law[k];
    }
    *worst = 0;
    for (int k = 0; k <= LAST; k += EVERY) {
        double off = s->lift[k] - cross / square * law[k];
        sum += off * off;
        *worst = fmax(*worst, fabs(off));
    }
    return sum;
}

/* Compass search over begin and length, from the whole of the shape. */
static double place(const sim_shape *s, sim_nearest *n)
{
    n->begin = 0.02;
    n->length = 0.96;
    double best = misfit(s, n, &n->gap);
    for (double step = 0.04; step > 2e-4;) {
        int moved = 0;
        for (int k = 0; k < 4; k++) {
            sim_nearest next = *n;
            *(k < 2 ? &next.begin : &next.length) += k % 2 ? step : -step;
            double found = misfit(s, &next, &next.gap);
            if (next.length > 0.3 && found < best) {
                best = found;
                *n = next;
                moved = 1;
            }
        }
        if (!moved)
            step /= 2;
    }
    return best;
}

sim_nearest sim_nearest_law(const sim_shape *shape)
{
    sim_nearest best = {0};
    double least = INFINITY;
    for (int law = 0; law < SIM_LAWS; law++) {
        sim_nearest n = {.law = law};
        double found = place(shape, &n);
        if (found < least) {
            least = found;
            best = n;
        }
    }
    return best;
}

/* --- shapes drawn ------------------------------------------------------------------ */

typedef struct recipe {
    double ramp, ramp_lift; /* shares of the rise and of the lift */
    int corner;             /* the ramp has one speed throughout, else rises to it */
    double push, even; /* shares of the rest in which it gathers speed and keeps it */
    double edge_push, edge_brake; /* how long accelerations take to come and go */
    double wave[3], cycles[3], phase[3];
} recipe;

static recipe some_recipe(sim_random *r)
{
    recipe c = {.ramp = sim_uniform(r, 0.05, 0.2),
                .ramp_lift = sim_uniform(r, 0.003, 0.02),
                .corner = sim_uniform(r, 0, 1) < 0.6,
                .push = sim_uniform(r, 0.3, 0.5),
                .even = sim_uniform(r, 0.0, 0.2),
                .edge_push = sim_uniform(r, 0.02, 0.5),
                .edge_brake = sim_uniform(r, 0.02, 0.5)};
    for (int k = 0; k < 3; k++) {
        c.wave[k] = sim_uniform(r, 0.0, 0.003);
        c.cycles[k] = k + 1 + sim_uniform(r, 0.0, 2.0);
        c.phase[k] = sim_uniform(r, 0.0, 2 * PI);
    }
    return c;
}

/* Acceleration of one sign over x = 0..1, with edges that rise and fall as sines. */
static double pushed(double x, double edge)
{
    double near = fmin(x, 1 - x);
    if (near <= 0)
        return 0;
    return near < edge ? sin(PI * near / (2 * edge)) : 1;
}

/* Rise proper over x = 0..1 by summing accelerations: `gain` from rest with an area of 1
 * up and down, `keep` from speed 1 to rest. */
static void integrate(const recipe *c, double *gain, double *keep)
{
    double up[SIM_SHAPE], down[SIM_SHAPE], area_up = 0, area_down = 0;
    double brake = 1 - c->push - c->even;
    for (int k = 0; k < LAST; k++) {
        double x = (k + 0.5) / LAST;
        up[k] = pushed(x / c->push, c->edge_push);
        down[k] = pushed((x - c->push - c->even) / brake, c->edge_brake);
        area_up += up[k];
        area_down += down[k];
    }
    double gained = 0, kept = 1;
    gain[0] = keep[0] = 0;
    for (int k = 0; k < LAST; k++) {
        double more = up[k] / area_up - down[k] / area_down;
        double less = -down[k] / area_down;
        gain[k + 1] = gain[k] + (gained + more / 2) / LAST;
        keep[k + 1] = keep[k] + (kept + less / 2) / LAST;
        gained += more;
        kept += less;
    }
}

static double between(const double *y, double x)
{
    double at = x * LAST;
    int k = at < LAST ? (int)at : LAST - 1;
    return y[k] + (at - k) * (y[k + 1] - y[k]);
}

static sim_shape shape_of(const recipe *c)
{
    double gain[SIM_SHAPE], keep[SIM_SHAPE];
    sim_shape s;
    integrate(c, gain, keep);
    double rest = 1 - c->ramp;
    double speed = (c->corner ? 1 : 2) * c->ramp_lift / c->ramp;
    double power = (1 - c->ramp_lift - speed * rest * keep[LAST]) / gain[LAST];
    for (int k = 0; k <= LAST; k++) {
        double u = (double)k / LAST, x = (u - c->ramp) / rest, ramp = u / c->ramp;
        s.lift[k] = x < 0 ? c->ramp_lift * (c->corner ? ramp : ramp * ramp)
                          : c->ramp_lift + speed * rest * between(keep, x) +
                                power * between(gain, x);
        for (int w = 0; w < 3; w++)
            s.lift[k] += c->wave[w] * pow(sin(PI * u), 2) *
                         sin(2 * PI * c->cycles[w] * u + c->phase[w]);
    }
    return s;
}

sim_shape sim_draw_shape(sim_random *r, double least_gap, double most_gap)
{
    sim_shape s;
    double gap;
    do {
        recipe c = some_recipe(r);
        s = shape_of(&c);
        gap = sim_nearest_law(&s).gap;
    } while (gap < least_gap || gap > most_gap);
    return s;
}

/* --- shapes measured --------------------------------------------------------------- */

/* One flank from row `foot` to row `top`, by straight lines between the rows. */
static void resample(const double *x, const double *y, long foot, long top, sim_shape *s)
{
    long step = top > foot ? 1 : -1, k = foot;
    for (int i = 0; i <= LAST; i++) {
        double at = x[foot] + (x[top] - x[foot]) * i / LAST;
        while (k + step != top && (x[k + step] - at) * (double)step < 0)
            k += step;
        double share = (at - x[k]) / (x[k + step] - x[k]);
        s->lift[i] = (y[k] + share * (y[k + step] - y[k]) - y[foot]) / (y[top] - y[foot]);
    }
}

double sim_table_shapes(size_t n, const double *cam_deg, const double *lift_mm,
                        sim_shape *rise, sim_shape *fall)
{
    long last = (long)n - 1, top = 0;
    for (long k = 0; k <= last; k++)
        if (lift_mm[k] > lift_mm[top])
            top = k;
    if (top < 2 || top > last - 2)
        return 0;
    resample(cam_deg, lift_mm, 0, top, rise);
    resample(cam_deg, lift_mm, last, top, fall);
    return (cam_deg[top] - cam_deg[0]) / (cam_deg[last] - cam_deg[top]);
}
