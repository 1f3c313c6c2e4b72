/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Small sums of uncertainty that several modules share.
 */
#ifndef DARC_EXPAND_H
#define DARC_EXPAND_H

#include <math.h>
#include <stddef.h>

/* Coverage factor of a normal distribution for 95 %: the 97.5 % point. */
#define DARC_K95 1.959963984540054

/* Root sum of squares; hypot() keeps it free of overflow. */
static inline double darc_rss(size_t n, const double *part)
{
    double sum = 0.0;
    for (size_t i = 0; i < n; i++)
        sum = hypot(sum, part[i]);
    return sum;
}

#endif
