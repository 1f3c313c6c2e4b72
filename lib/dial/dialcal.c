/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/dialcal.h>

#include <gsl/gsl_interp.h>
#include <math.h>
#include <stdbool.h>

#include "core/finite.h"

static bool increases(size_t n, const double *x)
{
    for (size_t i = 1; i < n; i++)
        if (!(x[i] > x[i - 1]))
            return false;
    return true;
}

dialarc_status dialarc_dialcal_check(const dialarc_dialcal *table)
{
    if (!table || !table->shown_mm || !table->true_mm)
        return DIALARC_ERR_NULL;
    if (table->n < 2)
        return DIALARC_ERR_SIZE;
    if (!darc_all_finite(table->n, table->shown_mm) ||
        !darc_all_finite(table->n, table->true_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!increases(table->n, table->shown_mm) || !increases(table->n, table->true_mm))
        return DIALARC_ERR_ORDER;
    return DIALARC_OK;
}

/* The value that belongs to `at` when column x is mapped to column y. */
static double interpolate(size_t n, const double *x, const double *y, double at)
{
    size_t low = gsl_interp_bsearch(x, at, 0, n - 1), high = low + 1;
    double part = (at - x[low]) / (x[high] - x[low]);
    return part < 0.5 ? y[low] + part * (y[high] - y[low])
                      : y[high] - (1.0 - part) * (y[high] - y[low]);
}

static dialarc_status convert(const dialarc_dialcal *table, const double *x,
                              const double *y, size_t n, const double *in, double *out)
{
    if (n > 0 && (!in || !out))
        return DIALARC_ERR_NULL;
    if (!darc_all_finite(n, in))
        return DIALARC_ERR_NOT_FINITE;
    for (size_t i = 0; i < n; i++)
        if (!(in[i] >= x[0] && in[i] <= x[table->n - 1]))
            return DIALARC_ERR_READING;
    for (size_t i = 0; i < n; i++)
        out[i] = interpolate(table->n, x, y, in[i]);
    return DIALARC_OK;
}

dialarc_status dialarc_dialcal_true(const dialarc_dialcal *table, size_t n,
                                    const double *shown_mm, double *true_mm)
{
    dialarc_status status = dialarc_dialcal_check(table);
    if (status != DIALARC_OK)
        return status;
    return convert(table, table->shown_mm, table->true_mm, n, shown_mm, true_mm);
}

dialarc_status dialarc_dialcal_shown(const dialarc_dialcal *table, size_t n,
                                     const double *true_mm, double *shown_mm)
{
    dialarc_status status = dialarc_dialcal_check(table);
    if (status != DIALARC_OK)
        return status;
    return convert(table, table->true_mm, table->shown_mm, n, true_mm, shown_mm);
}
