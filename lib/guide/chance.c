/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "guide/chance.h"

#include <math.h>

#include <dialarc/conformity.h>

#include "core/normal.h"
#include "decision/decision.h"

#define LEAST_SPREAD_MM 1e-9
#define LIFT_PLACES     64 /* of a lift that may be anywhere */

static double below(double limit, double mean, double sd)
{
    return 0.5 * erfc((mean - limit) / sd * 0.70710678118654752440);
}

darc_chances darc_chances_of(const darc_known *known, double mean_mm, double spread_mm,
                             double sd_mm)
{
    double spread = fmax(spread_mm, LEAST_SPREAD_MM), from, to;
    double guard = DARC_NORMAL_975 * sd_mm;
    darc_chances c = {0.0, below(known->low_mm - guard, mean_mm, spread),
                      1.0 - below(known->high_mm + guard, mean_mm, spread)};
    if (dialarc_conformity_acceptance(DARC_SURE, sd_mm, known->low_mm, known->high_mm,
                                      &from, &to) == DIALARC_OK)
        c.in = below(to, mean_mm, spread) - below(from, mean_mm, spread);
    return c;
}

double darc_chance_within(const darc_known *known, double lift_mm, double away_mm,
                          double sd_mm)
{
    double sum = 0.0;
    for (int k = 0; k < LIFT_PLACES; k++) {
        double lift = lift_mm + away_mm * ((2 * k + 1.0) / LIFT_PLACES - 1.0);
        darc_chances c = darc_chances_of(known, lift, sd_mm, sd_mm);
        sum += c.in + c.low + c.high;
    }
    return sum / LIFT_PLACES;
}
