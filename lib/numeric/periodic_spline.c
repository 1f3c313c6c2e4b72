/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/periodic_spline.h"

/* Length of the interval after point i, which for the last one closes the curve. */
static double width(size_t n, const double *x, double period, size_t i)
{
    return (i + 1 < n ? x[i + 1] : period) - x[i];
}

/*
 * Solves the symmetric tridiagonal system with `diagonal` and the widths beside it, in
 * place of the right-hand sides a and b; `diagonal` is used up.
 */
static void solve(size_t n, const double *x, double period, double *diagonal, double *a,
                  double *b)
{
    for (size_t i = 1; i < n; i++) {
        double h = width(n, x, period, i - 1), factor = h / diagonal[i - 1];
        diagonal[i] -= factor * h;
        a[i] -= factor * a[i - 1];
        b[i] -= factor * b[i - 1];
    }
    a[n - 1] /= diagonal[n - 1];
    b[n - 1] /= diagonal[n - 1];
    for (size_t i = n - 1; i-- > 0;) {
        double h = width(n, x, period, i);
        a[i] = (a[i] - h * a[i + 1]) / diagonal[i];
        b[i] = (b[i] - h * b[i + 1]) / diagonal[i];
    }
}

/*
 * h[i-1] M[i-1] + 2 (h[i-1] + h[i]) M[i] + h[i] M[i+1] = 6 (slope[i] - slope[i-1]), all
 * indices modulo n. The two corners of the matrix are split off as a product of two
 * vectors and put back by the formula of Sherman and Morrison. Diagonally dominant, so no
 * pivots are needed.
 */
void darc_periodic_spline(size_t n, const double *x, const double *y, double period,
                          double *second, double *work)
{
    double *diagonal = work, *corner = work + n;
    double last = width(n, x, period, n - 1);
    double before = last, slope_before = (y[0] - y[n - 1]) / last;
    for (size_t i = 0; i < n; i++) {
        double h = width(n, x, period, i), next = y[i + 1 < n ? i + 1 : 0];
        double slope = (next - y[i]) / h;
        diagonal[i] = 2.0 * (before + h);
        second[i] = 6.0 * (slope - slope_before);
        corner[i] = 0.0;
        before = h;
        slope_before = slope;
    }
    double shift = -diagonal[0];
    diagonal[0] -= shift;
    diagonal[n - 1] -= last * last / shift;
    corner[0] = shift;
    corner[n - 1] = last;
    solve(n, x, period, diagonal, second, corner);
    double share = last / shift;
    double factor =
        (second[0] + share * second[n - 1]) / (1.0 + corner[0] + share * corner[n - 1]);
    for (size_t i = 0; i < n; i++)
        second[i] -= factor * corner[i];
}
