/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/normal_equations.h"

#include <stddef.h>
#include <string.h>

void darc_normal_clear(int n, int stride, double *normal, double *pull)
{
    for (int k = 0; k < n; k++) {
        pull[k] = 0.0;
        memset(normal + k * (ptrdiff_t)stride + k, 0, (size_t)(n - k) * sizeof *normal);
    }
}

/* A row without a 0, along memory: a pluck, whose rows are such, is an eighth faster. */
static void add_dense(int n, int stride, const double *by, double g, double w,
                      double *normal, double *pull)
{
    for (int k = 0; k < n; k++) {
        double wk = w * by[k], *row = normal + k * (ptrdiff_t)stride;
        pull[k] += g * by[k];
        for (int l = k; l < n; l++)
            row[l] += wk * by[l];
    }
}

void darc_normal_add(int n, int stride, const double *by, double g, double w,
                     double *normal, double *pull)
{
    int count = 0, at[DARC_NORMAL_MAX];
    for (int k = 0; k < n; k++)
        if (by[k] != 0.0)
            at[count++] = k;
    if (count == n) {
        add_dense(n, stride, by, g, w, normal, pull);
        return;
    }
    for (int k = 0; k < count; k++) {
        double wk = w * by[at[k]], *row = normal + at[k] * (ptrdiff_t)stride;
        pull[at[k]] += g * by[at[k]];
        for (int l = k; l < count; l++)
            row[at[l]] += wk * by[at[l]];
    }
}
