/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/play.h>

#include <math.h>

#include "core/finite.h"

/* One step of the backlash operator: `previous` held between `low` and `high`. */
static double step(double low, double high, double previous)
{
    double held = previous < high ? previous : high;
    return held > low ? held : low;
}

/* Both forms: the play reaches from `below` under to `above` over the input. */
static dialarc_status run(double below, double above, double start, size_t n,
                          const double *in, double *out)
{
    if (n > 0 && (!in || !out))
        return DIALARC_ERR_NULL;
    if (!isfinite(start) || !darc_all_finite(n, in))
        return DIALARC_ERR_NOT_FINITE;
    for (size_t i = 0; i < n; i++) {
        start = step(in[i] - below, in[i] + above, start);
        out[i] = start;
    }
    return DIALARC_OK;
}

static dialarc_status check_width(double width, dialarc_status status)
{
    if (!isfinite(width))
        return DIALARC_ERR_NOT_FINITE;
    return width >= 0.0 ? DIALARC_OK : status;
}

dialarc_status dialarc_play_driven_array(double slack_deg, double start_deg, size_t n,
                                         const double *driver_deg, double *driven_deg)
{
    dialarc_status status = check_width(slack_deg, DIALARC_ERR_SLACK);
    if (status != DIALARC_OK)
        return status;
    return run(0.0, slack_deg, start_deg, n, driver_deg, driven_deg);
}

dialarc_status dialarc_play_reading_array(double hysteresis_mm, double start_mm, size_t n,
                                          const double *lift_mm, double *reading_mm)
{
    dialarc_status status = check_width(hysteresis_mm, DIALARC_ERR_DIAL);
    if (status != DIALARC_OK)
        return status;
    double half = 0.5 * hysteresis_mm;
    return run(half, half, start_mm, n, lift_mm, reading_mm);
}

dialarc_status dialarc_play_driven(double slack_deg, double driver_deg,
                                   double previous_deg, double *driven_deg)
{
    return dialarc_play_driven_array(slack_deg, previous_deg, 1, &driver_deg, driven_deg);
}

dialarc_status dialarc_play_reading(double hysteresis_mm, double lift_mm,
                                    double previous_mm, double *reading_mm)
{
    return dialarc_play_reading_array(hysteresis_mm, previous_mm, 1, &lift_mm,
                                      reading_mm);
}
