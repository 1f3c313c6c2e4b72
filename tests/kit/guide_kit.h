/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the tests of plans share: pumps to be set, where they can be read, and sweeps. */
#ifndef GUIDE_KIT_H
#define GUIDE_KIT_H

#include <dialarc/assess.h>
#include <dialarc/design.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"

#define KIT_MIDDLE 0.95 /* lift that is thought of, mm */
#define KIT_MOST   60   /* readings of a plan */

/* A pump of kit_job() whose lift at TDC is within 0.15 mm of the middle. */
static inline sim_job kit_pump(sim_random *r)
{
    sim_job job = kit_job(r);
    double lift = sim_uniform(r, KIT_MIDDLE - 0.15, KIT_MIDDLE + 0.15);
    job.foot_crank_deg = -2.0 * sim_angle_of(&job.cam, lift);
    return job;
}

/* From a third of a lobe before the foot to 20 degrees after TDC, every degree. */
static inline dialarc_reach kit_reach(const sim_job *job, int both_ways)
{
    double pitch = job->crank_per_pump * 360.0 / job->cam.lobes;
    return (dialarc_reach){.first_crank_deg = ceil(job->foot_crank_deg - 0.35 * pitch),
                           .last_crank_deg = 20.0,
                           .step_crank_deg = 1.0,
                           .both_ways = both_ways};
}

/* n angles, evenly spaced over the reach; both ways half of them there, half back. */
static inline void kit_even(const dialarc_reach *reach, size_t n, double *crank_deg)
{
    size_t forward = reach->both_ways ? (n + 1) / 2 : n, k = 0;
    double low = reach->first_crank_deg, way = reach->last_crank_deg - low;
    for (; k < forward; k++)
        crank_deg[k] = low + way * (double)k / (double)(forward - 1);
    for (; k < n; k++)
        crank_deg[k] = reach->last_crank_deg -
                       way * ((double)(k - forward) + 0.5) / (double)(n - forward);
}

/* Takes the readings of a plan. */
static inline dialarc_sweep kit_take(sim_job *job, size_t n, const double *crank_deg,
                                     sim_random *r, sim_sweep *sweep)
{
    job->path_deg = crank_deg;
    job->path_n = n;
    sim_run(job, r, sweep);
    return kit_sweep(sweep);
}

static inline int kit_stopped(const dialarc_timing *t)
{
    return dialarc_findings_worst(&t->findings) == DIALARC_SEVERITY_STOP;
}

#endif
