/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the tests of fits share: a simulated sweep, the problem that it poses, and the
 * memory in which it is fitted.
 */
#ifndef FIT_KIT_H
#define FIT_KIT_H

#include <math.h>

#include "estimate/memory.h"
#include "kit/check_main.h"
#include "kit/sweep_kit.h"

typedef struct bench {
    sim_job job;
    sim_sweep sweep;
    darc_memory memory;
    darc_problem problem;
} bench;

/* Simulates a job and opens it by a setup; what is held is freed by clear_bench(). */
static inline void set_bench(bench *b, const sim_job *job, const dialarc_setup *setup,
                             sim_random *r)
{
    b->job = *job;
    b->memory = (darc_memory){.capacity = 0};
    sim_run(job, r, &b->sweep);
    dialarc_sweep taken = kit_sweep(&b->sweep);
    ck_assert_int_eq(darc_memory_open(&b->memory, setup, NULL, 0.0, &taken, &b->problem),
                     DIALARC_OK);
}

static inline void clear_bench(bench *b)
{
    darc_memory_release(&b->memory);
}

/* Lift at TDC that a fit gives, mm. */
static inline double fitted_lift(const darc_fit *fit)
{
    darc_lift lift;
    darc_model_lift(&fit->model, fit->param,
                    -fit->param[DARC_FOOT] / fit->model.crank_per_pump, &lift);
    return lift.mm;
}

/* Crank degrees by which a foot is off, whichever lobe it is of. */
static inline double foot_off(const sim_job *job, double foot_crank_deg)
{
    return remainder(foot_crank_deg - job->foot_crank_deg,
                     job->crank_per_pump * 360.0 / job->cam.lobes);
}

#endif
