/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/cam.h>

#include <math.h>

#include "cam/camlift.h"
#include "cam/camtable.h"
#include "cam/motion.h"
#include "core/finite.h"

static double fall_deg(const dialarc_cam *cam)
{
    double end = 360.0 / cam->lobes - cam->base_dwell_deg;
    return end - cam->rise_deg - cam->top_dwell_deg;
}

static dialarc_law fall_law(const dialarc_cam *cam)
{
    return cam->fall_law == DIALARC_LAW_UNKNOWN ? cam->law : cam->fall_law;
}

dialarc_status dialarc_cam_check(const dialarc_cam *cam)
{
    if (!cam)
        return DIALARC_ERR_NULL;
    if (!isfinite(cam->lift_mm) || !isfinite(cam->rise_deg) ||
        !isfinite(cam->top_dwell_deg) || !isfinite(cam->base_dwell_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (cam->lobes < 1 || cam->lobes > 16)
        return DIALARC_ERR_LOBES;
    if (!darc_positive(cam->lift_mm))
        return DIALARC_ERR_LIFT;
    if (!(darc_positive(cam->rise_deg) && cam->top_dwell_deg >= 0.0 &&
          cam->base_dwell_deg >= 0.0 && darc_positive(fall_deg(cam))))
        return DIALARC_ERR_SEGMENTS;
    if (cam->lobe_table)
        return darc_tabled_fits(cam) ? DIALARC_OK : DIALARC_ERR_SEGMENTS;
    dialarc_status status = darc_law_check(cam->law, cam->blend);
    return status == DIALARC_OK ? darc_law_check(fall_law(cam), cam->blend) : status;
}

dialarc_status dialarc_cam_fall_deg(const dialarc_cam *cam, double *fall_pump_deg)
{
    if (!fall_pump_deg)
        return DIALARC_ERR_NULL;
    dialarc_status status = dialarc_cam_check(cam);
    if (status == DIALARC_OK)
        *fall_pump_deg = fall_deg(cam);
    return status;
}

/* Lift, rate and acceleration in mm and pump degrees; the cam and the angle are good. */
static darc_motion motion_at(const dialarc_cam *cam, double pump_deg)
{
    if (cam->lobe_table) {
        dialarc_cam_motion t = darc_tabled_motion(cam, pump_deg);
        return (darc_motion){t.lift_mm, t.rate_mm_per_pump_deg,
                             t.acceleration_mm_per_pump_deg2};
    }
    double pitch = 360.0 / cam->lobes, length = cam->rise_deg;
    double r = fmod(pump_deg, 360.0); /* exact: keeps far angles periodic */
    r = fmod(r, pitch);
    r = r < 0.0 ? r + pitch : r;
    darc_motion m;
    if (r < cam->rise_deg + cam->top_dwell_deg) {
        m = darc_flank_motion(cam->law, darc_blend(cam->blend), r / length);
    } else {
        length = fall_deg(cam);
        double left = pitch - cam->base_dwell_deg - r;
        m = darc_flank_motion(fall_law(cam), darc_blend(cam->blend), left / length);
        m.v = -m.v;
    }
    m.s *= cam->lift_mm;
    m.v *= cam->lift_mm / length;
    m.a *= cam->lift_mm / (length * length);
    return m;
}

static dialarc_status motion(const dialarc_cam *cam, double pump_deg, darc_motion *m)
{
    dialarc_status status = dialarc_cam_check(cam);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(pump_deg))
        return DIALARC_ERR_NOT_FINITE;
    *m = motion_at(cam, pump_deg);
    return DIALARC_OK;
}

dialarc_status dialarc_cam_lift(const dialarc_cam *cam, double pump_deg, double *lift_mm)
{
    darc_motion m;
    dialarc_status status = lift_mm ? motion(cam, pump_deg, &m) : DIALARC_ERR_NULL;
    if (status == DIALARC_OK)
        *lift_mm = m.s;
    return status;
}

dialarc_status dialarc_cam_rate(const dialarc_cam *cam, double pump_deg,
                                double *rate_mm_per_pump_deg)
{
    darc_motion m;
    dialarc_status status =
        rate_mm_per_pump_deg ? motion(cam, pump_deg, &m) : DIALARC_ERR_NULL;
    if (status == DIALARC_OK)
        *rate_mm_per_pump_deg = m.v;
    return status;
}

dialarc_status dialarc_cam_acceleration(const dialarc_cam *cam, double pump_deg,
                                        double *acceleration_mm_per_pump_deg2)
{
    darc_motion m;
    dialarc_status status =
        acceleration_mm_per_pump_deg2 ? motion(cam, pump_deg, &m) : DIALARC_ERR_NULL;
    if (status == DIALARC_OK)
        *acceleration_mm_per_pump_deg2 = m.a;
    return status;
}

/* Checks common to the array forms. */
static dialarc_status check_arrays(const dialarc_cam *cam, size_t n, const double *in,
                                   const double *out)
{
    dialarc_status status = dialarc_cam_check(cam);
    if (status != DIALARC_OK)
        return status;
    return n == 0 || (in && out) ? DIALARC_OK : DIALARC_ERR_NULL;
}

dialarc_status dialarc_cam_lift_array(const dialarc_cam *cam, size_t n,
                                      const double *pump_deg, double *lift_mm)
{
    dialarc_status status = check_arrays(cam, n, pump_deg, lift_mm);
    if (status != DIALARC_OK || n == 0)
        return status;
    if (!cam->lobe_table && darc_cam_lift_many(cam, n, pump_deg, lift_mm))
        return DIALARC_OK;
    if (!darc_all_finite(n, pump_deg))
        return DIALARC_ERR_NOT_FINITE;
    for (size_t i = 0; i < n; i++)
        lift_mm[i] = motion_at(cam, pump_deg[i]).s;
    return DIALARC_OK;
}

dialarc_status dialarc_cam_rate_array(const dialarc_cam *cam, size_t n,
                                      const double *pump_deg,
                                      double *rate_mm_per_pump_deg)
{
    dialarc_status status = check_arrays(cam, n, pump_deg, rate_mm_per_pump_deg);
    if (status != DIALARC_OK)
        return status;
    if (!darc_all_finite(n, pump_deg))
        return DIALARC_ERR_NOT_FINITE;
    for (size_t i = 0; i < n; i++)
        rate_mm_per_pump_deg[i] = motion_at(cam, pump_deg[i]).v;
    return DIALARC_OK;
}

dialarc_status dialarc_cam_acceleration_array(const dialarc_cam *cam, size_t n,
                                              const double *pump_deg,
                                              double *acceleration_mm_per_pump_deg2)
{
    dialarc_status status = check_arrays(cam, n, pump_deg, acceleration_mm_per_pump_deg2);
    if (status != DIALARC_OK)
        return status;
    if (!darc_all_finite(n, pump_deg))
        return DIALARC_ERR_NOT_FINITE;
    for (size_t i = 0; i < n; i++)
        acceleration_mm_per_pump_deg2[i] = motion_at(cam, pump_deg[i]).a;
    return DIALARC_OK;
}

/* The cam, the flank and the lift are good. */
static double angle_at(const dialarc_cam *cam, double lift_mm, dialarc_flank flank)
{
    if (cam->lobe_table)
        return darc_tabled_angle(cam, lift_mm, flank);
    double s = lift_mm / cam->lift_mm, blend = darc_blend(cam->blend);
    if (flank == DIALARC_FLANK_RISING)
        return cam->rise_deg * darc_flank_inverse(cam->law, blend, s);
    double end = 360.0 / cam->lobes - cam->base_dwell_deg;
    double angle = end - fall_deg(cam) * darc_flank_inverse(fall_law(cam), blend, s);
    /* no rounding into the dwell */
    return fmax(angle, cam->rise_deg + cam->top_dwell_deg);
}

static dialarc_status check_flank(dialarc_flank flank)
{
    return flank == DIALARC_FLANK_RISING || flank == DIALARC_FLANK_FALLING
               ? DIALARC_OK
               : DIALARC_ERR_FLANK;
}

dialarc_status dialarc_cam_angle_at_lift(const dialarc_cam *cam, double lift_mm,
                                         dialarc_flank flank, double *pump_deg)
{
    return dialarc_cam_angle_at_lift_array(cam, 1, &lift_mm, flank, pump_deg);
}

dialarc_status dialarc_cam_angle_at_lift_array(const dialarc_cam *cam, size_t n,
                                               const double *lift_mm, dialarc_flank flank,
                                               double *pump_deg)
{
    dialarc_status status = check_arrays(cam, n, lift_mm, pump_deg);
    if (status == DIALARC_OK)
        status = check_flank(flank);
    if (status != DIALARC_OK)
        return status;
    if (!darc_all_finite(n, lift_mm))
        return DIALARC_ERR_NOT_FINITE;
    for (size_t i = 0; i < n; i++)
        if (!(lift_mm[i] >= 0.0 && lift_mm[i] <= cam->lift_mm))
            return DIALARC_ERR_LIFT;
    for (size_t i = 0; i < n; i++)
        pump_deg[i] = angle_at(cam, lift_mm[i], flank);
    return DIALARC_OK;
}
