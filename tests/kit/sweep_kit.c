/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit/sweep_kit.h"

#include <stdlib.h>
#include <string.h>

sim_job kit_job(sim_random *r)
{
    static const double graduation[] = {0.002, 0.005, 0.01};
    sim_job j;
    memset(&j, 0, sizeof j);
    j.cam.lobes = sim_integer(r, 3, 6);
    double pitch = 360.0 / j.cam.lobes;
    j.cam.lift_mm = sim_uniform(r, 2.0, 2.8);
    j.cam.rise_deg = pitch * sim_uniform(r, 0.38, 0.52);
    j.cam.top_deg = pitch * sim_uniform(r, 0.01, 0.08);
    j.cam.base_deg = pitch * sim_uniform(r, 0.06, 0.2);
    j.cam.rise_law = j.cam.fall_law = sim_integer(r, 0, SIM_LAWS - 1);
    j.cam.blend = 0.25;
    j.crank_per_pump = 2.0;
    j.foot_crank_deg = -2.0 * sim_angle_of(&j.cam, sim_uniform(r, 0.8, 1.1));
    j.slack_deg = sim_uniform(r, 0.5, 12.0);
    j.hysteresis_mm = sim_uniform(r, 0.0, 0.004);
    j.zero_mm = sim_uniform(r, -0.02, 0.02);
    j.step_deg = sim_uniform(r, 1.0, 3.0);
    j.start_deg = j.foot_crank_deg - 2.0 * pitch * sim_uniform(r, 0.2, 0.4);
    j.end_deg = j.start_deg + 2.0 * pitch * sim_uniform(r, 0.85, 1.1);
    j.two_way = 1;
    j.angle_sd_deg = sim_uniform(r, 0.1, 0.3);
    j.dial_sd_mm = sim_uniform(r, 0.002, 0.004);
    j.dial_step_mm = graduation[sim_integer(r, 0, 2)];
    j.dial_turn_mm = 1.0;
    return j;
}

void kit_few(sim_job *j, sim_random *r)
{
    j->two_way = 0;
    j->start_deg = j->foot_crank_deg - sim_uniform(r, 0.3, 0.9) * 2.0 * j->cam.base_deg;
    j->end_deg = sim_uniform(r, 5.0, 12.0);
    j->step_deg = (j->end_deg - j->start_deg) / 9.0;
    j->end_deg += 0.01;
}

dialarc_setup kit_setup(const sim_job *j, int known)
{
    dialarc_setup s = dialarc_setup_unknown(j->cam.lobes);
    s.crank_per_pump = j->crank_per_pump;
    s.angle_sd_deg = j->angle_sd_deg;
    s.tdc_sd_deg = 0.0;
    s.dial_sd_mm = j->dial_sd_mm;
    s.dial_step_mm = j->dial_step_mm;
    s.dial_turn_mm = j->dial_turn_mm;
    s.dial_hysteresis_mm = 0.004;
    s.dial_error_mm = s.wheel_error_deg = s.cam_sd_mm = s.rise_sd_deg = 0.0;
    if (known) {
        s.cam_law = (dialarc_law)(j->cam.rise_law + 1);
        s.rise_deg = j->cam.rise_deg;
        s.top_dwell_deg = j->cam.top_deg;
        s.base_dwell_deg = j->cam.base_deg;
    }
    return s;
}

dialarc_sweep kit_sweep(const sim_sweep *s)
{
    return (dialarc_sweep){s->n, s->crank_deg, s->dial_mm, NULL};
}

int kit_count(int full)
{
    return getenv("DIALARC_TEST_LIGHT") ? (full + 9) / 10 : full;
}

int kit_skips(int k)
{
    return getenv("DIALARC_TEST_LIGHT") && k % 5 != 0;
}
