/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/ring.h"

#include <float.h>
#include <math.h>
#include <string.h>

#define BAND DARC_RING_BAND
#define ROW  DARC_RING_ROW

size_t darc_ring_place(size_t n, size_t unknown)
{
    return unknown < (n + 1) / 2 ? 2 * unknown : 2 * (n - 1 - unknown) + 1;
}

void darc_ring_add(size_t n, double *band, size_t i, size_t k, double value)
{
    size_t p = darc_ring_place(n, i), q = darc_ring_place(n, k);
    band[(p < q ? p : q) * ROW + (p < q ? q - p : p - q)] += value;
}

/* Rows after p that the band of row p reaches. */
static size_t reach(size_t n, size_t p)
{
    return n - 1 - p < BAND ? n - 1 - p : BAND;
}

bool darc_ring_factor(size_t n, double *band)
{
    for (size_t p = 0; p < n; p++) {
        double *row = band + p * ROW;
        size_t far = reach(n, p);
        if (!(row[0] > DBL_MIN))
            return false;
        double scale = 1.0 / sqrt(row[0]);
        for (size_t d = 0; d <= far; d++)
            row[d] *= scale;
        for (size_t d = 1; d <= far; d++)
            for (size_t e = d; e <= far; e++)
                row[d * ROW + e - d] -= row[d] * row[e];
    }
    return true;
}

void darc_ring_solve(size_t n, const double *factor, double *v)
{
    for (size_t p = 0; p < n; p++) {
        const double *row = factor + p * ROW;
        v[p] /= row[0];
        for (size_t d = 1; d <= reach(n, p); d++)
            v[p + d] -= row[d] * v[p];
    }
    for (size_t p = n; p-- > 0;) {
        const double *row = factor + p * ROW;
        for (size_t d = 1; d <= reach(n, p); d++)
            v[p] -= row[d] * v[p + d];
        v[p] /= row[0];
    }
}

/*
 * The band of the inverse Z follows from the last row upwards, as U Z is lower
 * triangular (Takahashi, Fagan and Chin, 1973, from memory). `z` holds the rows of Z that
 * are still needed: z[d] is that of d places further down.
 */
double darc_ring_trace(size_t n, const double *factor, const double *b)
{
    double z[ROW][ROW] = {{0.0}}, trace = 0.0;
    for (size_t p = n; p-- > 0;) {
        const double *row = factor + p * ROW, *other = b + p * ROW;
        size_t far = reach(n, p);
        memmove(z[1], z[0], BAND * sizeof z[0]);
        for (size_t d = far; d > 0; d--) {
            double sum = 0.0;
            for (size_t e = 1; e <= far; e++)
                sum += row[e] * (e < d ? z[e][d - e] : z[d][e - d]);
            z[0][d] = -sum / row[0];
        }
        double sum = 1.0 / row[0];
        for (size_t e = 1; e <= far; e++)
            sum -= row[e] * z[0][e];
        z[0][0] = sum / row[0];
        trace += z[0][0] * other[0];
        for (size_t d = 1; d <= far; d++)
            trace += 2.0 * z[0][d] * other[d];
    }
    return trace;
}
