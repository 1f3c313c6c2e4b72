/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether the rows can stand in the order taken: no drive has less slack than none. */
#ifndef DARC_ROW_ORDER_H
#define DARC_ROW_ORDER_H

#include <dialarc/timing.h>

#include "estimate/estimate.h"

/* Adds the finding, which stops, when the slack is below zero for sure; `inflate` as in
 * darc_timing_tell(). */
void darc_check_row_order(const darc_estimate *estimate, double inflate,
                          dialarc_timing *timing);

#endif
