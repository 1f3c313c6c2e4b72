/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/travel.h"

#include "dial/dialcal.h"

/* One reading in so many may be misread, and lie outside a calibration for that. */
#define ONE_MISREAD_IN 10

/* Readings scatter about the minimum, where a calibration may begin: so far beyond its
 * ends their correction is that of the ends, and as good. */
#define ABOUT_AN_END_MM 0.05

double darc_travel(const darc_dial_use *dial, double shown_mm)
{
    const dialarc_dialcal *c = dial->calibration;
    if (!c)
        return dial->sense * shown_mm;
    return dial->sense * (darc_dialcal_travel(c, dial->preload_mm + shown_mm) -
                          darc_dialcal_travel(c, dial->preload_mm));
}

double darc_shown(const darc_dial_use *dial, double travel_mm)
{
    const dialarc_dialcal *c = dial->calibration;
    if (!c)
        return dial->sense * travel_mm;
    double from = darc_dialcal_travel(c, dial->preload_mm);
    return darc_dialcal_reading(c, from + dial->sense * travel_mm) - dial->preload_mm;
}

double darc_shown_way(const darc_dial_use *dial, double minimum_mm, double way_mm)
{
    if (!dial->calibration)
        return way_mm;
    double end = darc_shown(dial, darc_travel(dial, minimum_mm) + way_mm);
    return dial->sense * (end - minimum_mm);
}

bool darc_travel_covers(const darc_dial_use *dial, const dialarc_sweep *sweep)
{
    double low, high, u;
    size_t outside = 0;
    if (!dial->calibration)
        return true;
    dialarc_dialcal_range(dial->calibration, &low, &high, &u);
    for (size_t i = 0; i < sweep->n; i++) {
        double at = dial->preload_mm + sweep->dial_mm[i];
        outside += !(at >= low - ABOUT_AN_END_MM && at <= high + ABOUT_AN_END_MM);
    }
    return outside * ONE_MISREAD_IN <= sweep->n;
}
