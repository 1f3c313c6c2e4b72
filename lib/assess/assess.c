/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/assess.h"

#include <math.h>

#include "assess/workspace.h"
#include "decision/advice.h"
#include "decision/decision.h"
#include "estimate/timing.h"
#include "review/readings.h"
#include "review/review.h"

dialarc_status darc_assess_timing(const darc_problem *problem, darc_memory *memory,
                                  double *residual_mm, dialarc_timing *timing)
{
    const darc_known *known = &problem->known;
    const darc_record *record = &problem->record;
    darc_estimate estimate;
    darc_timing_clear(timing);
    memory->fit.at.learned->count = 0;
    for (size_t i = 0; residual_mm && i < record->n; i++)
        residual_mm[i] = DIALARC_UNKNOWN;
    if (!darc_check_readings(problem, timing))
        return DIALARC_OK;
    double inflate = darc_fit_reviewed(problem, memory, &estimate, timing);
    if (darc_estimate_is_sensible(&estimate)) {
        darc_timing_tell(&estimate, known, &problem->noise, inflate, timing);
        darc_check_window_width(known, darc_lasting_sd(known, timing), 0.0,
                                &timing->findings);
    }
    for (size_t i = 0; residual_mm && i < record->n; i++)
        residual_mm[record->row[i]] =
            known->dial.sense * (record->lift_mm[i] - memory->fit.at.rows[i].mean);
    return estimate.converged ? DIALARC_OK : DIALARC_NOT_CONVERGED;
}

dialarc_status dialarc_timing_estimate(dialarc_workspace *workspace,
                                       const dialarc_setup *setup,
                                       const dialarc_sweep *sweep, double *residual_mm,
                                       dialarc_timing *timing)
{
    darc_problem problem;
    if (!workspace || !setup || !sweep || !timing)
        return DIALARC_ERR_NULL;
    dialarc_status status =
        darc_memory_open(&workspace->memory, setup, NULL, 0.0, sweep, &problem);
    if (status != DIALARC_OK)
        return status;
    return darc_assess_timing(&problem, &workspace->memory, residual_mm, timing);
}

dialarc_status dialarc_assess(dialarc_workspace *workspace, const dialarc_setup *setup,
                              const dialarc_sweep *sweep, double *residual_mm,
                              dialarc_timing *timing, dialarc_decision *decision)
{
    darc_problem problem;
    if (!workspace || !setup || !sweep || !timing || !decision)
        return DIALARC_ERR_NULL;
    dialarc_status status =
        darc_memory_open(&workspace->memory, setup, NULL, 0.0, sweep, &problem);
    if (status != DIALARC_OK)
        return status;
    status = darc_assess_timing(&problem, &workspace->memory, residual_mm, timing);
    darc_decide(&problem.known, timing, decision);
    return status;
}
