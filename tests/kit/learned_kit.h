/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pumps of one type: a full sweep from which the cam is learned, and quick checks. */
#ifndef LEARNED_KIT_H
#define LEARNED_KIT_H

#include <string.h>

#include "kit/simulate.h"
#include "kit/sweep_kit.h"

#define POINTS 240 /* of a learned lobe */

static inline sim_cam draw_cam(sim_random *r)
{
    sim_cam c;
    memset(&c, 0, sizeof c);
    c.lobes = sim_integer(r, 3, 6);
    double pitch = 360.0 / c.lobes;
    c.lift_mm = sim_uniform(r, 2.0, 2.8);
    c.rise_deg = pitch * sim_uniform(r, 0.40, 0.50);
    c.top_deg = pitch * sim_uniform(r, 0.0, 0.06);
    c.base_deg = pitch * sim_uniform(r, 0.08, 0.18);
    c.rise_law = c.fall_law = sim_integer(r, 0, SIM_LAWS - 1);
    c.blend = 0.25;
    return c;
}

static inline sim_job draw_job(const sim_cam *cam, sim_random *r)
{
    sim_job j;
    memset(&j, 0, sizeof j);
    j.cam = *cam;
    j.crank_per_pump = 2.0;
    j.foot_crank_deg = -2.0 * cam->rise_deg * sim_uniform(r, 0.40, 0.46);
    j.slack_deg = sim_uniform(r, 0.5, 6.0);
    j.hysteresis_mm = sim_uniform(r, 0.0, 0.004);
    j.angle_sd_deg = 0.2;
    j.dial_sd_mm = 0.003;
    j.dial_step_mm = 0.005;
    j.dial_turn_mm = 1.0;
    return j;
}

static inline sim_job full_sweep(const sim_cam *cam, sim_random *r)
{
    sim_job j = draw_job(cam, r);
    j.two_way = 1;
    j.step_deg = 1.0;
    j.start_deg = j.foot_crank_deg - 240.0 / cam->lobes;
    j.end_deg = j.start_deg + 760.0 / cam->lobes;
    return j;
}

/* Ten readings in running direction, from the base dwell past TDC. */
static inline sim_job quick_check(const sim_cam *cam, sim_random *r)
{
    sim_job j = draw_job(cam, r);
    j.start_deg = j.foot_crank_deg - 1.6 * cam->base_deg;
    double end = sim_uniform(r, 5.0, 12.0);
    j.step_deg = (end - j.start_deg) / 9.0;
    j.end_deg = end + 0.01;
    return j;
}

static inline dialarc_setup describe(const sim_job *j, int with_law)
{
    dialarc_setup s = dialarc_setup_unknown(j->cam.lobes);
    s.crank_per_pump = j->crank_per_pump;
    s.angle_sd_deg = j->angle_sd_deg;
    s.dial_sd_mm = j->dial_sd_mm;
    s.dial_step_mm = j->dial_step_mm;
    s.dial_turn_mm = j->dial_turn_mm;
    s.dial_hysteresis_mm = 0.004;
    s.tdc_sd_deg = 0.0;
    if (with_law) {
        s.cam_law = (dialarc_law)(DIALARC_LAW_HARMONIC + j->cam.rise_law);
        s.rise_deg = j->cam.rise_deg;
        s.top_dwell_deg = j->cam.top_deg;
        s.base_dwell_deg = j->cam.base_deg;
    }
    return s;
}

static inline dialarc_sweep record_of(const sim_sweep *s)
{
    return (dialarc_sweep){s->n, s->crank_deg, s->dial_mm, NULL};
}

#endif
