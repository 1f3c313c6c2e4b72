/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/sweep.h"

#include <math.h>

dialarc_status darc_sweep_check(const dialarc_sweep *sweep)
{
    if (sweep->n > DIALARC_SWEEP_MAX)
        return DIALARC_ERR_SIZE;
    if (sweep->n && (!sweep->crank_deg || !sweep->dial_mm))
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < sweep->n; i++) {
        if (!isfinite(sweep->crank_deg[i]) || !isfinite(sweep->dial_mm[i]))
            return DIALARC_ERR_NOT_FINITE;
        if (fabs(sweep->crank_deg[i]) > DIALARC_SWEEP_LARGEST ||
            fabs(sweep->dial_mm[i]) > DIALARC_SWEEP_LARGEST)
            return DIALARC_ERR_RANGE;
        if (sweep->direction && (sweep->direction[i] < DIALARC_DIRECTION_AGAINST ||
                                 sweep->direction[i] > DIALARC_DIRECTION_WITH))
            return DIALARC_ERR_DIRECTION;
    }
    return DIALARC_OK;
}
