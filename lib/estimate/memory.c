/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/memory.h"

#include <stdbool.h>
#include <stdlib.h>

#define LEAST_ROOM 64

static bool reserve_readings(darc_readings *r, size_t n)
{
    r->crank_deg = malloc(n * sizeof *r->crank_deg);
    r->lift_mm = malloc(n * sizeof *r->lift_mm);
    r->row = malloc(n * sizeof *r->row);
    return r->crank_deg && r->lift_mm && r->row;
}

static void release_readings(darc_readings *r)
{
    free(r->crank_deg);
    free(r->lift_mm);
    free(r->row);
    *r = (darc_readings){NULL, NULL, NULL};
}

void darc_memory_release(darc_memory *m)
{
    release_readings(&m->readings);
    release_readings(&m->copy);
    darc_fit_release(&m->fit);
    darc_fit_release(&m->other);
    darc_fit_release(&m->trial);
    free(m->pump_crank_deg);
    free(m->sample_mm);
    m->pump_crank_deg = m->sample_mm = NULL;
    m->capacity = 0;
}

dialarc_status darc_memory_reserve(darc_memory *m, size_t n)
{
    if (m->capacity && n <= m->capacity)
        return DIALARC_OK;
    size_t room = LEAST_ROOM;
    while (room < n)
        room *= 2;
    darc_memory_release(m);
    m->pump_crank_deg = malloc(room * sizeof *m->pump_crank_deg);
    m->sample_mm = malloc(room * sizeof *m->sample_mm);
    bool got = m->pump_crank_deg && m->sample_mm;
    got = reserve_readings(&m->readings, room) && got;
    got = reserve_readings(&m->copy, room) && got;
    got = darc_fit_reserve(&m->fit, room) && got;
    got = darc_fit_reserve(&m->other, room) && got;
    got = darc_fit_reserve(&m->trial, room) && got;
    if (!got) {
        darc_memory_release(m);
        return DIALARC_ERR_NO_MEMORY;
    }
    m->capacity = room;
    return DIALARC_OK;
}

/* Room for a sweep; one that is too long is refused before so much memory is asked for.
 */
static dialarc_status make_room(darc_memory *m, const dialarc_sweep *sweep)
{
    return sweep->n > DIALARC_SWEEP_MAX ? DIALARC_ERR_SIZE
                                        : darc_memory_reserve(m, sweep->n);
}

dialarc_status darc_memory_open(darc_memory *m, const dialarc_setup *setup,
                                const dialarc_camtable *table, double table_sd_mm,
                                const dialarc_sweep *sweep, darc_problem *problem)
{
    dialarc_status status = make_room(m, sweep);
    return status != DIALARC_OK ? status
                                : darc_problem_make(setup, table, table_sd_mm, sweep,
                                                    &m->readings, problem);
}

dialarc_status darc_memory_open_turn(darc_memory *m, const dialarc_setup *setup,
                                     const dialarc_sweep *sweep, darc_problem *problem)
{
    dialarc_status status = make_room(m, sweep);
    return status != DIALARC_OK
               ? status
               : darc_problem_make_turn(setup, sweep, &m->readings, problem);
}
