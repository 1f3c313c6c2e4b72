/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Stand-ins for functions of C that need pointers: one result where C returns several,
 * tables as text, members of handles by index.
 */
#ifndef DARC_INSTEAD_H
#define DARC_INSTEAD_H

#include "owned.h"

/* Sweep to verdict, with a workspace of its own. */
static inline dialarc_status darc_assess(const dialarc_setup *setup,
                                         const dialarc_sweep *sweep,
                                         dialarc_batch_result *assessment)
{
    dialarc_batch_result made;
    dialarc_workspace *workspace = dialarc_workspace_new();
    if (!workspace)
        return DIALARC_ERR_NO_MEMORY;
    made.status =
        dialarc_assess(workspace, setup, sweep, NULL, &made.timing, &made.decision);
    dialarc_workspace_free(workspace);
    if (made.status >= DIALARC_OK)
        *assessment = made;
    return made.status;
}

/* Residuals alone, where a function gives one result. */
static inline dialarc_status darc_timing_residuals(dialarc_workspace *workspace,
                                                   const dialarc_setup *setup,
                                                   const dialarc_sweep *sweep,
                                                   double *residuals)
{
    dialarc_timing timing;
    return dialarc_timing_estimate(workspace, setup, sweep, residuals, &timing);
}

static inline dialarc_status darc_lobes_residuals(dialarc_workspace *workspace,
                                                  const dialarc_setup *setup,
                                                  const dialarc_sweep *sweep,
                                                  double *residuals)
{
    dialarc_lobes lobes;
    return dialarc_lobes_estimate(workspace, setup, sweep, residuals, &lobes);
}

static inline dialarc_status
darc_reuse_residuals(dialarc_workspace *workspace, const dialarc_setup *setup,
                     const dialarc_camtable *cam, double cam_sd_mm,
                     const dialarc_sweep *sweep, double *residuals)
{
    dialarc_timing timing;
    return dialarc_reuse_estimate(workspace, setup, cam, cam_sd_mm, sweep, residuals,
                                  &timing);
}

/* Here the number of points is an argument. */
static inline dialarc_status darc_camtable_from_cam(const dialarc_cam *cam, size_t rows,
                                                    dialarc_camtable **table)
{
    return dialarc_camtable_from_cam(cam, rows, table);
}

static inline dialarc_status
darc_camtable_from_arcs(const dialarc_cam *cam, const dialarc_arcs *rise,
                        const dialarc_arcs *fall, size_t rows, dialarc_camtable **table)
{
    return dialarc_camtable_from_arcs(cam, rise, fall, rows, table);
}

static inline dialarc_status
darc_camtable_from_scca(const dialarc_cam *cam, const dialarc_scca *rise,
                        const dialarc_scca *fall, size_t rows, dialarc_camtable **table)
{
    return dialarc_camtable_from_scca(cam, rise, fall, rows, table);
}

static inline dialarc_status darc_learned_cam_lobe(const dialarc_learned_cam *cam,
                                                   size_t points, double *pump_deg,
                                                   double *lift_mm)
{
    return dialarc_learned_cam_lobe(cam, points, pump_deg, lift_mm);
}

static inline dialarc_status darc_design_choose(dialarc_workspace *workspace,
                                                const dialarc_setup *setup,
                                                double lift_mm,
                                                const dialarc_reach *reach, size_t points,
                                                double *plan_crank_deg)
{
    return dialarc_design_choose(workspace, setup, lift_mm, reach, points,
                                 plan_crank_deg);
}

static inline dialarc_status darc_input_sd(const dialarc_input *one, double *sd)
{
    return dialarc_input_sd(one, sd);
}

/* One derivative of a case. */
static inline dialarc_status darc_whatif_sensitivity(const dialarc_whatif *whatif,
                                                     dialarc_whatif_input which,
                                                     dialarc_outcome *slope)
{
    dialarc_outcome all[DIALARC_WHATIF_COUNT];
    dialarc_status status;
    if (!((int)which >= 0 && which < DIALARC_WHATIF_COUNT))
        return DIALARC_ERR_SIZE;
    status = dialarc_whatif_sensitivity(whatif, all);
    if (status >= DIALARC_OK)
        *slope = all[which];
    return status;
}

/* Tables in memory. */
static inline dialarc_memory darc_memory(const char *text)
{
    dialarc_memory memory = {text, text ? strlen(text) : 0, 0};
    return memory;
}

static inline dialarc_status darc_setups_read(const char *text, dialarc_setups **setups,
                                              dialarc_error *error)
{
    dialarc_memory memory = darc_memory(text);
    return text ? dialarc_setups_read(dialarc_read_memory, &memory, setups, error)
                : DIALARC_ERR_NULL;
}

static inline dialarc_status darc_sweeps_read(const char *text,
                                              const dialarc_setups *setups,
                                              dialarc_sweeps **sweeps,
                                              dialarc_error *error)
{
    dialarc_memory memory = darc_memory(text);
    return text ? dialarc_sweeps_read(dialarc_read_memory, &memory, setups, sweeps, error)
                : DIALARC_ERR_NULL;
}

static inline dialarc_status darc_jobs_read(const char *text,
                                            const dialarc_setups *setups,
                                            dialarc_jobs **jobs, dialarc_error *error)
{
    dialarc_memory memory = darc_memory(text);
    return text ? dialarc_jobs_read(dialarc_read_memory, &memory, setups, jobs, error)
                : DIALARC_ERR_NULL;
}

static inline dialarc_status darc_cams_read(const char *text, dialarc_cams **cams,
                                            dialarc_error *error)
{
    dialarc_memory memory = darc_memory(text);
    return text ? dialarc_cams_read(dialarc_read_memory, &memory, cams, error)
                : DIALARC_ERR_NULL;
}

static inline dialarc_status darc_dials_read(const char *text, dialarc_dials **dials,
                                             dialarc_error *error)
{
    dialarc_memory memory = darc_memory(text);
    return text ? dialarc_dials_read(dialarc_read_memory, &memory, dials, error)
                : DIALARC_ERR_NULL;
}

static inline dialarc_status darc_lifts_read(const char *text, dialarc_lifts **lifts,
                                             dialarc_error *error)
{
    dialarc_memory memory = darc_memory(text);
    return text ? dialarc_lifts_read(dialarc_read_memory, &memory, lifts, error)
                : DIALARC_ERR_NULL;
}

static inline dialarc_status darc_rows_read(const char *text, const char *columns,
                                            dialarc_rows **rows, dialarc_error *error)
{
    dialarc_memory memory = darc_memory(text);
    return text ? dialarc_rows_read(dialarc_read_memory, &memory, columns, rows, error)
                : DIALARC_ERR_NULL;
}

static inline dialarc_status darc_rows_text(const dialarc_rows *rows, size_t which,
                                            const char *column, const char **name)
{
    *name = dialarc_rows_text(rows, which, column);
    return *name ? DIALARC_OK : DIALARC_ERR_SIZE;
}

/* Members of handles by index; an index out of range is an error. */
static inline dialarc_status darc_setups_get(const dialarc_setups *setups, size_t which,
                                             dialarc_setup *setup)
{
    const dialarc_setup *found = dialarc_setups_get(setups, which);
    if (found)
        *setup = *found;
    return found ? DIALARC_OK : DIALARC_ERR_SIZE;
}

#define DARC_GET(members, name, type)                                                    \
    static inline dialarc_status darc_##members##_get(const dialarc_##members *members,  \
                                                      size_t which, type **made)         \
    {                                                                                    \
        const type *found = dialarc_##members##_get(members, which);                     \
        if (!found)                                                                      \
            return DIALARC_ERR_SIZE;                                                     \
        *made = darc_copy_##name(found);                                                 \
        return *made ? DIALARC_OK : DIALARC_ERR_NO_MEMORY;                               \
    }

DARC_GET(sweeps, sweep_record, dialarc_sweep_record)
DARC_GET(jobs, job, dialarc_job)
DARC_GET(cams, cam_record, dialarc_cam_record)

#define DARC_NAME(members, what)                                                         \
    static inline dialarc_status darc_##members##_##what(                                \
        const dialarc_##members *members, size_t which, const char **name)               \
    {                                                                                    \
        *name = dialarc_##members##_##what(members, which);                              \
        return *name ? DIALARC_OK : DIALARC_ERR_SIZE;                                    \
    }

DARC_NAME(setups, name)
DARC_NAME(setups, dial)
DARC_NAME(cams, name)
DARC_NAME(dials, name)
DARC_NAME(dials, calibrated_on)
DARC_NAME(dials, certificate)
DARC_NAME(lifts, sweep)
DARC_NAME(lifts, setup)
DARC_NAME(lifts, hand)
DARC_NAME(live, line)

#endif
