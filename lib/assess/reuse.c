/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/reuse.h>

#include <math.h>

#include "assess/assess.h"
#include "assess/workspace.h"
#include "core/finite.h"

dialarc_status dialarc_reuse_estimate(dialarc_workspace *workspace,
                                      const dialarc_setup *setup,
                                      const dialarc_camtable *cam, double cam_sd_mm,
                                      const dialarc_sweep *sweep, double *residual_mm,
                                      dialarc_timing *timing)
{
    darc_problem problem;
    if (!workspace || !setup || !cam || !sweep || !timing)
        return DIALARC_ERR_NULL;
    if (!isfinite(cam_sd_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_not_negative(cam_sd_mm))
        return DIALARC_ERR_SD;
    darc_memory *memory = &workspace->memory;
    dialarc_status status =
        darc_memory_open(memory, setup, cam, cam_sd_mm, sweep, &problem);
    if (status != DIALARC_OK)
        return status;
    return darc_assess_timing(&problem, memory, residual_mm, timing);
}
