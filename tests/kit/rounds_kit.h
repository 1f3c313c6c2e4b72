/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the test programs of the rounds share: a shop with its dial, with and without a
 * known cam.
 */
#ifndef ROUNDS_KIT_H
#define ROUNDS_KIT_H

#include <check.h>
#include <dialarc/rounds.h>
#include <math.h>

#define PI   3.14159265358979323846
#define LOW  0.85
#define HIGH 0.90

static inline dialarc_setup shop(void)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.lift_low_mm = LOW;
    s.lift_high_mm = HIGH;
    s.tdc_sd_deg = 0.1;
    s.dial_sd_mm = 0.003;
    s.dial_step_mm = 0.01;
    s.dial_hysteresis_mm = 0.005;
    s.dial_error_mm = 0.0;
    return s;
}

/* The same with a pump of known cam, total lift 2.2 mm in 40 pump degrees. */
static inline dialarc_setup shop_with_cam(void)
{
    dialarc_setup s = shop();
    s.cam_law = DIALARC_LAW_HARMONIC;
    s.cam_lift_mm = 2.2;
    s.rise_deg = 40.0;
    s.top_dwell_deg = 0.0;
    s.base_dwell_deg = 5.0;
    return s;
}

static inline dialarc_plan plan_of(dialarc_setup setup, size_t n,
                                   const dialarc_round *rounds)
{
    dialarc_plan plan;
    ck_assert_int_eq(dialarc_plan_rounds(&setup, n, rounds, &plan), DIALARC_OK);
    return plan;
}

static inline double round_half(double x)
{
    return floor(x + 0.5);
}

#endif
