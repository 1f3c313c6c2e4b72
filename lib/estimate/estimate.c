/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/estimate.h"

#include <math.h>
#include <string.h>

#include "core/finite.h"

#define FAR_SDS   4.0  /* a lift further than this outside a lobe, and ... */
#define FAR_SHARE 0.05 /* ... this share of it more, is none */

void darc_estimate_clear(darc_estimate *e)
{
    memset(e, 0, sizeof *e);
    for (int q = 0; q < DARC_ASKED; q++)
        e->mean[q] = e->var[q] = NAN;
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++)
        e->rise_mm[k] = NAN;
    e->var_readings = e->var_hysteresis = e->var_cam = e->var_dial = e->var_wheel = NAN;
}

bool darc_estimate_is_sensible(const darc_estimate *e)
{
    for (int q = 0; q < DARC_ASKED; q++) /* by macros to which NaN is no exception */
        if (!islessequal(fabs(e->mean[q]), DARC_LARGEST) ||
            !isgreaterequal(e->var[q], 0.0) ||
            !islessequal(e->var[q], DARC_LARGEST * DARC_LARGEST))
            return false;
    double lift = e->mean[DARC_ASK_LIFT], total = e->mean[DARC_ASK_TOTAL];
    double reach = FAR_SDS * sqrt(e->var[DARC_ASK_LIFT]) + FAR_SHARE * fabs(total);
    return total > 0.0 && e->mean[DARC_ASK_RISE] > 0.0 && lift >= -reach &&
           lift <= total + reach;
}
