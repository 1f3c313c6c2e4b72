/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Seeded random numbers in tests.
 */
#ifndef RNG_KIT_H
#define RNG_KIT_H

#include <check.h>
#include <gsl/gsl_rng.h>

static inline gsl_rng *kit_seeded(unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    ck_assert_ptr_nonnull(rng);
    gsl_rng_set(rng, seed);
    return rng;
}

#endif
