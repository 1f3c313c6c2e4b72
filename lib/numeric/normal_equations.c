/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/normal_equations.h"

#include <stdbool.h>
#include <stddef.h>
#include <string.h>

#include "core/wide.h"
#include "numeric/cholesky.h"

#define GAP   4  /* zeros in a row that are worth leaving out ... */
#define SHORT 16 /* ... of one with more unknowns than this */

void darc_normal_clear(int n, int stride, double *normal, double *pull)
{
    for (int k = 0; k < n; k++) {
        pull[k] = 0.0;
        memset(normal + k * (ptrdiff_t)stride + k, 0, (size_t)(n - k) * sizeof *normal);
    }
}

/* Unknowns that follow each other. */
typedef struct run {
    int begin, end;
} run;

#define MOST_RUNS (DARC_NORMAL_MAX / (GAP + 1) + 1)

/* The runs outside which all derivatives of so many rows are 0; in a short row the search
 * would take longer than what it spares. */
static int find_runs(int n, int rows, const double *const *by, run *found)
{
    int count = 0;
    if (n <= SHORT) {
        found[0] = (run){0, n};
        return 1;
    }
    for (int k = 0; k < n; k++) {
        bool empty = true;
        for (int j = 0; j < rows; j++)
            empty = empty && by[j][k] == 0.0;
        if (empty)
            continue;
        if (count == 0 || k - found[count - 1].end >= GAP)
            found[count++].begin = k;
        found[count - 1].end = k + 1;
    }
    return count;
}

void darc_normal_add(int n, int stride, const double *by, double g, double w,
                     double *normal, double *pull)
{
    run found[MOST_RUNS];
    int count = find_runs(n, 1, &by, found);
    for (const run *own = found; own < found + count; own++)
        for (int k = own->begin; k < own->end; k++) {
            double wk = w * by[k], *row = normal + k * (ptrdiff_t)stride;
            pull[k] += g * by[k];
            darc_add_row(own->end - k, wk, by + k, row + k);
            for (const run *next = own + 1; next < found + count; next++)
                darc_add_row(next->end - next->begin, wk, by + next->begin,
                             row + next->begin);
        }
}

/* Adds four rows, each so many times: in their order, as one by one. */
DARC_INLINE void add_four(int n, const double *f, const double *restrict a,
                          const double *restrict b, const double *restrict c,
                          const double *restrict d, double *restrict to)
{
    const double e = f[0], g = f[1], h = f[2], i = f[3];
    int l = 0;
    for (; l + 4 <= n; l += 4) { /* four at a time, as darc_add_row() */
        double at[4] = {to[l] + e * a[l], to[l + 1] + e * a[l + 1],
                        to[l + 2] + e * a[l + 2], to[l + 3] + e * a[l + 3]};
        to[l] = at[0] + g * b[l] + h * c[l] + i * d[l];
        to[l + 1] = at[1] + g * b[l + 1] + h * c[l + 1] + i * d[l + 1];
        to[l + 2] = at[2] + g * b[l + 2] + h * c[l + 2] + i * d[l + 2];
        to[l + 3] = at[3] + g * b[l + 3] + h * c[l + 3] + i * d[l + 3];
    }
    for (; l < n; l++)
        to[l] = to[l] + e * a[l] + g * b[l] + h * c[l] + i * d[l];
}

DARC_INLINE void add_run(int from, int end, const double *f, const double *const *by,
                         double *to)
{
    add_four(end - from, f, by[0] + from, by[1] + from, by[2] + from, by[3] + from,
             to + from);
}

DARC_INLINE void add_four_rows(int n, int stride, const double *const *by,
                               const double *g, const double *w, double *normal,
                               double *pull)
{
    run found[MOST_RUNS];
    int count = find_runs(n, 4, by, found);
    for (const run *own = found; own < found + count; own++) {
        add_run(own->begin, own->end, g, by, pull);
        for (int k = own->begin; k < own->end; k++) {
            double *row = normal + k * (ptrdiff_t)stride;
            const double f[4] = {w[0] * by[0][k], w[1] * by[1][k], w[2] * by[2][k],
                                 w[3] * by[3][k]};
            add_run(k, own->end, f, by, row);
            for (const run *next = own + 1; next < found + count; next++)
                add_run(next->begin, next->end, f, by, row);
        }
    }
}

#if DARC_HAVE_WIDE
DARC_WIDE static void add_four_wide(int n, int stride, const double *const *by,
                                    const double *g, const double *w, double *normal,
                                    double *pull)
{
    add_four_rows(n, stride, by, g, w, normal, pull);
}
#endif

void darc_normal_add_four(int n, int stride, const double *const *by, const double *g,
                          const double *w, double *normal, double *pull)
{
#if DARC_HAVE_WIDE
    if (darc_is_wide()) {
        add_four_wide(n, stride, by, g, w, normal, pull);
        return;
    }
#endif
    add_four_rows(n, stride, by, g, w, normal, pull);
}
