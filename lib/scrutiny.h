/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a good foreman would notice: findings from a record and from its fit. Private. */
#ifndef DARC_SCRUTINY_H
#define DARC_SCRUTINY_H

#include <dialarc/finding.h>
#include <dialarc/setup.h>
#include <dialarc/timing.h>

#include "fit.h"

/* Findings that need no fit. */
void darc_scrutinise_record(darc_scratch *s, const dialarc_setup *setup,
                            dialarc_timing *timing);

/* Findings that need one; also counts the readings used and rejected. Returns the factor
 * by which the variances of the readings must grow to match the scatter seen, >= 1. */
double darc_scrutinise_fit(darc_scratch *s, const dialarc_setup *setup,
                           const darc_answer *answer, dialarc_timing *timing);

#endif
