/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/dial.h>

#include <math.h>

#include "core/angle.h"
#include "core/finite.h"

dialarc_status dialarc_dial_check(const dialarc_dial *dial)
{
    if (!dial)
        return DIALARC_ERR_NULL;
    if (!isfinite(dial->step_mm) || !isfinite(dial->turn_mm) || !isfinite(dial->tilt_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (!(darc_not_negative(dial->step_mm) && dial->turn_mm > dial->step_mm &&
          dial->turn_mm <= DARC_LARGEST))
        return DIALARC_ERR_DIAL;
    if (dial->sense != 1 && dial->sense != -1)
        return DIALARC_ERR_DIAL;
    if (dial->contact != DIALARC_CONTACT_FLAT && dial->contact != DIALARC_CONTACT_POINT)
        return DIALARC_ERR_DIAL;
    return dial->tilt_deg >= 0.0 && dial->tilt_deg < 90.0 ? DIALARC_OK
                                                          : DIALARC_ERR_ANGLE;
}

/* Travel for each mm of reading. */
static double travel_per_reading(const dialarc_dial *dial)
{
    double c = cos(dial->tilt_deg * DARC_PI / 180.0);
    return dial->sense * (dial->contact == DIALARC_CONTACT_FLAT ? c : 1.0 / c);
}

static dialarc_status check(const dialarc_dial *dial, double in, const double *out)
{
    dialarc_status status = out ? dialarc_dial_check(dial) : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(in))
        return DIALARC_ERR_NOT_FINITE;
    return fabs(in) <= DARC_LARGEST ? DIALARC_OK : DIALARC_ERR_RANGE;
}

dialarc_status dialarc_dial_travel(const dialarc_dial *dial, double reading_mm,
                                   double *travel_mm)
{
    dialarc_status status = check(dial, reading_mm, travel_mm);
    if (status == DIALARC_OK)
        *travel_mm = travel_per_reading(dial) * reading_mm;
    return status;
}

dialarc_status dialarc_dial_travel_array(const dialarc_dial *dial, size_t n,
                                         const double *reading_mm, double *travel_mm)
{
    dialarc_status status = dialarc_dial_check(dial);
    if (status != DIALARC_OK)
        return status;
    if (n > 0 && (!reading_mm || !travel_mm))
        return DIALARC_ERR_NULL;
    if (!darc_all_finite(n, reading_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_all_within(n, reading_mm))
        return DIALARC_ERR_RANGE;
    double factor = travel_per_reading(dial);
    for (size_t i = 0; i < n; i++)
        travel_mm[i] = factor * reading_mm[i];
    return DIALARC_OK;
}

dialarc_status dialarc_dial_reading(const dialarc_dial *dial, double travel_mm,
                                    double *reading_mm)
{
    dialarc_status status = check(dial, travel_mm, reading_mm);
    if (status == DIALARC_OK)
        *reading_mm = travel_mm / travel_per_reading(dial);
    return status;
}

dialarc_status dialarc_dial_round(const dialarc_dial *dial, double reading_mm,
                                  double *rounded_mm)
{
    dialarc_status status = check(dial, reading_mm, rounded_mm);
    if (status != DIALARC_OK)
        return status;
    double step = dial->step_mm;
    *rounded_mm = step > 0.0 ? step * round(reading_mm / step) : reading_mm;
    return DIALARC_OK;
}

dialarc_status dialarc_dial_unwrap(double turn_mm, double needle_mm, double expected_mm,
                                   double *reading_mm)
{
    return dialarc_dial_unwrap_array(turn_mm, expected_mm, 1, &needle_mm, reading_mm);
}

dialarc_status dialarc_dial_unwrap_array(double turn_mm, double start_mm, size_t n,
                                         const double *needle_mm, double *reading_mm)
{
    if (n > 0 && (!needle_mm || !reading_mm))
        return DIALARC_ERR_NULL;
    if (!isfinite(turn_mm) || !isfinite(start_mm) || !darc_all_finite(n, needle_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(turn_mm))
        return DIALARC_ERR_DIAL;
    if (fabs(start_mm) > DARC_LARGEST || !darc_all_within(n, needle_mm))
        return DIALARC_ERR_RANGE;
    double before = start_mm;
    for (size_t i = 0; i < n; i++) {
        double needle = needle_mm[i];
        before = needle + turn_mm * round((before - needle) / turn_mm);
        reading_mm[i] = before;
    }
    return DIALARC_OK;
}
