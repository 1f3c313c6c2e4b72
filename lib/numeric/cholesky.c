/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/cholesky.h"

#include <float.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

/* Takes f times a row off one further down. Four at a time: compilers then use two wide
 * operations, and a learned cam, most of whose time goes here, is a tenth faster. */
static inline void take_off(int n, double f, const double *restrict row,
                            double *restrict below)
{
    int l = 0;
    for (; l + 4 <= n; l += 4) {
        below[l] -= f * row[l];
        below[l + 1] -= f * row[l + 1];
        below[l + 2] -= f * row[l + 2];
        below[l + 3] -= f * row[l + 3];
    }
    for (; l < n; l++)
        below[l] -= f * row[l];
}

/* Row by row, so that the inner loops run along memory. */
bool darc_cholesky(int n, int stride, const double *a, const double *diagonal,
                   double *factor, double *log_det)
{
    const ptrdiff_t step = stride;
    double sum = 0.0;
    for (int k = 0; k < n; k++) {
        ptrdiff_t at = k * step + k;
        memcpy(factor + at, a + at, (size_t)(n - k) * sizeof *factor);
        factor[at] += diagonal[k];
    }
    for (int k = 0; k < n; k++) {
        double *row = factor + k * step;
        double pivot = row[k];
        if (!(pivot > DBL_MIN))
            return false;
        if (log_det)
            sum += log(pivot);
        double scale = 1.0 / sqrt(pivot);
        for (int l = k; l < n; l++)
            row[l] *= scale;
        for (int i = k + 1; i < n; i++)
            take_off(n - i, row[i], row + i, factor + i * step + i);
    }
    if (log_det)
        *log_det = sum;
    return true;
}

void darc_cholesky_solve(int n, int stride, const double *factor, double *v)
{
    const ptrdiff_t step = stride;
    for (int k = 0; k < n; k++) {
        const double *row = factor + k * step;
        v[k] /= row[k];
        for (int l = k + 1; l < n; l++)
            v[l] -= row[l] * v[k];
    }
    for (int i = n - 1; i >= 0; i--) {
        const double *row = factor + i * step;
        for (int k = i + 1; k < n; k++)
            v[i] -= row[k] * v[k];
        v[i] /= row[i];
    }
}
