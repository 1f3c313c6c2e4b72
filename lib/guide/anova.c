/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "guide/anova.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#define MOST_CELLS DIALARC_GAUGE_CELLS_MAX
/* Most vectors: both orders of engine and hand, and the cells. */
#define VECTORS (MOST_CELLS + 4 * DIALARC_GAUGE_LEVELS_MAX)
#define NOTHING 1e-9 /* what is left of a unit vector that those before it hold */
#define PASSES  2    /* of Gram and Schmidt: once more than in exact numbers */

typedef double vector[MOST_CELLS];

static double dot(int n, const double *a, const double *b)
{
    double sum = 0.0;
    for (int i = 0; i < n; i++)
        sum += a[i] * b[i];
    return sum;
}

/* Makes the last vector stand upright on those from `first` on; true when there is
 * anything left of it. */
static bool erect(vector *basis, int cells, int first, int last)
{
    double *v = basis[last];
    double length = sqrt(dot(cells, v, v));
    for (int i = 0; i < cells; i++)
        v[i] /= length;
    for (int pass = 0; pass < PASSES; pass++)
        for (int k = first; k < last; k++) {
            double along = dot(cells, basis[k], v);
            for (int i = 0; i < cells; i++)
                v[i] -= along * basis[k][i];
        }
    double left = sqrt(dot(cells, v, v));
    if (!(left > NOTHING))
        return false;
    for (int i = 0; i < cells; i++)
        v[i] /= left;
    return true;
}

static bool in_level(const darc_cell *cell, int component, int level)
{
    return (component == DARC_ENGINE ? cell->engine : cell->hand) == level;
}

/* Appends what the levels of a component, or the cells one by one, add to the vectors
 * from `first` on; returns how many. */
static int append(darc_anova *a, const darc_cells *cells, int component, int first)
{
    int before = a->basis_n;
    int levels = component == DARC_ENGINE ? cells->engines
                 : component == DARC_HAND ? cells->hands
                                          : cells->n;
    for (int level = 0; level < levels; level++) {
        double *v = a->basis[a->basis_n];
        for (int i = 0; i < cells->n; i++) {
            bool in = component == DARC_BOTH
                          ? i == level
                          : in_level(&cells->cell[i], component, level);
            v[i] = in ? sqrt(cells->cell[i].count) : 0.0;
        }
        a->basis_n += erect(a->basis, cells->n, first, a->basis_n);
    }
    return a->basis_n - before;
}

/* The projection of a vector on the levels of a component. */
static void project(const darc_cells *cells, int component, const double *v,
                    double level[DIALARC_GAUGE_LEVELS_MAX])
{
    for (int k = 0; k < DIALARC_GAUGE_LEVELS_MAX; k++)
        level[k] = 0.0;
    for (int i = 0; i < cells->n; i++) {
        const darc_cell *c = &cells->cell[i];
        level[component == DARC_ENGINE ? c->engine : c->hand] += sqrt(c->count) * v[i];
    }
}

/* Squares of a line and their expectation. */
static void add_up(const darc_anova *a, const darc_cells *cells, darc_anova_line *line)
{
    double level[DIALARC_GAUGE_LEVELS_MAX];
    for (int k = line->first; k < line->first + line->dof; k++) {
        const double *v = a->basis[k];
        double along = 0.0;
        for (int i = 0; i < cells->n; i++) {
            double root = sqrt(cells->cell[i].count);
            along += v[i] * root * cells->cell[i].mean;
            line->by[DARC_BOTH] += v[i] * root * v[i] * root;
        }
        for (int component = DARC_ENGINE; component <= DARC_HAND; component++) {
            project(cells, component, v, level);
            line->by[component] += dot(DIALARC_GAUGE_LEVELS_MAX, level, level);
        }
        line->squares += along * along;
    }
}

/* From sums to means; what a line has nothing of is rounding. */
static void close_line(darc_anova_line *line)
{
    if (line->dof == 0)
        return;
    line->mean_square = line->squares / line->dof;
    for (int k = 0; k < DARC_REPETITION; k++)
        line->by[k] = line->by[k] > NOTHING ? line->by[k] / line->dof : 0.0;
    line->by[DARC_REPETITION] = 1.0;
}

static void make_lines(darc_anova *a, const darc_cells *cells)
{
    darc_anova_line *line = a->line;
    int first = a->basis_n;
    append(a, cells, DARC_HAND, first);
    line[DARC_ENGINE].first = a->basis_n;
    line[DARC_ENGINE].dof = append(a, cells, DARC_ENGINE, first);
    first = a->basis_n;
    append(a, cells, DARC_ENGINE, first);
    line[DARC_HAND].first = a->basis_n;
    line[DARC_HAND].dof = append(a, cells, DARC_HAND, first);
    line[DARC_BOTH].first = a->basis_n;
    line[DARC_BOTH].dof = append(a, cells, DARC_BOTH, first);
    for (int k = 0; k < DARC_REPETITION; k++)
        add_up(a, cells, &line[k]);
    line[DARC_REPETITION].dof = (int)cells->within_dof;
    line[DARC_REPETITION].squares = cells->within;
    if (line[DARC_REPETITION].dof == 0) {
        line[DARC_REPETITION] = line[DARC_BOTH];
        line[DARC_REPETITION].by[DARC_BOTH] = 0.0;
        line[DARC_BOTH] = (darc_anova_line){0};
        for (int k = 0; k < DARC_REPETITION; k++)
            line[k].by[DARC_BOTH] = 0.0;
    }
    for (int k = 0; k < DARC_COMPONENTS; k++)
        close_line(&line[k]);
}

dialarc_status darc_anova_of(const darc_cells *cells, darc_anova *anova)
{
    *anova = (darc_anova){.basis_n = 0};
    anova->basis = malloc(VECTORS * sizeof *anova->basis);
    if (!anova->basis)
        return DIALARC_ERR_NO_MEMORY;
    make_lines(anova, cells);
    if (anova->line[DARC_REPETITION].dof == 0 ||
        (cells->engines > 1 && anova->line[DARC_ENGINE].dof == 0) ||
        (cells->hands > 1 && anova->line[DARC_HAND].dof == 0)) {
        darc_anova_free(anova);
        return DIALARC_ERR_NO_SOLUTION;
    }
    return DIALARC_OK;
}

void darc_anova_free(darc_anova *anova)
{
    free(anova->basis);
    anova->basis = NULL;
}

/* Covariance of what two vectors say, over the variance of repetition apart. */
static double between(const darc_cells *cells, const double *a, const double *b,
                      const double variance[DARC_COMPONENTS])
{
    double sum = 0.0, one[DIALARC_GAUGE_LEVELS_MAX], other[DIALARC_GAUGE_LEVELS_MAX];
    for (int i = 0; i < cells->n; i++)
        sum += variance[DARC_BOTH] * cells->cell[i].count * a[i] * b[i];
    for (int component = DARC_ENGINE; component <= DARC_HAND; component++) {
        project(cells, component, a, one);
        project(cells, component, b, other);
        sum += variance[component] * dot(DIALARC_GAUGE_LEVELS_MAX, one, other);
    }
    return sum;
}

double darc_anova_dof(const darc_anova *anova, const darc_cells *cells, int line,
                      const double variance[DARC_COMPONENTS])
{
    const darc_anova_line *l = &anova->line[line];
    double trace = 0.0, square = 0.0;
    if (line == DARC_REPETITION)
        return l->dof;
    for (int j = 0; j < l->dof; j++)
        for (int k = j; k < l->dof; k++) {
            double c = between(cells, anova->basis[l->first + j],
                               anova->basis[l->first + k], variance);
            c += j == k ? variance[DARC_REPETITION] : 0.0;
            trace += j == k ? c : 0.0;
            square += (j == k ? 1.0 : 2.0) * c * c;
        }
    return square > 0.0 ? fmax(trace * trace / square, 1.0) : l->dof;
}
