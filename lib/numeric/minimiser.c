/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/minimiser.h"

double darc_minimum(darc_curve curve, const void *context, double lo, double hi,
                    double fine)
{
    const double golden = 0.6180339887498949;
    double x = hi - golden * (hi - lo), y = lo + golden * (hi - lo);
    double at_x = curve(x, context), at_y = curve(y, context);
    while (hi - lo > fine) {
        if (at_x < at_y) {
            hi = y, y = x, at_y = at_x;
            x = hi - golden * (hi - lo);
            at_x = curve(x, context);
        } else {
            lo = x, x = y, at_x = at_y;
            y = lo + golden * (hi - lo);
            at_y = curve(y, context);
        }
    }
    return 0.5 * (lo + hi);
}
