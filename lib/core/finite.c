/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/finite.h"

bool darc_all_finite(size_t n, const double *x)
{
    bool good = true; /* no way out of the loop: a compiler can vectorise it */
    for (size_t i = 0; i < n; i++)
        good &= isfinite(x[i]) != 0;
    return good;
}
