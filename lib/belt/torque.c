/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include <dialarc/torque.h>
#include <dialarc/uncertainty.h>
#include <gsl/gsl_math.h>

#include "core/finite.h"
#include "core/normal.h"

static dialarc_status check_adapter(const dialarc_adapter *a)
{
    if (!a)
        return DIALARC_ERR_NULL;
    if (!isfinite(a->wrench_mm) || !isfinite(a->adapter_mm) || !isfinite(a->angle_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(a->wrench_mm) || !darc_not_negative(a->adapter_mm))
        return DIALARC_ERR_LENGTH;
    if (!(fabs(a->angle_deg) <= 360.0))
        return DIALARC_ERR_ANGLE;
    return DIALARC_OK;
}

static dialarc_status check_sd(const dialarc_adapter *a, double wrench_sd_ratio)
{
    if (!isfinite(a->wrench_sd_mm) || !isfinite(a->adapter_sd_mm) ||
        !isfinite(a->angle_sd_deg) || !isfinite(wrench_sd_ratio))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_not_negative(a->wrench_sd_mm) || !darc_not_negative(a->adapter_sd_mm) ||
        !darc_not_negative(a->angle_sd_deg) || !darc_not_negative(wrench_sd_ratio))
        return DIALARC_ERR_SD;
    return DIALARC_OK;
}

/* cos() of an angle in degrees that is exactly 0 for an adapter square to the wrench. */
static double cos_deg(double angle_deg)
{
    double right = fmod(fabs(angle_deg), 180.0);
    return right == 90.0 ? 0.0 : cos(angle_deg * (M_PI / 180.0));
}

/* Distance of the grip from the fastener, along the wrench. */
static double reach_mm(const dialarc_adapter *a)
{
    return a->wrench_mm + a->adapter_mm * cos_deg(a->angle_deg);
}

dialarc_status dialarc_torque_factor(const dialarc_adapter *adapter, double *factor)
{
    dialarc_status status = check_adapter(adapter);
    if (status != DIALARC_OK)
        return status;
    if (!factor)
        return DIALARC_ERR_NULL;
    double reach = reach_mm(adapter);
    if (!(reach > 0.0))
        return DIALARC_ERR_REACH;
    *factor = adapter->wrench_mm / reach;
    return DIALARC_OK;
}

/* Standard uncertainty of the factor relative to the factor, wrench included. */
static double relative_sd(const dialarc_adapter *a, double wrench_sd_ratio)
{
    double reach = reach_mm(a), c = cos_deg(a->angle_deg);
    double s = sin(a->angle_deg * (M_PI / 180.0));
    const double sensitivity[] = {1.0, 1.0 / a->wrench_mm - 1.0 / reach, c / reach,
                                  M_PI / 180.0 * a->adapter_mm * s / reach};
    const double sd[] = {wrench_sd_ratio, a->wrench_sd_mm, a->adapter_sd_mm,
                         a->angle_sd_deg};
    double combined = 0.0; /* everything was checked before */
    dialarc_uncertainty_combine(4, sensitivity, sd, NULL, &combined);
    return combined;
}

/* Common part of both directions: `invert` goes from the wrench to the fastener. */
static dialarc_status convert(const dialarc_adapter *adapter, double torque_nm,
                              double wrench_sd_ratio, int invert, dialarc_torque *result)
{
    double factor;
    dialarc_status status = dialarc_torque_factor(adapter, &factor);
    if (status != DIALARC_OK)
        return status;
    status = check_sd(adapter, wrench_sd_ratio);
    if (status != DIALARC_OK)
        return status;
    if (!result)
        return DIALARC_ERR_NULL;
    if (!isfinite(torque_nm))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(torque_nm))
        return DIALARC_ERR_POSITIVE;
    double torque = invert ? torque_nm / factor : torque_nm * factor;
    double sd = torque * relative_sd(adapter, wrench_sd_ratio);
    *result = (dialarc_torque){torque, sd, DARC_NORMAL_975 * sd};
    return DIALARC_OK;
}

dialarc_status dialarc_torque_setting(const dialarc_adapter *adapter, double fastener_nm,
                                      double wrench_sd_ratio, dialarc_torque *setting)
{
    return convert(adapter, fastener_nm, wrench_sd_ratio, 0, setting);
}

dialarc_status dialarc_torque_at_fastener(const dialarc_adapter *adapter,
                                          double setting_nm, double wrench_sd_ratio,
                                          dialarc_torque *fastener)
{
    return convert(adapter, setting_nm, wrench_sd_ratio, 1, fastener);
}

dialarc_status dialarc_torque_setting_array(const dialarc_adapter *adapter, size_t n,
                                            const double *fastener_nm, double *setting_nm)
{
    double factor;
    dialarc_status status = dialarc_torque_factor(adapter, &factor);
    if (status != DIALARC_OK)
        return status;
    if (n > 0 && (!fastener_nm || !setting_nm))
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(fastener_nm[i]))
            return DIALARC_ERR_NOT_FINITE;
        if (!darc_positive(fastener_nm[i]))
            return DIALARC_ERR_POSITIVE;
    }
    for (size_t i = 0; i < n; i++)
        setting_nm[i] = fastener_nm[i] * factor;
    return DIALARC_OK;
}
