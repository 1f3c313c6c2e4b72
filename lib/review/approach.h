/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings about the way the crank took: minimum seen, slack taken up, window covered. */
#ifndef DARC_APPROACH_H
#define DARC_APPROACH_H

#include <dialarc/timing.h>

#include "estimate/fit.h"

/* Adds them. `pump_crank_deg` has room for a number a reading. */
void darc_check_approach(const darc_problem *problem, const darc_fit *fit,
                         const darc_estimate *estimate, double *pump_crank_deg,
                         dialarc_timing *timing);

#endif
