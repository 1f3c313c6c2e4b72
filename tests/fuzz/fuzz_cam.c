/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any cam and any angles and lifts: motion, inverse, arrays. */
#include <dialarc/cam.h>

#include "fuzz_kit.h"

const char fuzz_name[] = "cam";

#define MOST 8

static dialarc_cam any_cam(fuzz_bytes *b)
{
    unsigned words = fuzz_byte(b);
    dialarc_cam c = {.lobes = (int)(fuzz_byte(b) % 19) - 1,
                     .law = (dialarc_law)((int)(words % 12) - 1),
                     .fall_law = (dialarc_law)((int)(words / 12 % 12) - 1)};
    c.lift_mm = fuzz_field(b, 0.1, 4.0);
    c.rise_deg = fuzz_field(b, 0.1, 90.0);
    c.top_dwell_deg = fuzz_field(b, 0.0, 20.0);
    c.base_dwell_deg = fuzz_field(b, 0.0, 40.0);
    c.blend = fuzz_field(b, 0.0, 0.5);
    if (words & 1) { /* what is not known in a setup has a usual value here */
        c.lift_mm = isnan(c.lift_mm) ? 2.2 : c.lift_mm;
        c.rise_deg = isnan(c.rise_deg) ? 150.0 / (c.lobes < 1 ? 1 : c.lobes) : c.rise_deg;
        c.top_dwell_deg = isnan(c.top_dwell_deg) ? 0.0 : c.top_dwell_deg;
        c.base_dwell_deg = isnan(c.base_dwell_deg) ? 0.0 : c.base_dwell_deg;
        c.blend = isnan(c.blend) ? 0.0 : c.blend;
    }
    return c;
}

/* A cam in the range of real ones and far beyond, where numbers are held to promises. */
static int sensible(const dialarc_cam *c)
{
    double fall = 0.0;
    return dialarc_cam_fall_deg(c, &fall) == DIALARC_OK && c->lift_mm > 1e-6 &&
           c->lift_mm < 1e6 && c->rise_deg > 1e-6 && fall > 1e-6 &&
           (c->blend == 0.0 || c->blend > 1e-6);
}

/* A bound of the slope, mm per degree: no law moves faster than 2.2 lifts per flank. */
static double steepest(const dialarc_cam *c)
{
    double fall = 0.0;
    dialarc_cam_fall_deg(c, &fall);
    return 2.2 * c->lift_mm / fmin(c->rise_deg, fall);
}

static void check_inverse(const dialarc_cam *c, double lift, dialarc_flank flank)
{
    double angle, back;
    FUZZ_CHECK(dialarc_cam_angle_at_lift(c, lift, flank, &angle) == DIALARC_OK);
    if (flank == DIALARC_FLANK_RISING)
        FUZZ_CHECK(angle >= 0.0 && angle <= c->rise_deg);
    else
        FUZZ_CHECK(angle >= c->rise_deg && angle <= 360.0 / c->lobes * (1.0 + 1e-15));
    FUZZ_CHECK(dialarc_cam_lift(c, angle, &back) == DIALARC_OK);
    /* The header's 1e-12, and what a unit of the angle's last place makes of it. */
    FUZZ_CHECK(fabs(back - lift) <= 1e-12 * c->lift_mm + 4e-16 * 360.0 * steepest(c));
}

static void check_angle(const dialarc_cam *c, double angle)
{
    double lift, rate, acceleration;
    FUZZ_CHECK(dialarc_cam_lift(c, angle, &lift) == DIALARC_OK);
    FUZZ_CHECK(dialarc_cam_rate(c, angle, &rate) == DIALARC_OK);
    FUZZ_CHECK(dialarc_cam_acceleration(c, angle, &acceleration) == DIALARC_OK);
    FUZZ_CHECK(lift >= 0.0 && lift <= c->lift_mm);
    FUZZ_CHECK(isfinite(rate) && isfinite(acceleration));
    check_inverse(c, lift, DIALARC_FLANK_RISING);
    check_inverse(c, lift, DIALARC_FLANK_FALLING);
}

/* Arrays say what single calls say, and nothing is written when they refuse. */
static void check_arrays(const dialarc_cam *c, size_t n, const double *x)
{
    double many[MOST], one;
    for (size_t i = 0; i < MOST; i++)
        many[i] = -7.0;
    dialarc_status status = dialarc_cam_lift_array(c, n, x, many);
    for (size_t i = 0; i < n; i++) {
        if (status != DIALARC_OK) {
            FUZZ_CHECK(many[i] == -7.0);
            continue;
        }
        FUZZ_CHECK(dialarc_cam_lift(c, x[i], &one) == DIALARC_OK);
        if (sensible(c) && fabs(x[i]) <= 1e9) {
            double slip = 4e-16 * (fabs(x[i]) + 360.0) * steepest(c);
            FUZZ_CHECK(fabs(many[i] - one) <= 4e-15 * c->lift_mm + slip);
        }
    }
    dialarc_cam_rate_array(c, n, x, many);
    dialarc_cam_acceleration_array(c, n, x, many);
    dialarc_cam_angle_at_lift_array(c, n, x, DIALARC_FLANK_RISING, many);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_bytes b = {data, size};
    dialarc_cam cam = any_cam(&b);
    double x[MOST] = {0.0}, y;
    size_t n = fuzz_byte(&b) % MOST;
    for (size_t i = 0; i < n; i++)
        x[i] = fuzz_number(&b);
    check_arrays(&cam, n, x);
    int good = sensible(&cam);
    for (size_t i = 0; i < n; i++) {
        dialarc_status status = dialarc_cam_angle_at_lift(
            &cam, x[i], (dialarc_flank)((int)(data[0] % 3) - 1), &y);
        FUZZ_CHECK(status <= DIALARC_OK);
        if (good && isfinite(x[i]))
            check_angle(&cam, x[i]);
    }
    return 0;
}
