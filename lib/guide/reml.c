/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "guide/reml.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "numeric/cholesky.h"

#define C        DARC_COMPONENTS
#define CLIMBS   60
#define HALVINGS 30
#define LITTLE   1e-9  /* of the scale: a step that ends the search */
#define LEAST    1e-10 /* of the scale: repetition, without which there is no density */
#define NO_WORSE 1e-12 /* in log likelihood */

typedef struct search {
    const darc_cells *cells;
    bool present[C];
    double scale;               /* of the variances */
    double *v, *factor, *p, *z; /* cells squared each; p: what is left of the means */
    double q[DIALARC_GAUGE_CELLS_MAX], one[DIALARC_GAUGE_CELLS_MAX];
    double score[C], expected[C * C], observed[C * C];
} search;

/* Which level of a component a cell has, and what of its mean that varies by. */
static int level(const search *s, int component, int i)
{
    const darc_cell *cell = &s->cells->cell[i];
    return component == DARC_ENGINE ? cell->engine
           : component == DARC_HAND ? cell->hand
                                    : i;
}

static double share(const search *s, int component, int i)
{
    return component == DARC_REPETITION ? 1.0 / sqrt(s->cells->cell[i].count) : 1.0;
}

/* Restricted log likelihood; leaves the factor and V^-1 1. */
static double log_likelihood(search *s, const double variance[C])
{
    const darc_cells *cells = s->cells;
    int n = cells->n;
    double own[DIALARC_GAUGE_CELLS_MAX] = {0.0}, y[DIALARC_GAUGE_CELLS_MAX], log_det;
    for (int i = 0; i < n; i++) {
        const darc_cell *a = &cells->cell[i];
        own[i] = variance[DARC_BOTH] + variance[DARC_REPETITION] / a->count;
        y[i] = a->mean;
        s->one[i] = 1.0;
        for (int k = i; k < n; k++)
            s->v[i * n + k] =
                (a->engine == cells->cell[k].engine ? variance[DARC_ENGINE] : 0.0) +
                (a->hand == cells->cell[k].hand ? variance[DARC_HAND] : 0.0);
    }
    if (!darc_cholesky(n, n, s->v, own, s->factor, &log_det))
        return -INFINITY;
    darc_cholesky_forward(n, n, s->factor, s->one);
    darc_cholesky_forward(n, n, s->factor, y);
    double ones = 0.0, both = 0.0, squares = 0.0, e = variance[DARC_REPETITION];
    for (int i = 0; i < n; i++) {
        ones += s->one[i] * s->one[i];
        both += s->one[i] * y[i];
    }
    for (int i = 0; i < n; i++) {
        double off = y[i] - both / ones * s->one[i];
        squares += off * off;
        s->q[i] = off;
    }
    darc_cholesky_back(n, n, s->factor, s->one);
    darc_cholesky_back(n, n, s->factor, s->q);
    // cppcheck-suppress invalidFunctionArg ; there is a cell at least
    return -0.5 * (log_det + log(ones) + squares + cells->within_dof * log(e) +
                   cells->within / e);
}

/* P = V^-1 - V^-1 1 1' V^-1 / 1' V^-1 1. */
static void fill_p(search *s)
{
    int n = s->cells->n;
    double ones = 0.0;
    for (int i = 0; i < n; i++)
        ones += s->one[i];
    for (int i = 0; i < n; i++) {
        double *row = s->p + (size_t)i * (size_t)n;
        for (int k = 0; k < n; k++)
            row[k] = k == i ? 1.0 : 0.0;
        darc_cholesky_solve(n, n, s->factor, row);
        darc_add_row(n, -s->one[i] / ones, s->one, row);
    }
}

/* Z_c' P Z_d: the sum of its squares; its trace goes to *trace. */
static double squares_of(search *s, int c, int d, double *trace)
{
    int n = s->cells->n;
    double sum = 0.0;
    *trace = 0.0;
    for (int i = 0; i < n * n; i++)
        s->z[i] = 0.0;
    for (int i = 0; i < n; i++)
        for (int k = 0; k < n; k++)
            s->z[level(s, c, i) * n + level(s, d, k)] +=
                share(s, c, i) * share(s, d, k) * s->p[i * n + k];
    for (int i = 0; i < n; i++) {
        *trace += s->z[i * n + i];
        for (int k = 0; k < n; k++)
            sum += s->z[i * n + k] * s->z[i * n + k];
    }
    return sum;
}

/* Z Z' P y; its product with P y is returned. */
static double seen(const search *s, int component, double *to)
{
    double by_level[DIALARC_GAUGE_CELLS_MAX] = {0.0}, sum = 0.0;
    for (int i = 0; i < s->cells->n; i++)
        by_level[level(s, component, i)] += share(s, component, i) * s->q[i];
    for (int i = 0; i < s->cells->n; i++) {
        to[i] = share(s, component, i) * by_level[level(s, component, i)];
        sum += to[i] * s->q[i];
    }
    return sum;
}

/* a' P b */
static double within_p(const search *s, const double *a, const double *b)
{
    int n = s->cells->n;
    double sum = 0.0;
    for (int i = 0; i < n; i++)
        for (int k = 0; k < n; k++)
            sum += a[i] * s->p[i * n + k] * b[k];
    return sum;
}

/* Slope of the log likelihood and its information, expected and observed, after
 * log_likelihood(). */
static void fill_slopes(search *s, const double variance[C])
{
    double trace, within = s->cells->within_dof, squares = s->cells->within;
    double e = variance[DARC_REPETITION], by[C][DIALARC_GAUGE_CELLS_MAX];
    fill_p(s);
    for (int c = 0; c < C; c++)
        s->score[c] = 0.5 * seen(s, c, by[c]);
    for (int c = 0; c < C; c++)
        for (int d = c; d < C; d++) {
            s->expected[c * C + d] = 0.5 * squares_of(s, c, d, &trace);
            s->observed[c * C + d] = within_p(s, by[c], by[d]) - s->expected[c * C + d];
            if (c == d)
                s->score[c] -= 0.5 * trace;
        }
    s->score[DARC_REPETITION] += 0.5 * (squares / e - within) / e;
    s->expected[C * C - 1] += 0.5 * within / (e * e);
    s->observed[C * C - 1] += (squares / e - 0.5 * within) / (e * e);
}

/* Solves for the step in the components that are free to move; false where the
 * information is not positive. */
static bool solve(const search *s, const double variance[C], const double *information,
                  double step[C])
{
    double a[C * C] = {0.0}, factor[C * C], none[C] = {0.0}, x[C] = {0.0};
    int at[C] = {0}, n = 0;
    for (int c = 0; c < C; c++) {
        step[c] = 0.0;
        if (s->present[c] && (variance[c] > 0.0 || s->score[c] > 0.0))
            at[n++] = c;
    }
    for (int i = 0; i < n; i++) {
        x[i] = s->score[at[i]];
        for (int k = i; k < n; k++)
            a[i * C + k] = information[at[i] * C + at[k]];
    }
    if (!darc_cholesky(n, C, a, none, factor, NULL))
        return false;
    darc_cholesky_solve(n, C, factor, x);
    for (int i = 0; i < n; i++)
        step[at[i]] = x[i];
    return true;
}

/* Goes along the step, shortened until it betters the likelihood; returns the way, as a
 * share of the scale. */
static double go(search *s, double variance[C], const double step[C], double *best)
{
    double share_of_it = 1.0;
    for (int k = 0; k < HALVINGS; k++, share_of_it *= 0.5) {
        double next[C], way = 0.0;
        for (int c = 0; c < C; c++) {
            double least = c == DARC_REPETITION ? LEAST * s->scale : 0.0;
            next[c] = fmax(variance[c] + share_of_it * step[c], least);
            way = fmax(way, fabs(next[c] - variance[c]));
        }
        double now = log_likelihood(s, next);
        if (!(now > *best - NO_WORSE))
            continue;
        *best = now;
        for (int c = 0; c < C; c++)
            variance[c] = next[c];
        return way / s->scale;
    }
    return 0.0;
}

/* The factor is always that of the variances: a step that is not taken ends the search.
 */
static dialarc_status climb(search *s, double variance[C])
{
    double best = log_likelihood(s, variance), step[C];
    for (int round = 0; round < CLIMBS; round++) {
        fill_slopes(s, variance);
        if (!solve(s, variance, s->observed, step) && /* Newton's step, or Fisher's */
            !solve(s, variance, s->expected, step))
            return DIALARC_NOT_CONVERGED;
        if (go(s, variance, step, &best) < LITTLE)
            return DIALARC_OK;
    }
    return DIALARC_NOT_CONVERGED;
}

dialarc_status darc_reml(const darc_cells *cells, const darc_anova *anova,
                         double variance[DARC_COMPONENTS])
{
    search s = {.cells = cells};
    size_t square = (size_t)cells->n * (size_t)cells->n;
    for (int c = 0; c < C; c++) {
        s.present[c] = anova->line[c].dof > 0;
        s.scale = fmax(s.scale, anova->line[c].mean_square);
        variance[c] = 0.0;
    }
    if (!(s.scale > 0.0)) /* all lifts are the same */
        return DIALARC_OK;
    s.v = malloc(4 * square * sizeof *s.v);
    if (!s.v)
        return DIALARC_ERR_NO_MEMORY;
    s.factor = s.v + square;
    s.p = s.factor + square;
    s.z = s.p + square;
    for (int c = 0; c < C; c++)
        variance[c] = s.present[c] ? s.scale / C : 0.0;
    dialarc_status status = climb(&s, variance);
    if (variance[DARC_REPETITION] <= LEAST * s.scale)
        variance[DARC_REPETITION] = 0.0;
    free(s.v);
    return status;
}
