/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * With second derivatives g, R their Gram matrix and T the differences of slopes, R and T
 * symmetric and tridiagonal in the ring: (R + lambda T T) g = T y, and f = y - lambda T
 * g.
 */
#include "numeric/smoothing_spline.h"

#include <math.h>
#include <string.h>

#include "numeric/minimiser.h"
#include "numeric/ring.h"

/* Lambdas that are tried: so many in a decade, before the best is refined to a part of
 * one; the least over the cube of the distance of points, the most over the fourth power
 * of the period and that distance. */
#define PER_DECADE   4
#define REFINED      0.01
#define LEAST_LAMBDA 1e-4
#define MOST_LAMBDA  0.01

static double width(const darc_smoothing *s, size_t k)
{
    return (k + 1 < s->n ? s->x[k + 1] : s->period) - s->x[k];
}

static size_t after(const darc_smoothing *s, size_t k)
{
    return k + 1 < s->n ? k + 1 : 0;
}

static size_t before(const darc_smoothing *s, size_t k)
{
    return k > 0 ? k - 1 : s->n - 1;
}

/* out = T v. */
static void differences(const darc_smoothing *s, const double *v, double *out)
{
    for (size_t k = 0; k < s->n; k++) {
        size_t b = before(s, k);
        out[k] = (v[after(s, k)] - v[k]) / width(s, k) - (v[k] - v[b]) / width(s, b);
    }
}

/* v = A^-1 v, by way of `folded`. */
static void solve(const darc_smoothing *s, const double *factor, double *v,
                  double *folded)
{
    for (size_t k = 0; k < s->n; k++)
        folded[darc_ring_place(s->n, k)] = v[k];
    darc_ring_solve(s->n, factor, folded);
    for (size_t k = 0; k < s->n; k++)
        v[k] = folded[darc_ring_place(s->n, k)];
}

static void fill_stiffness(darc_smoothing *s)
{
    memset(s->stiffness, 0, s->n * DARC_RING_ROW * sizeof *s->stiffness);
    for (size_t k = 0; k < s->n; k++) {
        double h = width(s, k);
        size_t next = after(s, k);
        darc_ring_add(s->n, s->stiffness, k, k, h / 3.0);
        darc_ring_add(s->n, s->stiffness, next, next, h / 3.0);
        darc_ring_add(s->n, s->stiffness, k, next, h / 6.0);
    }
}

/* Factor of R + lambda T T, the sum of products of the rows of T. */
static bool factorise(const darc_smoothing *s)
{
    size_t n = s->n;
    memcpy(s->factor, s->stiffness, n * DARC_RING_ROW * sizeof *s->factor);
    for (size_t k = 0; k < n; k++) {
        size_t at[] = {before(s, k), k, after(s, k)};
        double up = 1.0 / width(s, k), down = 1.0 / width(s, at[0]);
        double t[] = {down, -(up + down), up};
        for (int a = 0; a < 3; a++)
            for (int b = a; b < 3; b++)
                darc_ring_add(n, s->factor, at[a], at[b], s->lambda * t[a] * t[b]);
    }
    return darc_ring_factor(n, s->factor);
}

/* Second derivatives of the curve through smoothed y, and what smoothing takes off y. */
static bool smooth(darc_smoothing *s, const double *y, double *second, double *off)
{
    if (!factorise(s))
        return false;
    differences(s, y, second);
    solve(s, s->factor, second, off);
    differences(s, second, off);
    s->rss = 0.0;
    for (size_t k = 0; k < s->n; k++) {
        off[k] *= s->lambda;
        s->rss += off[k] * off[k];
    }
    s->parameters = darc_ring_trace(s->n, s->factor, s->stiffness);
    return isfinite(s->rss);
}

typedef struct trial {
    darc_smoothing *s;
    const double *y;
    double variance;
} trial;

/* Mallows' criterion for a lambda by its decimal logarithm. */
static double criterion(double decade, const void *context)
{
    const trial *t = context;
    t->s->lambda = pow(10.0, decade);
    return smooth(t->s, t->y, t->s->work, t->s->work + t->s->n)
               ? t->s->rss / t->variance + 2.0 * t->s->parameters
               : (double)INFINITY;
}

size_t darc_smoothing_room(size_t n)
{
    return n * (3 * DARC_RING_ROW + 2);
}

size_t darc_smoothing_work(size_t n)
{
    return 3 * n;
}

bool darc_smoothing_fit(size_t n, const double *x, double *y, double period,
                        double variance, double *room, double *second, darc_smoothing *s)
{
    size_t rows = n * DARC_RING_ROW;
    *s = (darc_smoothing){.n = n,
                          .x = x,
                          .period = period,
                          .stiffness = room,
                          .flexible = room + rows,
                          .factor = room + 2 * rows,
                          .work = room + 3 * rows};
    fill_stiffness(s);
    memcpy(s->flexible, s->stiffness, rows * sizeof *s->flexible);
    trial t = {s, y, variance};
    double h = period / (double)n, least = (double)INFINITY;
    double low = log10(LEAST_LAMBDA * h * h * h), best = low;
    int tries = (int)(PER_DECADE * (log10(MOST_LAMBDA * pow(period, 4.0) / h) - low));
    for (int k = 0; k <= tries; k++) {
        double decade = low + (double)k / PER_DECADE, c = criterion(decade, &t);
        best = c < least ? decade : best;
        least = fmin(c, least);
    }
    if (!isfinite(least))
        return false;
    best = darc_minimum(criterion, &t, best - 1.0 / PER_DECADE, best + 1.0 / PER_DECADE,
                        REFINED);
    s->lambda = pow(10.0, best);
    if (!darc_ring_factor(n, s->flexible) || !smooth(s, y, second, s->work))
        return false;
    for (size_t k = 0; k < n; k++)
        y[k] -= s->work[k];
    return true;
}

/*
 * What is asked is a'f, a = c + T R^-1 m with weights c of values and m of second
 * derivatives; of the points it is g'y with g = c + T A^-1 (m - lambda T c), which is the
 * smoother times a. Of the errors alone its variance is g'g, in whole a'g.
 */
double darc_smoothing_variance(const darc_smoothing *s, const darc_asked *asked,
                               double *work)
{
    size_t n = s->n, i = asked->i, next = after(s, i);
    double *a = work, *g = work + n, *spare = work + 2 * n;
    memset(g, 0, n * sizeof *g);
    g[i] = asked->value[0];
    g[next] = asked->value[1];
    differences(s, g, a);
    for (size_t k = 0; k < n; k++)
        a[k] *= -s->lambda;
    a[i] += asked->second[0];
    a[next] += asked->second[1];
    solve(s, s->factor, a, spare);
    differences(s, a, g);
    g[i] += asked->value[0];
    g[next] += asked->value[1];
    memset(spare, 0, n * sizeof *spare);
    spare[i] = asked->second[0];
    spare[next] = asked->second[1];
    solve(s, s->flexible, spare, a);
    differences(s, spare, a);
    a[i] += asked->value[0];
    a[next] += asked->value[1];
    double sum = 0.0;
    for (size_t k = 0; k < n; k++)
        sum += a[k] * g[k];
    return sum;
}
