/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers of the normal distribution. Private. */
#ifndef DARC_NORMAL_H
#define DARC_NORMAL_H

#include <math.h>

/* Value exceeded with probability 2.5 %: half an interval of 95 %. */
#define DARC_NORMAL_975 1.95996398454005423552

static inline double darc_normal_density(double x)
{
    return 0.39894228040143267794 * exp(-0.5 * x * x);
}

#endif
