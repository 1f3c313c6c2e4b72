/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether lengths can be millimetres: lifts and windows that no pump has. */
#ifndef DARC_LENGTHS_H
#define DARC_LENGTHS_H

#include <stdbool.h>

#include <dialarc/timing.h>

#include "estimate/estimate.h"
#include "record/known.h"

/* Whether the window, if there is one, can be one of plunger lift in millimetres. */
bool darc_window_is_possible(const darc_known *known);

/* Whether a lift at TDC can be one of so many millimetres. */
bool darc_lift_is_possible(double lift_mm);

/* Whether a lift is as far from the middle of the window as a slip of the unit would make
 * a good one: inches, centimetres, hundredths. A pump that is a tooth out may be too. */
bool darc_lift_may_be_a_slip(const darc_known *known, double lift_mm);

/* Adds the finding, which stops, when the window or the total lift is impossible, or when
 * that contradicts the stated one. */
void darc_check_lengths(const darc_known *known, const darc_estimate *estimate,
                        dialarc_timing *timing);

#endif
