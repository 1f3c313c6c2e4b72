/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an estimate says, as it is told to the caller. */
#ifndef DARC_TIMING_H
#define DARC_TIMING_H

#include <dialarc/timing.h>

#include "estimate/estimate.h"
#include "record/known.h"

/* Nothing known and nothing found. */
void darc_timing_clear(dialarc_timing *timing);

/* Writes an estimate made with `noise` of a problem of what is known. Its variances are
 * those of the stated errors; `inflate` is the square of what the readings show beyond
 * them. */
void darc_timing_tell(const darc_estimate *estimate, const darc_known *known,
                      const darc_noise *noise, double inflate, dialarc_timing *timing);

#endif
