/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The steps from readings to a timing that assess, reuse and learning share. */
#ifndef DARC_ASSESS_H
#define DARC_ASSESS_H

#include <dialarc/assess.h>
#include <dialarc/camtable.h>

#include "estimate/memory.h"

/* Makes the problem in the memory's readings; `table` and the standard uncertainty of its
 * lift take the place of the setup's cam unless it is NULL. */
dialarc_status darc_assess_open(darc_memory *memory, const dialarc_setup *setup,
                                const dialarc_camtable *table, double table_sd_mm,
                                const dialarc_sweep *sweep, darc_problem *problem);

/* Fits a problem, reviews the fit and tells of it. What was learned about the cam stands
 * in the memory's fit until its next use. DIALARC_OK or DIALARC_NOT_CONVERGED. */
dialarc_status darc_assess_timing(const darc_problem *problem, darc_memory *memory,
                                  double *residual_mm, dialarc_timing *timing);

#endif
