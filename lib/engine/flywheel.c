/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/flywheel.h>

#include <math.h>

#include "core/angle.h"

static dialarc_status check(double given, double radius_mm, const double *out)
{
    if (!out)
        return DIALARC_ERR_NULL;
    if (!isfinite(given) || !isfinite(radius_mm))
        return DIALARC_ERR_NOT_FINITE;
    return radius_mm > 0.0 ? DIALARC_OK : DIALARC_ERR_LENGTH;
}

dialarc_status dialarc_flywheel_chord(double angle_deg, double radius_mm,
                                      double *chord_mm)
{
    dialarc_status status = check(angle_deg, radius_mm, chord_mm);
    if (status != DIALARC_OK)
        return status;
    if (!(fabs(angle_deg) <= 180.0))
        return DIALARC_ERR_ANGLE;
    double chord = 2.0 * radius_mm * sin(0.5 * DARC_RAD_PER_DEG * angle_deg);
    if (!isfinite(chord))
        return DIALARC_ERR_LENGTH;
    *chord_mm = chord;
    return DIALARC_OK;
}

dialarc_status dialarc_flywheel_angle(double chord_mm, double radius_mm,
                                      double *angle_deg)
{
    dialarc_status status = check(chord_mm, radius_mm, angle_deg);
    if (status != DIALARC_OK)
        return status;
    double half = 0.5 * chord_mm / radius_mm;
    if (!(fabs(half) <= 1.0))
        return DIALARC_ERR_LENGTH;
    *angle_deg = 2.0 * DARC_DEG_PER_RAD * asin(half);
    return DIALARC_OK;
}
