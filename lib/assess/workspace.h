/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an estimate begins with: scratch memory and errors with defaults. Private. */
#ifndef DARC_WORKSPACE_H
#define DARC_WORKSPACE_H

#include <stddef.h>

#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/sweep.h>
#include <dialarc/timing.h>

#include "estimate/fit.h"

struct dialarc_workspace {
    darc_scratch scratch;
};

/* Makes room for n readings. */
dialarc_status darc_scratch_reserve(darc_scratch *s, size_t n);

/* Nothing known and nothing found. */
void darc_timing_clear(dialarc_timing *t);

/* Errors of dial and wheel: as in the setup, else what is assumed. */
darc_noise darc_noise_of(const dialarc_setup *setup, const dialarc_sweep *sweep);

/* dialarc_timing_estimate() with the cam's shape in a table whose lift has standard
 * uncertainty cam_sd_mm; without a table it is taken from the setup, or learned. */
dialarc_status darc_timing_run(dialarc_workspace *workspace, const dialarc_setup *setup,
                               const dialarc_camtable *table, double cam_sd_mm,
                               const dialarc_sweep *sweep, double *residual_mm,
                               dialarc_timing *timing);

#endif
