/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Simulated recordings of a pluck, and what the library hears in them.
 */
#ifndef PLUCK_KIT_H
#define PLUCK_KIT_H

#include <check.h>
#include <dialarc/pluck.h>

#include "kit/pluck_sim.h"

#define UNTOUCHED 12345.0
#define MOST      (1 << 18)

static double sample[MOST];

static inline size_t record(const pluck_sim *sim)
{
    size_t n = (size_t)(sim->rate_hz * sim->seconds);
    ck_assert_uint_le(n, MOST);
    pluck_simulate(sim, n, sample);
    return n;
}

static inline dialarc_status listen(const pluck_sim *sim, dialarc_pluck *pluck)
{
    size_t n = record(sim);
    return dialarc_pluck_frequency(n, sample, sim->rate_hz, DIALARC_PLUCK_LOW_HZ,
                                   DIALARC_PLUCK_HIGH_HZ, pluck);
}

#endif
