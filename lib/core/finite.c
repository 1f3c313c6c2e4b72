/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/finite.h"

bool darc_all_within(size_t n, const double *x)
{
    bool good = true;
    for (size_t i = 0; i < n; i++)
        good &= fabs(x[i]) <= DARC_LARGEST;
    return good;
}

bool darc_positive(double x)
{
    return x >= DARC_SMALLEST && x <= DARC_LARGEST;
}

bool darc_not_negative(double x)
{
    return x == 0.0 || darc_positive(x);
}

dialarc_status darc_give(double value, double *result)
{
    if (!isfinite(value))
        return DIALARC_ERR_RANGE;
    *result = value;
    return DIALARC_OK;
}

bool darc_all_finite(size_t n, const double *x)
{
    bool good = true; /* no way out of the loop: a compiler can vectorise it */
    for (size_t i = 0; i < n; i++)
        good &= isfinite(x[i]) != 0;
    return good;
}
