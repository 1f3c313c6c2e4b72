/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Cams in tests: their motion one angle at a time, and cams drawn at random.
 */
#ifndef CAM_KIT_H
#define CAM_KIT_H

#include <check.h>
#include <dialarc/cam.h>

#include "kit/rng_kit.h"

#define KIT_UNTOUCHED 12345.0

static inline double kit_lift(const dialarc_cam *cam, double pump_deg)
{
    double out = KIT_UNTOUCHED;
    ck_assert_int_eq(dialarc_cam_lift(cam, pump_deg, &out), DIALARC_OK);
    return out;
}

static inline double kit_rate(const dialarc_cam *cam, double pump_deg)
{
    double out = KIT_UNTOUCHED;
    ck_assert_int_eq(dialarc_cam_rate(cam, pump_deg, &out), DIALARC_OK);
    return out;
}

static inline double kit_acceleration(const dialarc_cam *cam, double pump_deg)
{
    double out = KIT_UNTOUCHED;
    ck_assert_int_eq(dialarc_cam_acceleration(cam, pump_deg, &out), DIALARC_OK);
    return out;
}

/* A cam with laws, lobes, segments and blend drawn at random. */
static inline dialarc_cam kit_draw(gsl_rng *rng)
{
    dialarc_cam cam = {.lobes = 1 + (int)gsl_rng_uniform_int(rng, 16)};
    double pitch = 360.0 / cam.lobes;
    cam.lift_mm = 0.5 + 3.0 * gsl_rng_uniform(rng);
    cam.rise_deg = pitch * (0.1 + 0.4 * gsl_rng_uniform(rng));
    cam.top_dwell_deg = 0.2 * pitch * gsl_rng_uniform(rng);
    cam.base_dwell_deg = 0.2 * pitch * gsl_rng_uniform(rng);
    cam.law = (dialarc_law)(1 + gsl_rng_uniform_int(rng, DIALARC_LAW_COUNT - 1));
    cam.fall_law = (dialarc_law)gsl_rng_uniform_int(rng, DIALARC_LAW_COUNT);
    cam.blend = 0.5 * gsl_rng_uniform(rng);
    return cam;
}

#endif
