/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the tests of the estimate share: one good sweep, and the numbers of a result.
 */
#ifndef TIMING_KIT_H
#define TIMING_KIT_H

#include <dialarc/assess.h>
#include <stddef.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"

/* The readings of the sweep simulated last. */
static sim_sweep sweep;

static inline sim_job good_job(void)
{
    sim_job job = {.crank_per_pump = 2.0, .foot_crank_deg = -34.0, .slack_deg = 4.0};
    job.cam = (sim_cam){.lobes = 4, .lift_mm = 2.3, .rise_deg = 40.0, .top_deg = 3.0};
    job.cam.base_deg = 10.0;
    job.cam.rise_law = job.cam.fall_law = 4;
    job.hysteresis_mm = 0.003;
    job.start_deg = -80.0;
    job.end_deg = 60.0;
    job.step_deg = 2.0;
    job.two_way = 1;
    job.angle_sd_deg = 0.2;
    job.dial_sd_mm = 0.003;
    job.dial_step_mm = 0.01;
    job.dial_turn_mm = 1.0;
    return job;
}

static inline dialarc_sweep good_sweep(const sim_job *job)
{
    sim_random r;
    sim_seed(&r, 1001);
    sim_run(job, &r, &sweep);
    return kit_sweep(&sweep);
}

static inline dialarc_status estimate(const dialarc_setup *setup, const dialarc_sweep *s,
                                      double *residual, dialarc_timing *t)
{
    dialarc_workspace *ws = dialarc_workspace_new();
    dialarc_status status = dialarc_timing_estimate(ws, setup, s, residual, t);
    dialarc_workspace_free(ws);
    return status;
}

static inline dialarc_timing timing_of(const dialarc_setup *setup, const dialarc_sweep *s)
{
    dialarc_timing t;
    ck_assert_int_eq(estimate(setup, s, NULL, &t), DIALARC_OK);
    return t;
}

static inline dialarc_timing job_timing(const sim_job *job, const dialarc_setup *setup)
{
    dialarc_sweep s = good_sweep(job);
    return timing_of(setup, &s);
}

/* All that is a number, in the order of the struct. */
static inline size_t numbers(const dialarc_timing *t, double *to)
{
    size_t n = offsetof(dialarc_timing, law) / sizeof(double);
    memcpy(to, t, n * sizeof *to);
    to[n++] = t->law_probability;
    to[n++] = t->scatter;
    return n;
}

#define MOST_NUMBERS 128

static inline void check_same_bits(const dialarc_timing *a, const dialarc_timing *b)
{
    double x[MOST_NUMBERS], y[MOST_NUMBERS];
    size_t n = numbers(a, x);
    ck_assert_uint_lt(n, MOST_NUMBERS);
    numbers(b, y);
    for (size_t k = 0; k < n; k++)
        ck_assert_msg(memcmp(&x[k], &y[k], sizeof x[k]) == 0, "number %zu: %a, then %a",
                      k, x[k], y[k]);
    ck_assert_int_eq(a->law, b->law);
    ck_assert_int_eq(a->cam_learned, b->cam_learned);
    ck_assert_uint_eq(a->readings_used, b->readings_used);
    ck_assert_uint_eq(a->readings_rejected, b->readings_rejected);
    ck_assert_uint_eq(a->findings.present, b->findings.present);
}

#endif
