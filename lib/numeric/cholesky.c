/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/cholesky.h"

#include <float.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

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
            darc_add_row(n - i, -row[i], row + i, factor + i * step + i);
    }
    if (log_det)
        *log_det = sum;
    return true;
}

void darc_cholesky_forward(int n, int stride, const double *factor, double *v)
{
    for (int k = 0; k < n; k++) {
        const double *row = factor + k * (ptrdiff_t)stride;
        v[k] /= row[k];
        darc_add_row(n - k - 1, -v[k], row + k + 1, v + k + 1);
    }
}

void darc_cholesky_back(int n, int stride, const double *factor, double *v)
{
    for (int i = n - 1; i >= 0; i--) {
        const double *row = factor + i * (ptrdiff_t)stride;
        for (int k = i + 1; k < n; k++)
            v[i] -= row[k] * v[k];
        v[i] /= row[i];
    }
}

void darc_cholesky_solve(int n, int stride, const double *factor, double *v)
{
    darc_cholesky_forward(n, stride, factor, v);
    darc_cholesky_back(n, stride, factor, v);
}
