/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/sine.h"

#include <stdbool.h>

#include "core/wide.h"

void darc_sine_cosine_far(double x, double *sine, double *cosine)
{
    *sine = sin(x);
    *cosine = cos(x);
}

/* Turns a block in which all are near, without a branch: of the quarters of a turn, -2 to
 * 2, the odd ones exchange sine and cosine, and three change a sign. */
DARC_INLINE void turn_block(const double *restrict x, double *restrict sine,
                            double *restrict cosine)
{
    for (int i = 0; i < DARC_SINE_BLOCK; i++) {
        double turns, s, c;
        darc_sine_cosine_quarter(x[i], &turns, &s, &c);
        double whole = (0.25 * turns + DARC_SINE_TO_INTEGER) - DARC_SINE_TO_INTEGER;
        double quarter = turns - 4.0 * whole; /* -3 to 3 in other rounding modes */
        quarter -= quarter > 2.5 ? 4.0 : quarter < -2.5 ? -4.0 : 0.0;
        double odd = fabs(quarter) == 1.0 ? c : s, even = fabs(quarter) == 1.0 ? s : c;
        sine[i] = fabs(quarter - 0.5) < 1.0 ? odd : -odd;
        cosine[i] = fabs(quarter + 0.5) < 1.0 ? even : -even;
    }
}

#if DARC_HAVE_WIDE
DARC_WIDE static void turn_block_wide(const double *x, double *sine, double *cosine)
{
    turn_block(x, sine, cosine);
}
#endif

static bool all_near(const double *x)
{
    bool near = true;
    for (int i = 0; i < DARC_SINE_BLOCK; i++)
        near = near && isless(fabs(x[i]), DARC_SINE_NEAR);
    return near;
}

void darc_sine_cosine_block(const double *x, double *sine, double *cosine)
{
    if (!all_near(x)) {
        for (int i = 0; i < DARC_SINE_BLOCK; i++)
            darc_sine_cosine(x[i], &sine[i], &cosine[i]);
        return;
    }
#if DARC_HAVE_WIDE
    if (darc_is_wide()) {
        turn_block_wide(x, sine, cosine);
        return;
    }
#endif
    turn_block(x, sine, cosine);
}
