/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/graduation.h"

#include <math.h>

double darc_graduation(size_t n, const double *dial_mm)
{
    static const double usual[] = {0.0254, 0.0127, 0.01, 0.005, 0.00254, 0.002, 0.001};
    for (size_t k = 0; k < sizeof usual / sizeof usual[0]; k++) {
        size_t on = 0;
        while (on < n &&
               fabs(dial_mm[on] / usual[k] - round(dial_mm[on] / usual[k])) < 1e-3)
            on++;
        if (on == n)
            return usual[k];
    }
    return 0.0;
}
