/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/normal.h"

#include <math.h>

double darc_normal_density(double x)
{
    return 0.39894228040143267794 * exp(-0.5 * x * x); /* 1 / sqrt(2 pi) */
}
