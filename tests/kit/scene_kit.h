/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the tests of the path model share: a model, its parameters and a record of its
 * own.
 */
#ifndef SCENE_KIT_H
#define SCENE_KIT_H

#include <string.h>

#include "kit/simulate.h"
#include "model/path.h"

#define MOST 1000

typedef struct scene {
    darc_model model;
    darc_record record;
    double param[DARC_MAX_PARAM];
    double angle_sd_deg;
    double crank[MOST], lift[MOST];
    size_t row[MOST];
} scene;

static inline void clear(scene *s)
{
    memset(s, 0, sizeof *s);
    s->record.crank_deg = s->crank;
    s->record.lift_mm = s->lift;
    s->record.row = s->row;
    s->model.crank_per_pump = 2.0;
    s->model.blend = 0.25;
}

static inline void add_pass(scene *s, sim_random *r, double from, double to, int n,
                            darc_start start)
{
    darc_record *rec = &s->record;
    size_t begin = rec->n;
    for (int k = 0; k < n; k++)
        s->crank[rec->n++] = from + (to - from) * (k + sim_uniform(r, 0.1, 0.9)) / n;
    rec->pass[rec->passes++] = (darc_pass){begin, rec->n, to > from ? 1 : -1, start};
}

#endif
