/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Structs whose arrays belong to somebody else, copied together with their arrays into
 * one block of memory: free() takes all of it back. And what languages without pointers
 * need instead of some functions of C.
 */
#ifndef DARC_OWNED_H
#define DARC_OWNED_H

#include "frame.h"

/* Cuts a block into pieces; without a block it adds up how much is needed. */
typedef struct darc_block {
    char *base;
    size_t used;
} darc_block;

static inline void *darc_piece(darc_block *block, const void *data, size_t size)
{
    void *piece = block->base ? block->base + block->used : NULL;
    block->used += (size + 15) / 16 * 16;
    if (piece && size)
        memcpy(piece, data, size);
    return piece;
}

/* From here on a block has its memory, or there is none. */
static inline int darc_take(darc_block *block)
{
    block->base = (char *)malloc(block->used);
    block->used = 0;
    return block->base != NULL;
}

static inline void darc_sweep_pieces(darc_block *block, const dialarc_sweep *from,
                                     dialarc_sweep *sweep)
{
    size_t size = from->n * sizeof(double);
    sweep->n = from->n;
    sweep->crank_deg = (double *)darc_piece(block, from->crank_deg, size);
    sweep->dial_mm = (double *)darc_piece(block, from->dial_mm, size);
    sweep->direction = NULL;
    if (from->direction)
        sweep->direction = (dialarc_direction *)darc_piece(
            block, from->direction, from->n * sizeof *from->direction);
}

static inline dialarc_sweep *darc_copy_sweep(const dialarc_sweep *from)
{
    darc_block block = {NULL, 0};
    dialarc_sweep parts, *sweep;
    darc_piece(&block, from, sizeof *from);
    darc_sweep_pieces(&block, from, &parts);
    if (!darc_take(&block))
        return NULL;
    sweep = (dialarc_sweep *)darc_piece(&block, from, sizeof *from);
    darc_sweep_pieces(&block, from, sweep);
    return sweep;
}

static inline void darc_record_pieces(darc_block *block, const dialarc_sweep_record *from,
                                      dialarc_sweep_record *record)
{
    record->name = (char *)darc_piece(block, from->name, strlen(from->name) + 1);
    record->line = (size_t *)darc_piece(block, from->line, from->sweep.n * sizeof(size_t));
    darc_sweep_pieces(block, &from->sweep, &record->sweep);
}

static inline dialarc_sweep_record *darc_copy_sweep_record(const dialarc_sweep_record *from)
{
    darc_block block = {NULL, 0};
    dialarc_sweep_record parts, *record;
    if (!from || !from->name)
        return NULL;
    darc_piece(&block, from, sizeof *from);
    darc_record_pieces(&block, from, &parts);
    if (!darc_take(&block))
        return NULL;
    record = (dialarc_sweep_record *)darc_piece(&block, from, sizeof *from);
    darc_record_pieces(&block, from, record);
    return record;
}

static inline void darc_job_pieces(darc_block *block, const dialarc_job *from,
                                   dialarc_job *job)
{
    job->name = (char *)darc_piece(block, from->name, strlen(from->name) + 1);
    job->round = (dialarc_round *)darc_piece(block, from->round,
                                             from->n * sizeof *from->round);
    job->line = (size_t *)darc_piece(block, from->line, from->n * sizeof *from->line);
}

static inline dialarc_job *darc_copy_job(const dialarc_job *from)
{
    darc_block block = {NULL, 0};
    dialarc_job parts, *job;
    if (!from)
        return NULL;
    darc_piece(&block, from, sizeof *from);
    darc_job_pieces(&block, from, &parts);
    if (!darc_take(&block))
        return NULL;
    job = (dialarc_job *)darc_piece(&block, from, sizeof *from);
    darc_job_pieces(&block, from, job);
    return job;
}

/* ---- made from arrays ---------------------------------------------------------------- */

static inline dialarc_status dialarc_make_sweep(size_t n, const double *crank_deg,
                                                const double *dial_mm,
                                                const double *direction,
                                                dialarc_sweep **sweep)
{
    dialarc_direction *way = NULL;
    if ((!crank_deg || !dial_mm) && n > 0)
        return DIALARC_ERR_NULL;
    if (direction && !(way = (dialarc_direction *)calloc(n + 1, sizeof *way)))
        return DIALARC_ERR_NO_MEMORY;
    for (size_t i = 0; way && i < n; i++)
        way[i] = direction[i] > 0   ? DIALARC_DIRECTION_WITH
                 : direction[i] < 0 ? DIALARC_DIRECTION_AGAINST
                                    : DIALARC_DIRECTION_UNKNOWN;
    const dialarc_sweep from = {n, crank_deg, dial_mm, way};
    dialarc_sweep *made = darc_copy_sweep(&from);
    free(way);
    if (!made)
        return DIALARC_ERR_NO_MEMORY;
    *sweep = made;
    return DIALARC_OK;
}

static inline dialarc_status dialarc_make_dialcal(size_t n, const double *shown_mm,
                                                  const double *true_mm,
                                                  dialarc_dialcal **dialcal)
{
    darc_block block = {NULL, 0};
    dialarc_dialcal from = {n, shown_mm, true_mm};
    size_t size = n * sizeof(double);
    dialarc_status status = dialarc_dialcal_check(&from);
    if (status != DIALARC_OK)
        return status;
    block.used = sizeof from + 2 * size + 64;
    if (!darc_take(&block))
        return DIALARC_ERR_NO_MEMORY;
    *dialcal = (dialarc_dialcal *)darc_piece(&block, &from, sizeof from);
    (*dialcal)->shown_mm = (double *)darc_piece(&block, shown_mm, size);
    (*dialcal)->true_mm = (double *)darc_piece(&block, true_mm, size);
    return DIALARC_OK;
}

static inline dialarc_status dialarc_make_injection(size_t n, const double *crank_rpm,
                                                    const double *advance_crank_deg,
                                                    double delay_ms,
                                                    dialarc_injection **injection)
{
    darc_block block = {NULL, 0};
    dialarc_injection from = {n, crank_rpm, advance_crank_deg, delay_ms};
    size_t size = n * sizeof(double);
    if ((!crank_rpm || !advance_crank_deg) && n > 0)
        return DIALARC_ERR_NULL;
    block.used = sizeof from + 2 * size + 64;
    if (!darc_take(&block))
        return DIALARC_ERR_NO_MEMORY;
    *injection = (dialarc_injection *)darc_piece(&block, &from, sizeof from);
    (*injection)->crank_rpm = (double *)darc_piece(&block, crank_rpm, size);
    (*injection)->advance_crank_deg = (double *)darc_piece(&block, advance_crank_deg, size);
    return DIALARC_OK;
}

/* ---- instead of functions of C ------------------------------------------------------- */

/* Sweep to verdict, with a workspace of its own. */
static inline dialarc_status dialarc_assess(const dialarc_setup *setup,
                                            const dialarc_sweep *sweep,
                                            dialarc_batch_result *assessment)
{
    dialarc_batch_result made;
    dialarc_workspace *workspace = dialarc_workspace_new();
    if (!workspace)
        return DIALARC_ERR_NO_MEMORY;
    made.status = dialarc_timing_estimate(workspace, setup, sweep, NULL, &made.timing);
    dialarc_workspace_free(workspace);
    if (made.status >= DIALARC_OK) {
        dialarc_status judged = dialarc_decision_judge(setup, &made.timing, &made.decision);
        made.status = judged < DIALARC_OK ? judged : made.status;
    }
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

static inline dialarc_status darc_reuse_residuals(dialarc_workspace *workspace,
                                                  const dialarc_setup *setup,
                                                  const dialarc_camtable *cam,
                                                  double cam_sd_mm,
                                                  const dialarc_sweep *sweep,
                                                  double *residuals)
{
    dialarc_timing timing;
    return dialarc_reuse_estimate(workspace, setup, cam, cam_sd_mm, sweep, residuals,
                                  &timing);
}

/* How many points a measured cam gets. */
static inline dialarc_status darc_camtable_from_cam(const dialarc_cam *cam, size_t rows,
                                                    dialarc_camtable **table)
{
    return dialarc_camtable_from_cam(cam, rows, table);
}

static inline dialarc_status darc_reuse_lobe(const dialarc_workspace *workspace,
                                             size_t points, double *pump_deg,
                                             double *lift_mm)
{
    return dialarc_reuse_lobe(workspace, points, pump_deg, lift_mm);
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

static inline dialarc_status darc_sweeps_read(const char *text, const dialarc_setups *setups,
                                              dialarc_sweeps **sweeps, dialarc_error *error)
{
    dialarc_memory memory = darc_memory(text);
    return text ? dialarc_sweeps_read(dialarc_read_memory, &memory, setups, sweeps, error)
                : DIALARC_ERR_NULL;
}

static inline dialarc_status darc_jobs_read(const char *text, const dialarc_setups *setups,
                                            dialarc_jobs **jobs, dialarc_error *error)
{
    dialarc_memory memory = darc_memory(text);
    return text ? dialarc_jobs_read(dialarc_read_memory, &memory, setups, jobs, error)
                : DIALARC_ERR_NULL;
}

/* Members of handles by their number; none of that number is an error. */
static inline dialarc_status darc_setups_name(const dialarc_setups *setups, size_t index,
                                              const char **name)
{
    *name = dialarc_setups_name(setups, index);
    return *name ? DIALARC_OK : DIALARC_ERR_SIZE;
}

static inline dialarc_status darc_setups_get(const dialarc_setups *setups, size_t index,
                                             dialarc_setup *setup)
{
    const dialarc_setup *found = dialarc_setups_get(setups, index);
    if (found)
        *setup = *found;
    return found ? DIALARC_OK : DIALARC_ERR_SIZE;
}

static inline dialarc_status darc_sweeps_get(const dialarc_sweeps *sweeps, size_t index,
                                             dialarc_sweep_record **record)
{
    const dialarc_sweep_record *found = dialarc_sweeps_get(sweeps, index);
    if (!found)
        return DIALARC_ERR_SIZE;
    *record = darc_copy_sweep_record(found);
    return *record ? DIALARC_OK : DIALARC_ERR_NO_MEMORY;
}

static inline dialarc_status darc_jobs_get(const dialarc_jobs *jobs, size_t index,
                                           dialarc_job **job)
{
    const dialarc_job *found = dialarc_jobs_get(jobs, index);
    if (!found)
        return DIALARC_ERR_SIZE;
    *job = darc_copy_job(found);
    return *job ? DIALARC_OK : DIALARC_ERR_NO_MEMORY;
}

#endif
