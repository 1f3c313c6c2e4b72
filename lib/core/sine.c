/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/sine.h"

void darc_sine_cosine_far(double x, double *sine, double *cosine)
{
    *sine = sin(x);
    *cosine = cos(x);
}
