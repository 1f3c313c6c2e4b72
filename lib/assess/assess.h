/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a problem to a timing: what assess, reuse and learning share. */
#ifndef DARC_ASSESS_H
#define DARC_ASSESS_H

#include <dialarc/assess.h>

#include "estimate/memory.h"

/* Fits a problem, reviews the fit and tells of it. What was learned about the cam stands
 * in the memory's fit until its next use. DIALARC_OK or DIALARC_NOT_CONVERGED. */
dialarc_status darc_assess_timing(const darc_problem *problem, darc_memory *memory,
                                  double *residual_mm, dialarc_timing *timing);

#endif
