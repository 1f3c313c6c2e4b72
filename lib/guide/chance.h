/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Chances of verdicts that have not been asked for yet. */
#ifndef DARC_CHANCE_H
#define DARC_CHANCE_H

#include "record/known.h"

/* Chances of the three verdicts. */
typedef struct darc_chances {
    double in, low, high;
} darc_chances;

/* What a lift will be told to be, when the estimate of it is normal about mean_mm with
 * spread_mm and has the standard uncertainty sd_mm. */
darc_chances darc_chances_of(const darc_known *known, double mean_mm, double spread_mm,
                             double sd_mm);

/* Of any verdict, for a lift anywhere within away_mm of one, estimated with sd_mm. */
double darc_chance_within(const darc_known *known, double lift_mm, double away_mm,
                          double sd_mm);

#endif
