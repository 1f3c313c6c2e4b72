/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/timing_shift.h>

#include <math.h>

#include "core/finite.h"

static dialarc_status check(const dialarc_cam *cam, double crank_per_pump, double other,
                            size_t n, const double *in, const double *out)
{
    dialarc_status status = dialarc_cam_check(cam);
    if (status != DIALARC_OK)
        return status;
    if (n > 0 && (!in || !out))
        return DIALARC_ERR_NULL;
    if (!isfinite(crank_per_pump) || !isfinite(other) || !darc_all_finite(n, in))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(crank_per_pump))
        return DIALARC_ERR_RATIO;
    for (size_t i = 0; i < n; i++)
        if (!(in[i] >= 0.0 && in[i] <= cam->lift_mm))
            return DIALARC_ERR_LIFT;
    return DIALARC_OK;
}

/* Angle of a lift that has been checked. */
static double angle_of(const dialarc_cam *cam, double lift_mm)
{
    double pump_deg = 0.0;
    dialarc_cam_angle_at_lift(cam, lift_mm, DIALARC_FLANK_RISING, &pump_deg);
    return pump_deg;
}

dialarc_status dialarc_timing_shift_advance(const dialarc_cam *cam, double crank_per_pump,
                                            double from_mm, size_t n,
                                            const double *lift_mm,
                                            double *advance_crank_deg)
{
    dialarc_status status =
        check(cam, crank_per_pump, from_mm, n, lift_mm, advance_crank_deg);
    if (status != DIALARC_OK)
        return status;
    if (!(from_mm >= 0.0 && from_mm <= cam->lift_mm))
        return DIALARC_ERR_LIFT;
    double from_deg = angle_of(cam, from_mm);
    for (size_t i = 0; i < n; i++)
        advance_crank_deg[i] = crank_per_pump * (angle_of(cam, lift_mm[i]) - from_deg);
    return DIALARC_OK;
}

dialarc_status dialarc_timing_shift_lift(const dialarc_cam *cam, double crank_per_pump,
                                         double advance_crank_deg, size_t n,
                                         const double *lift_mm, double *moved_mm)
{
    dialarc_status status =
        check(cam, crank_per_pump, advance_crank_deg, n, lift_mm, moved_mm);
    if (status != DIALARC_OK)
        return status;
    double by_deg = advance_crank_deg / crank_per_pump;
    for (size_t i = 0; i < n; i++) {
        double at = angle_of(cam, lift_mm[i]) + by_deg;
        if (!(at >= 0.0 && at <= cam->rise_deg * (1.0 + 1e-12)))
            return DIALARC_ERR_START;
    }
    for (size_t i = 0; i < n; i++)
        dialarc_cam_lift(cam, fmin(angle_of(cam, lift_mm[i]) + by_deg, cam->rise_deg),
                         &moved_mm[i]);
    return DIALARC_OK;
}
