/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/normal_equations.h"

#include <stddef.h>
#include <string.h>

#include "numeric/cholesky.h"

#define GAP 4 /* zeros in a row that are worth leaving out */

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

/* The runs outside which all derivatives are 0. */
static int find_runs(int n, const double *by, run *found)
{
    int count = 0;
    for (int k = 0; k < n; k++) {
        if (by[k] == 0.0)
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
    int count = find_runs(n, by, found);
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
