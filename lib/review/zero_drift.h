/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether the reading at the minimum wanders from the start of a record to its end. */
#ifndef DARC_ZERO_DRIFT_H
#define DARC_ZERO_DRIFT_H

#include <dialarc/timing.h>

#include "estimate/fit.h"

/* Adds the finding when it does, beyond the errors stated by the problem. `sample_mm` has
 * room for a number a reading. */
void darc_check_zero_drift(const darc_problem *problem, const darc_fit *fit,
                           const darc_estimate *estimate, double *sample_mm,
                           dialarc_timing *timing);

#endif
