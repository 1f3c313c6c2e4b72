/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What readings at given angles will say, over the lobes that a cam may have. */
#ifndef DARC_EXPECT_H
#define DARC_EXPECT_H

#include <dialarc/finding.h>
#include <dialarc/timing.h>

#include "estimate/memory.h"

/* Of one lift. */
typedef struct darc_expected {
    dialarc_budget budget; /* root mean square over the lobes; NaN where none is usable */
    double rate;           /* their mean, mm per crank degree; NaN likewise */
    double usable;         /* share of the lobes */
    dialarc_findings findings; /* of a lobe of which the readings cannot be used */
} darc_expected;

/* For n readings at these crank angles, where the lift at TDC is lift_mm; `dial_mm` is
 * room for n. A code of darc_outlook_open(). */
dialarc_status darc_expect(darc_memory *memory, const dialarc_setup *setup,
                           double lift_mm, size_t n, const double *crank_deg,
                           double *dial_mm, darc_expected *expected);

#endif
