/* SPDX-License-Identifier: GPL-3.0-or-later
 * A table of sweeps assessed by many threads, for the languages of common.i. */
#ifndef DARC_MANY_H
#define DARC_MANY_H

#include <dialarc.h>
#include <stdlib.h>
#include <string.h>

/* What each sweep of a table says. */
typedef struct darc_assessments {
    size_t n;
    dialarc_batch_result *assessment;
} darc_assessments;

static inline void darc_assessments_free(darc_assessments *assessments)
{
    if (assessments)
        free(assessments->assessment);
    free(assessments);
}

/* Lays everything out end to end, as a batch expects it. */
static inline dialarc_status darc_batch(const dialarc_setups *setups,
                                        const dialarc_sweeps *sweeps, size_t threads,
                                        void *room, dialarc_batch *batch,
                                        darc_assessments *made)
{
    const dialarc_batch_options options = {threads, 0, NULL, NULL};
    double *crank = (double *)room, *dial = crank + batch->readings;
    size_t *offset = (size_t *)(dial + batch->readings);
    size_t *which = offset + batch->sweeps + 1;
    dialarc_setup *setup = (dialarc_setup *)(which + batch->sweeps);
    dialarc_direction *way = (dialarc_direction *)(setup + batch->setups);
    size_t used = 0;
    for (size_t i = 0; i < batch->setups; i++)
        setup[i] = *dialarc_setups_get(setups, i);
    for (size_t i = 0; i < batch->sweeps; i++) {
        const dialarc_sweep_record *record = dialarc_sweeps_get(sweeps, i);
        offset[i] = used;
        which[i] = record->setup_index;
        memcpy(crank + used, record->sweep.crank_deg, record->sweep.n * sizeof *crank);
        memcpy(dial + used, record->sweep.dial_mm, record->sweep.n * sizeof *dial);
        for (size_t k = 0; k < record->sweep.n; k++)
            way[used + k] = record->sweep.direction ? record->sweep.direction[k]
                                                    : DIALARC_DIRECTION_UNKNOWN;
        used += record->sweep.n;
    }
    offset[batch->sweeps] = used;
    batch->offset = offset;
    batch->crank_deg = crank;
    batch->dial_mm = dial;
    batch->direction = way;
    batch->setup = setup;
    batch->setup_index = which;
    return dialarc_batch_assess(batch, &options, made->assessment);
}

static inline dialarc_status darc_assess_all(const dialarc_setups *setups,
                                             const dialarc_sweeps *sweeps, size_t threads,
                                             darc_assessments **made)
{
    dialarc_batch batch = {0};
    darc_assessments *all = (darc_assessments *)calloc(1, sizeof *all);
    dialarc_status status = DIALARC_ERR_NO_MEMORY;
    void *room = NULL;
    if (!setups || !sweeps) {
        free(all);
        return DIALARC_ERR_NULL;
    }
    batch.setups = dialarc_setups_count(setups);
    batch.sweeps = dialarc_sweeps_count(sweeps);
    for (size_t i = 0; i < batch.sweeps; i++)
        batch.readings += dialarc_sweeps_get(sweeps, i)->sweep.n;
    room = malloc(batch.readings * (2 * sizeof(double) + sizeof(dialarc_direction)) +
                  (2 * batch.sweeps + 1) * sizeof(size_t) +
                  batch.setups * sizeof(dialarc_setup));
    if (all && room) {
        all->n = batch.sweeps;
        all->assessment =
            (dialarc_batch_result *)calloc(all->n + 1, sizeof *all->assessment);
        if (all->assessment)
            status = darc_batch(setups, sweeps, threads, room, &batch, all);
    }
    free(room);
    if (status < DIALARC_OK)
        darc_assessments_free(all);
    else
        *made = all;
    return status;
}

static inline size_t darc_assessments_count(const darc_assessments *assessments)
{
    return assessments ? assessments->n : 0;
}

static inline dialarc_status darc_assessments_get(const darc_assessments *assessments,
                                                  size_t which,
                                                  dialarc_batch_result *assessment)
{
    if (!assessments)
        return DIALARC_ERR_NULL;
    if (!(which < assessments->n))
        return DIALARC_ERR_SIZE;
    *assessment = assessments->assessment[which];
    return DIALARC_OK;
}

#endif
