/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether the lift repeats at the spacing of the lobes that the setup gives. */
#ifndef DARC_LOBE_MISMATCH_H
#define DARC_LOBE_MISMATCH_H

#include <dialarc/timing.h>

#include "estimate/fit.h"
#include "review/goodness.h"

/* Adds the finding when it does not, for a fit of this goodness. `spare` is a fit that
 * may be used, and `sample_mm` has room for a number a reading. */
void darc_check_lobes(const darc_problem *problem, const darc_goodness *goodness,
                      darc_fit *spare, double *sample_mm, dialarc_timing *timing);

#endif
