/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "guide/interval.h"

#include <math.h>
#include <stdbool.h>

#include "numeric/quantile.h"

#define TAIL 0.025 /* at each end */

/* By how much a mean square may lie above its expectation, and below it, as shares. */
static double above(double dof)
{
    return 1.0 - 1.0 / darc_mean_square_quantile(TAIL, dof);
}

static double below(double dof)
{
    return 1.0 / darc_mean_square_quantile(1.0 - TAIL, dof) - 1.0;
}

/* What makes the lower limit of a difference right where its true value is 0. */
static double for_low(const darc_part *plus, const darc_part *minus)
{
    double f = darc_f_quantile(TAIL, plus->dof, minus->dof);
    double g = above(plus->dof), h = below(minus->dof);
    return ((f - 1.0) * (f - 1.0) - g * g * f * f - h * h) / f;
}

/* The same of the upper limit. */
static double for_high(const darc_part *plus, const darc_part *minus)
{
    double f = darc_f_quantile(1.0 - TAIL, plus->dof, minus->dof);
    double h = below(plus->dof), g = above(minus->dof);
    return ((1.0 - f) * (1.0 - f) - h * h * f * f - g * g) / f;
}

darc_variance darc_interval(int n, const darc_part *part)
{
    double value = 0.0, down = 0.0, up = 0.0;
    for (int i = 0; i < n; i++) {
        double c = part[i].coefficient, x = c * part[i].mean_square;
        if (c == 0.0)
            continue;
        bool plus = c > 0.0;
        double g = x * above(part[i].dof), h = x * below(part[i].dof);
        value += x;
        down += plus ? g * g : h * h;
        up += plus ? h * h : g * g;
        for (int k = 0; plus && k < n; k++)
            if (part[k].coefficient < 0.0) {
                double product = -x * part[k].coefficient * part[k].mean_square;
                down += for_low(&part[i], &part[k]) * product;
                up += for_high(&part[i], &part[k]) * product;
            }
    }
    return (darc_variance){value, fmax(value - sqrt(fmax(down, 0.0)), 0.0),
                           fmax(value + sqrt(fmax(up, 0.0)), 0.0)};
}
