/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the tests of whole-turn sweeps share: pumps whose lobes differ, and sweeps over a
 * whole turn of them.
 */
#ifndef LOBES_KIT_H
#define LOBES_KIT_H

#include <check.h>
#include <dialarc/lobes.h>
#include <string.h>

#include "kit/simulate.h"
#include "kit/sweep_kit.h"

/*
 * A job of kit_job() over a pump turn and up to 30 crank degrees more, one way or there
 * and back: lobes late by 0.3 crank degrees and higher by 0.015 mm (sd), run-out up to
 * 0.03 mm.
 */
static inline sim_job kit_turn(sim_random *r)
{
    sim_job j = kit_job(r);
    for (int k = 0; k < j.cam.lobes; k++) {
        j.cam.late_deg[k] = 0.15 * sim_normal(r); /* pump degrees */
        j.cam.extra_mm[k] = 0.015 * sim_normal(r);
    }
    j.cam.run_out_mm = sim_uniform(r, 0.0, 0.03);
    j.cam.run_out_phase_deg = sim_uniform(r, 0.0, 360.0);
    j.start_deg = j.foot_crank_deg - sim_uniform(r, 5.0, 30.0);
    j.end_deg = j.start_deg + 720.0 + sim_uniform(r, 0.0, 30.0);
    j.two_way = sim_integer(r, 0, 1);
    return j;
}

/* By how much a lobe comes earlier than the first, crank degrees, and how much more it
 * lifts, mm. */
static inline double kit_advance(const sim_job *j, int lobe)
{
    return -j->crank_per_pump * (j->cam.late_deg[lobe] - j->cam.late_deg[0]);
}

static inline double kit_extra(const sim_job *j, int lobe)
{
    return j->cam.extra_mm[lobe] - j->cam.extra_mm[0];
}

/* Pump degrees from firing TDC to the highest run-out. */
static inline double kit_phase(const sim_job *j)
{
    return j->cam.run_out_phase_deg + j->foot_crank_deg / j->crank_per_pump;
}

/* A four-lobe pump with errors, there and back in steps of 2 degrees. */
static inline sim_job kit_pump(double noise)
{
    sim_job j;
    memset(&j, 0, sizeof j);
    j.cam = (sim_cam){.lobes = 4,
                      .lift_mm = 2.3,
                      .rise_deg = 38.0,
                      .top_deg = 3.0,
                      .base_deg = 12.0,
                      .rise_law = 2,
                      .fall_law = 2,
                      .late_deg = {0.1, -0.2, 0.35, 0.05},
                      .extra_mm = {0.0, 0.02, -0.015, 0.03},
                      .run_out_mm = 0.025,
                      .run_out_phase_deg = 250.0};
    j.crank_per_pump = 2.0;
    j.foot_crank_deg = -30.0;
    j.slack_deg = 4.0;
    j.hysteresis_mm = 0.003;
    j.zero_mm = 0.4;
    j.start_deg = -52.0;
    j.end_deg = 690.0;
    j.step_deg = 2.0;
    j.two_way = 1;
    j.angle_sd_deg = 0.2 * noise;
    j.dial_sd_mm = 0.003 * noise;
    j.dial_turn_mm = 1.0;
    return j;
}

static inline dialarc_lobes kit_estimate(const dialarc_setup *setup,
                                         const dialarc_sweep *record)
{
    dialarc_workspace *w = dialarc_workspace_new();
    dialarc_lobes got;
    ck_assert_int_eq(dialarc_lobes_estimate(w, setup, record, NULL, &got), DIALARC_OK);
    dialarc_workspace_free(w);
    return got;
}

/* Lobes of a simulated sweep, which is left in `sweep`. */
static inline dialarc_lobes kit_measure(const sim_job *j, int known, uint64_t seed,
                                        sim_sweep *sweep)
{
    sim_random r;
    sim_seed(&r, seed);
    sim_run(j, &r, sweep);
    dialarc_setup setup = kit_setup(j, known);
    dialarc_sweep record = kit_sweep(sweep);
    return kit_estimate(&setup, &record);
}

#endif
