/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Structs whose arrays belong to someone else, copied with their arrays into one block of
 * memory, which one free() releases.
 */
#ifndef DARC_OWNED_H
#define DARC_OWNED_H

#include "frame.h"

/* Cuts a block into pieces; before the block exists, adds up the space needed. */
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

/* Allocates what has been added up; false without memory. */
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

/* What has pieces owns a share of the calibration in its setup, once it is made. */
static inline void darc_keep_dial(const darc_block *block, const dialarc_setup *setup)
{
    dialarc_dialcal *share;
    if (block->base && setup->dial_calibration)
        dialarc_dialcal_share(setup->dial_calibration, &share);
}

static inline void darc_sweep_record_pieces(darc_block *block,
                                            const dialarc_sweep_record *from,
                                            dialarc_sweep_record *record)
{
    record->name = (char *)darc_piece(block, from->name, strlen(from->name) + 1);
    record->line =
        (size_t *)darc_piece(block, from->line, from->sweep.n * sizeof(size_t));
    darc_sweep_pieces(block, &from->sweep, &record->sweep);
    darc_keep_dial(block, &from->setup);
}

static inline void darc_job_pieces(darc_block *block, const dialarc_job *from,
                                   dialarc_job *job)
{
    job->name = (char *)darc_piece(block, from->name, strlen(from->name) + 1);
    job->round =
        (dialarc_round *)darc_piece(block, from->round, from->n * sizeof *from->round);
    job->line = (size_t *)darc_piece(block, from->line, from->n * sizeof *from->line);
    darc_keep_dial(block, &from->setup);
}

static inline void darc_cam_record_pieces(darc_block *block,
                                          const dialarc_cam_record *from,
                                          dialarc_cam_record *cam)
{
    size_t size = from->n * sizeof(double);
    cam->name = (char *)darc_piece(block, from->name, strlen(from->name) + 1);
    cam->pump_deg = (double *)darc_piece(block, from->pump_deg, size);
    cam->lift_mm = (double *)darc_piece(block, from->lift_mm, size);
    cam->table = NULL; /* made anew from the points where it is asked for */
}

/* darc_copy_<name>(): a copy of a struct together with its pieces; NULL: no memory. */
#define DARC_COPY(name, type)                                                            \
    static inline type *darc_copy_##name(const type *from)                               \
    {                                                                                    \
        darc_block block = {NULL, 0};                                                    \
        type parts, *made;                                                               \
        darc_piece(&block, from, sizeof *from);                                          \
        darc_##name##_pieces(&block, from, &parts);                                      \
        if (!darc_take(&block))                                                          \
            return NULL;                                                                 \
        made = (type *)darc_piece(&block, from, sizeof *from);                           \
        darc_##name##_pieces(&block, from, made);                                        \
        return made;                                                                     \
    }

DARC_COPY(sweep, dialarc_sweep)
DARC_COPY(sweep_record, dialarc_sweep_record)
DARC_COPY(job, dialarc_job)
DARC_COPY(cam_record, dialarc_cam_record)

static inline void darc_free_sweep_record(dialarc_sweep_record *record)
{
    dialarc_dialcal_free((dialarc_dialcal *)record->setup.dial_calibration);
    free(record);
}

static inline void darc_free_job(dialarc_job *job)
{
    dialarc_dialcal_free((dialarc_dialcal *)job->setup.dial_calibration);
    free(job);
}

/* ---- made from arrays ------------------------------------------------------- */

static inline dialarc_status darc_make_sweep(size_t n, const double *crank_deg,
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

static inline dialarc_status darc_make_injection(size_t n, const double *crank_rpm,
                                                 const double *advance_crank_deg,
                                                 double delay_ms,
                                                 double buildup_crank_deg,
                                                 dialarc_injection **injection)
{
    darc_block block = {NULL, 0};
    dialarc_injection from = {n, crank_rpm, advance_crank_deg, delay_ms,
                              buildup_crank_deg};
    size_t size = n * sizeof(double);
    if ((!crank_rpm || !advance_crank_deg) && n > 0)
        return DIALARC_ERR_NULL;
    block.used = sizeof from + 2 * size + 64;
    if (!darc_take(&block))
        return DIALARC_ERR_NO_MEMORY;
    *injection = (dialarc_injection *)darc_piece(&block, &from, sizeof from);
    (*injection)->crank_rpm = (double *)darc_piece(&block, crank_rpm, size);
    (*injection)->advance_crank_deg =
        (double *)darc_piece(&block, advance_crank_deg, size);
    return DIALARC_OK;
}

#endif
