/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "dial/dialcal.h"

#include <gsl/gsl_interp.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "core/finite.h"

static bool increases(size_t n, const double *x)
{
    for (size_t i = 1; i < n; i++)
        if (!(x[i] > x[i - 1]))
            return false;
    return true;
}

static dialarc_status check(size_t n, const double *shown_mm, const double *true_mm,
                            double u_mm)
{
    if (!shown_mm || !true_mm)
        return DIALARC_ERR_NULL;
    if (n < 2 || n > DIALARC_DIALCAL_MAX)
        return DIALARC_ERR_SIZE;
    if (!darc_all_finite(n, shown_mm) || !darc_all_finite(n, true_mm) || !isfinite(u_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!increases(n, shown_mm) || !increases(n, true_mm))
        return DIALARC_ERR_ORDER;
    if (fmax(-shown_mm[0], shown_mm[n - 1]) > DARC_LARGEST ||
        fmax(-true_mm[0], true_mm[n - 1]) > DARC_LARGEST)
        return DIALARC_ERR_READING;
    return u_mm >= 0.0 && u_mm <= DARC_LARGEST ? DIALARC_OK : DIALARC_ERR_SD;
}

dialarc_status dialarc_dialcal_new(size_t n, const double *shown_mm,
                                   const double *true_mm, double u_mm,
                                   dialarc_dialcal **dialcal)
{
    if (!dialcal)
        return DIALARC_ERR_NULL;
    dialarc_status status = check(n, shown_mm, true_mm, u_mm);
    if (status != DIALARC_OK)
        return status;
    dialarc_dialcal *made = malloc(sizeof *made);
    double *block = malloc(2 * n * sizeof *block);
    if (!made || !block) {
        free(made);
        free(block);
        return DIALARC_ERR_NO_MEMORY;
    }
    *made =
        (dialarc_dialcal){.n = n, .u_mm = u_mm, .shown_mm = block, .true_mm = block + n};
    atomic_init(&made->shares, 0U);
    memcpy(made->shown_mm, shown_mm, n * sizeof *shown_mm);
    memcpy(made->true_mm, true_mm, n * sizeof *true_mm);
    *dialcal = made;
    return DIALARC_OK;
}

dialarc_status dialarc_dialcal_share(const dialarc_dialcal *dialcal,
                                     dialarc_dialcal **shared)
{
    if (!dialcal || !shared)
        return DIALARC_ERR_NULL;
    *shared = (dialarc_dialcal *)dialcal; /* but for the count it stays as it is */
    atomic_fetch_add(&(*shared)->shares, 1U);
    return DIALARC_OK;
}

void dialarc_dialcal_free(dialarc_dialcal *dialcal)
{
    if (!dialcal || atomic_fetch_sub(&dialcal->shares, 1U) != 0U)
        return;
    free(dialcal->shown_mm);
    free(dialcal);
}

dialarc_status dialarc_dialcal_range(const dialarc_dialcal *dialcal, double *low_mm,
                                     double *high_mm, double *u_mm)
{
    if (!dialcal || !low_mm || !high_mm || !u_mm)
        return DIALARC_ERR_NULL;
    *low_mm = dialcal->shown_mm[0];
    *high_mm = dialcal->shown_mm[dialcal->n - 1];
    *u_mm = dialcal->u_mm;
    return DIALARC_OK;
}

size_t dialarc_dialcal_count(const dialarc_dialcal *dialcal)
{
    return dialcal ? dialcal->n : 0;
}

dialarc_status dialarc_dialcal_point(const dialarc_dialcal *dialcal, size_t which,
                                     double *shown_mm, double *true_mm)
{
    if (!dialcal || !shown_mm || !true_mm)
        return DIALARC_ERR_NULL;
    if (which >= dialcal->n)
        return DIALARC_ERR_SIZE;
    *shown_mm = dialcal->shown_mm[which];
    *true_mm = dialcal->true_mm[which];
    return DIALARC_OK;
}

/* The value that belongs to `at` when column x is mapped to column y. */
static double interpolate(size_t n, const double *x, const double *y, double at)
{
    if (at < x[0] || at > x[n - 1]) {
        size_t end = at < x[0] ? 0 : n - 1;
        return y[end] + (at - x[end]);
    }
    size_t low = gsl_interp_bsearch(x, at, 0, n - 1), high = low + 1;
    double part = (at - x[low]) / (x[high] - x[low]);
    return part < 0.5 ? y[low] + part * (y[high] - y[low])
                      : y[high] - (1.0 - part) * (y[high] - y[low]);
}

double darc_dialcal_travel(const dialarc_dialcal *d, double shown_mm)
{
    return interpolate(d->n, d->shown_mm, d->true_mm, shown_mm);
}

double darc_dialcal_reading(const dialarc_dialcal *d, double true_mm)
{
    return interpolate(d->n, d->true_mm, d->shown_mm, true_mm);
}

static dialarc_status convert(size_t points, const double *x, const double *y, size_t n,
                              const double *in, double *out)
{
    if (n > 0 && (!in || !out))
        return DIALARC_ERR_NULL;
    if (!darc_all_finite(n, in))
        return DIALARC_ERR_NOT_FINITE;
    for (size_t i = 0; i < n; i++)
        if (!(in[i] >= x[0] && in[i] <= x[points - 1]))
            return DIALARC_ERR_READING;
    for (size_t i = 0; i < n; i++)
        out[i] = interpolate(points, x, y, in[i]);
    return DIALARC_OK;
}

dialarc_status dialarc_dialcal_true(const dialarc_dialcal *d, size_t n,
                                    const double *shown_mm, double *true_mm)
{
    return d ? convert(d->n, d->shown_mm, d->true_mm, n, shown_mm, true_mm)
             : DIALARC_ERR_NULL;
}

dialarc_status dialarc_dialcal_shown(const dialarc_dialcal *d, size_t n,
                                     const double *true_mm, double *shown_mm)
{
    return d ? convert(d->n, d->true_mm, d->shown_mm, n, true_mm, shown_mm)
             : DIALARC_ERR_NULL;
}
