/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include <dialarc/delivery.h>

#include "core/angle.h"
#include "core/finite.h"

static dialarc_status check_ratio(double crank_per_pump)
{
    if (!isfinite(crank_per_pump))
        return DIALARC_ERR_NOT_FINITE;
    return darc_positive(crank_per_pump) ? DIALARC_OK : DIALARC_ERR_RATIO;
}

static dialarc_status check_diameter(double diameter_mm)
{
    if (!isfinite(diameter_mm))
        return DIALARC_ERR_NOT_FINITE;
    return darc_positive(diameter_mm) ? DIALARC_OK : DIALARC_ERR_LENGTH;
}

/* Pump angle of port closing, with the checks that all of this module shares. */
static dialarc_status port_closing(const dialarc_cam *cam, double crank_per_pump,
                                   double prestroke_mm, double *pump_deg)
{
    dialarc_status status = dialarc_cam_check(cam);
    if (status != DIALARC_OK)
        return status;
    status = check_ratio(crank_per_pump);
    if (status != DIALARC_OK)
        return status;
    return dialarc_cam_angle_at_lift(cam, prestroke_mm, DIALARC_FLANK_RISING, pump_deg);
}

dialarc_status dialarc_delivery_start(const dialarc_cam *cam, double crank_per_pump,
                                      double prestroke_mm, double lift_mm,
                                      double *start_btdc_crank_deg)
{
    double closing_deg, tdc_deg;
    dialarc_status status = port_closing(cam, crank_per_pump, prestroke_mm, &closing_deg);
    if (status != DIALARC_OK)
        return status;
    status = dialarc_cam_angle_at_lift(cam, lift_mm, DIALARC_FLANK_RISING, &tdc_deg);
    if (status != DIALARC_OK)
        return status;
    if (!(lift_mm > 0.0)) /* the base dwell has no single angle */
        return DIALARC_ERR_LIFT;
    if (!start_btdc_crank_deg)
        return DIALARC_ERR_NULL;
    *start_btdc_crank_deg = crank_per_pump * (tdc_deg - closing_deg);
    return DIALARC_OK;
}

dialarc_status dialarc_delivery_lift(const dialarc_cam *cam, double crank_per_pump,
                                     double prestroke_mm, double start_btdc_crank_deg,
                                     double *lift_mm)
{
    double closing_deg;
    dialarc_status status = port_closing(cam, crank_per_pump, prestroke_mm, &closing_deg);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(start_btdc_crank_deg))
        return DIALARC_ERR_NOT_FINITE;
    double pump_deg = closing_deg + start_btdc_crank_deg / crank_per_pump;
    /* The top of the rise may be missed by the rounding of the way there. */
    if (!(pump_deg > 0.0) || !(pump_deg <= cam->rise_deg * (1.0 + 1e-12)))
        return DIALARC_ERR_START;
    return dialarc_cam_lift(cam, fmin(pump_deg, cam->rise_deg), lift_mm);
}

dialarc_status dialarc_delivery_compute(const dialarc_cam *cam, double crank_per_pump,
                                        const dialarc_plunger *plunger, double lift_mm,
                                        dialarc_delivery *delivery)
{
    double start, end, volume;
    if (!plunger || !delivery)
        return DIALARC_ERR_NULL;
    dialarc_status status = dialarc_delivery_start(
        cam, crank_per_pump, plunger->prestroke_mm, lift_mm, &start);
    if (status != DIALARC_OK)
        return status;
    status = dialarc_delivery_volume(plunger->diameter_mm, plunger->effective_stroke_mm,
                                     &volume);
    if (status != DIALARC_OK)
        return status;
    if (!(plunger->effective_stroke_mm > 0.0))
        return DIALARC_ERR_LIFT;
    double spill_mm = plunger->prestroke_mm + plunger->effective_stroke_mm;
    status = dialarc_delivery_start(cam, crank_per_pump, spill_mm, lift_mm, &end);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(volume / (start - end))) /* a stroke below the rounding of angles */
        return DIALARC_ERR_LIFT;
    *delivery = (dialarc_delivery){.start_btdc_crank_deg = start,
                                   .end_btdc_crank_deg = end,
                                   .duration_crank_deg = start - end,
                                   .volume_mm3 = volume,
                                   .mean_rate_mm3_per_crank_deg = volume / (start - end)};
    return DIALARC_OK;
}

static double area_mm2(double diameter_mm)
{
    return 0.25 * DARC_PI * diameter_mm * diameter_mm;
}

dialarc_status dialarc_delivery_volume(double diameter_mm, double stroke_mm,
                                       double *volume_mm3)
{
    dialarc_status status = check_diameter(diameter_mm);
    if (status != DIALARC_OK)
        return status;
    if (!volume_mm3)
        return DIALARC_ERR_NULL;
    if (!isfinite(stroke_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!(stroke_mm >= 0.0 && stroke_mm <= DARC_LARGEST))
        return DIALARC_ERR_LIFT;
    *volume_mm3 = area_mm2(diameter_mm) * stroke_mm;
    return DIALARC_OK;
}

dialarc_status dialarc_delivery_stroke(double diameter_mm, double volume_mm3,
                                       double *stroke_mm)
{
    dialarc_status status = check_diameter(diameter_mm);
    if (status != DIALARC_OK)
        return status;
    if (!stroke_mm)
        return DIALARC_ERR_NULL;
    if (!isfinite(volume_mm3))
        return DIALARC_ERR_NOT_FINITE;
    if (!(volume_mm3 > 0.0 && volume_mm3 <= DARC_LARGEST))
        return DIALARC_ERR_POSITIVE;
    *stroke_mm = volume_mm3 / area_mm2(diameter_mm);
    return DIALARC_OK;
}

dialarc_status dialarc_delivery_rate_array(const dialarc_cam *cam, double crank_per_pump,
                                           double diameter_mm, size_t n,
                                           const double *pump_deg,
                                           double *rate_mm3_per_crank_deg)
{
    dialarc_status status = check_ratio(crank_per_pump);
    if (status == DIALARC_OK)
        status = check_diameter(diameter_mm);
    if (status == DIALARC_OK)
        status = dialarc_cam_rate_array(cam, n, pump_deg, rate_mm3_per_crank_deg);
    if (status != DIALARC_OK)
        return status;
    double scale = area_mm2(diameter_mm) / crank_per_pump;
    for (size_t i = 0; i < n; i++)
        rate_mm3_per_crank_deg[i] *= scale;
    return DIALARC_OK;
}

dialarc_status dialarc_delivery_buildup(const dialarc_cam *cam, double crank_per_pump,
                                        const dialarc_plunger *plunger,
                                        double compression_mm3, double *buildup_crank_deg)
{
    double stroke = 0.0;
    dialarc_delivery delivery;
    if (!cam || !plunger || !buildup_crank_deg)
        return DIALARC_ERR_NULL;
    /* a lift at which every cam may stand at TDC: the length does not depend on it */
    dialarc_status status =
        dialarc_delivery_compute(cam, crank_per_pump, plunger, cam->lift_mm, &delivery);
    if (status == DIALARC_OK)
        status = dialarc_delivery_stroke(plunger->diameter_mm, compression_mm3, &stroke);
    if (status != DIALARC_OK)
        return status;
    if (!(stroke < plunger->effective_stroke_mm))
        return DIALARC_ERR_NO_SOLUTION;
    dialarc_plunger part = *plunger;
    part.effective_stroke_mm = stroke;
    status =
        dialarc_delivery_compute(cam, crank_per_pump, &part, cam->lift_mm, &delivery);
    if (status == DIALARC_OK)
        *buildup_crank_deg = delivery.duration_crank_deg;
    return status;
}
