/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a fit is asked for, when it is not known, and whether a pump can give it. */
#include <math.h>
#include <string.h>

#include "estimate/fit.h"

#define FAR_SDS   4.0  /* a lift further than this outside a lobe, and ... */
#define FAR_SHARE 0.05 /* ... this share of it more, is none */

void darc_answer_clear(darc_answer *a)
{
    memset(a, 0, sizeof *a);
    for (int q = 0; q < DARC_ASKED; q++)
        a->mean[q] = a->var[q] = NAN;
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++)
        a->rise_mm[k] = NAN;
    a->var_readings = a->var_hysteresis = a->var_cam = NAN;
}

int darc_answer_is_sensible(const darc_answer *a)
{
    for (int q = 0; q < DARC_ASKED; q++)
        if (!isfinite(a->mean[q]) || !isfinite(a->var[q]) || a->var[q] < 0.0)
            return 0;
    double lift = a->mean[DARC_ASK_LIFT], total = a->mean[DARC_ASK_TOTAL];
    double reach = FAR_SDS * sqrt(a->var[DARC_ASK_LIFT]) + FAR_SHARE * fabs(total);
    return total > 0.0 && a->mean[DARC_ASK_RISE] > 0.0 && lift >= -reach &&
           lift <= total + reach;
}
