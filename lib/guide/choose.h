/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The readings that are worth most among those that can be taken. */
#ifndef DARC_CHOOSE_H
#define DARC_CHOOSE_H

#include <dialarc/design.h>

#include "estimate/memory.h"

/* By how far the lift may be from what was thought of, mm. */
#define DARC_LIFT_AWAY_MM 0.15

/* Readings that are settled, at most, before any is chosen; so many must be asked for. */
#define DARC_CHOOSE_MIN 6

/* DIALARC_OK when readings can be taken so and the angle of the setup's window is among
 * them, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_ANGLE or DIALARC_ERR_SIZE. */
dialarc_status darc_reach_check(const dialarc_reach *reach, const dialarc_setup *setup);

/* How many angles are met on the way forward. */
size_t darc_reach_forward(const dialarc_reach *reach);

/* Angles in the order in which the crank comes by: forward, then back where readings are
 * taken there too. `crank_deg` may be NULL; returns how many. */
size_t darc_reach_angles(const dialarc_reach *reach, double *crank_deg);

/* dialarc_design_choose() of arguments that have been checked, the setup apart. */
dialarc_status darc_choose(darc_memory *memory, const dialarc_setup *setup,
                           double lift_mm, const dialarc_reach *reach, size_t n,
                           double *crank_deg);

#endif
