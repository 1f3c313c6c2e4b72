/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/row_order.h"

#include <math.h>

#include "core/finding.h"

/* Below zero by so many sds, and by more than the wheel's own play: rows in the order
 * taken come that low once in 30,000 sweeps without slack. */
#define BELOW_NONE_SDS 4.0
#define BELOW_NONE_DEG 0.1

void darc_check_row_order(const darc_estimate *estimate, double inflate,
                          dialarc_timing *timing)
{
    double sd = sqrt(inflate * estimate->var[DARC_ASK_SLACK]);
    if (estimate->mean[DARC_ASK_SLACK] < -BELOW_NONE_DEG - BELOW_NONE_SDS * sd)
        darc_findings_add(&timing->findings, DIALARC_FINDING_ORDER_REVERSED,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
}
