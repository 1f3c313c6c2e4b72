/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/root.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>

/* Newton needs under 10 steps; a slope that misleads it ends in bisection, at most ~60.
 */
#define NEWTON_STEPS 40
#define MOST_STEPS   200

double darc_root(darc_function function, const void *context, double lo, double hi,
                 double start)
{
    double value, slope, x = start;
    for (int step = 0; step < MOST_STEPS; step++) {
        function(x, context, &value, &slope);
        if (value == 0.0)
            return x;
        if (value < 0.0)
            lo = x;
        else
            hi = x;
        /* asked without a division, which a flat place would make one by 0 */
        bool inside = fabs(value) <= slope * (value < 0.0 ? hi - x : x - lo);
        double next =
            inside && step < NEWTON_STEPS ? x - value / slope : lo + 0.5 * (hi - lo);
        if (fabs(next - x) <= DBL_EPSILON * fabs(next))
            return next;
        x = next;
    }
    return x;
}
