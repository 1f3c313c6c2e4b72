/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/reading_weight.h"

#include <math.h>

#include "core/normal.h"

/* The share of misreads stays between these: never so small that a reading could not be
 * one, never so large that good readings are given up. */
#define LEAST_MISREAD 0.002
#define MOST_MISREAD  0.12

static double normal_cdf_between(double a, double b)
{
    const double r = 0.70710678118654752440;
    if (a > 0.0)
        return 0.5 * (erfc(a * r) - erfc(b * r));
    return 0.5 * (erfc(-b * r) - erfc(-a * r));
}

/* Interval likelihood; returns the mean density over the interval. */
static double pull_interval(double r, double sd, double step, darc_pull *p)
{
    double a = (r - 0.5 * step) / sd, b = (r + 0.5 * step) / sd;
    double mass = normal_cdf_between(a, b);
    if (!(mass > 1e-12)) { /* far off: as good as a point */
        double var = sd * sd + step * step / 12.0;
        p->g = r / var;
        p->w = 1.0 / var;
        return 0.0;
    }
    double fa = darc_normal_density(a), fb = darc_normal_density(b);
    double shift = (fa - fb) / mass;
    double var = 1.0 + (a * fa - b * fb) / mass - shift * shift;
    p->g = shift / sd;
    p->w = fmax(1.0 - var, 1e-6) / (sd * sd);
    return mass / step;
}

double darc_pull_sd(const darc_noise *e, double slope, double widen_mm)
{
    double turned = slope * e->angle_sd_deg;
    return sqrt(e->dial_sd_mm * e->dial_sd_mm + turned * turned + widen_mm * widen_mm);
}

double darc_misread_share(double seen)
{
    return fmin(fmax(seen, LEAST_MISREAD), MOST_MISREAD);
}

darc_pull darc_reading_pull(const darc_noise *e, double share, double reading,
                            double mean, double sd)
{
    darc_pull p;
    double r = reading - mean, step = e->step_mm, density;
    double full = sqrt(sd * sd + step * step / 12.0);
    p.sd = sd;
    p.score2 = (r / full) * (r / full);
    if (darc_is_interval(sd, step)) {
        density = pull_interval(r, sd, step, &p);
    } else {
        p.w = 1.0 / (full * full);
        p.g = r * p.w;
        density = darc_normal_density(r / full) / full;
    }
    double least = fmax(step, full);
    double octaves = log(fmax(e->turn_mm / least, 1.0)) + 1.0;
    double misread = 0.5 / (octaves * fmax(fabs(r), least));
    double both = (1.0 - share) * density + share * misread;
    p.sound = (1.0 - share) * density / both;
    p.density = both;
    p.g *= p.sound;
    p.w *= p.sound;
    return p;
}

darc_pull darc_row_pull(const darc_noise *e, double share, double reading,
                        const darc_row *row)
{
    return darc_reading_pull(e, share, reading, row->mean,
                             darc_pull_sd(e, row->slope, 0.0));
}
