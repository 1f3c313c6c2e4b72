/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "decision/repeats.h"

#include <math.h>

#include <dialarc/conformity.h>
#include <gsl/gsl_cdf.h>

#include "core/angle.h"
#include "core/normal.h"

#define LEAST_MM 1e-9 /* differences of rounding, where instruments are perfect */

/* The k-th smallest of the readings, by halving the span that holds it: there is no
 * memory to sort them in, and no need. */
static double ranked(const darc_readings *r, size_t k, double low, double high)
{
    for (;;) {
        double middle = 0.5 * (low + high);
        size_t below = 0;
        if (!(middle > low && middle < high))
            return high;
        for (size_t i = 0; i < r->n; i++)
            below += islessequal(r->at(r->context, r->first + i), middle) != 0;
        if (below > k)
            high = middle;
        else
            low = middle;
    }
}

static double median(const darc_readings *r, size_t usable, double low, double high)
{
    low -= LEAST_MM;
    double upper = ranked(r, usable / 2, low, high);
    return usable % 2 ? upper : 0.5 * (upper + ranked(r, usable / 2 - 1, low, high));
}

/* How far from the median a reading may lie that is not misread; the median errs itself.
 */
static double reach(size_t usable, double variance)
{
    double z, n = (double)usable;
    if (dialarc_conformity_z(1.0 - 0.5 * DARC_REPEATS_FALSE_ALARM / n, &z) != DIALARC_OK)
        return HUGE_VAL;
    return LEAST_MM + z * sqrt(variance * (1.0 + 0.5 * DARC_PI / n));
}

bool darc_scatters(double squares, double dof, double variance)
{
    double ratio = squares / variance;
    if (!(dof > 0.0))
        return false;
    /* Far out the answer is plain, and GSL need not be asked. */
    return ratio > 100.0 + 10.0 * dof ||
           gsl_cdf_chisq_Q(ratio, dof) < 0.5 * DARC_REPEATS_FALSE_ALARM;
}

/* Mean and squares of the readings within a distance of a centre. */
static void average(const darc_readings *r, double centre, double distance,
                    darc_repeats *s)
{
    double sum = 0.0, worst = -1.0;
    s->used = s->misread = 0;
    for (size_t i = 0; i < r->n; i++) {
        double away = r->at(r->context, r->first + i) - centre;
        if (isnan(away))
            continue;
        if (fabs(away) <= distance) {
            sum += away;
            s->used++;
        } else if (s->misread++ == 0) {
            s->misread_at = r->first + i;
        }
    }
    double mean = sum / (double)s->used;
    s->mean_mm = centre + mean;
    s->squares = 0.0;
    for (size_t i = 0; i < r->n; i++) {
        double away = r->at(r->context, r->first + i) - centre;
        if (isnan(away) || fabs(away) > distance)
            continue;
        s->squares += (away - mean) * (away - mean);
        if (fabs(away - mean) > worst) {
            worst = fabs(away - mean);
            s->worst = r->first + i;
        }
    }
}

darc_repeats darc_repeats_of(const darc_readings *r, double variance)
{
    darc_repeats s = {.used = 0, .mean_mm = NAN, .variance = NAN};
    double low = HUGE_VAL, high = -HUGE_VAL;
    size_t usable = 0;
    for (size_t i = 0; i < r->n; i++) {
        double x = r->at(r->context, r->first + i);
        if (isnan(x))
            continue;
        usable++;
        low = fmin(low, x);
        high = fmax(high, x);
    }
    if (usable == 0)
        return s;
    average(r, 0.5 * (low + high), HUGE_VAL, &s);
    if (usable > 2) {
        darc_repeats rest = s;
        average(r, median(r, usable, low, high), reach(usable, variance), &rest);
        if (2 * rest.misread < usable) /* else they all scatter, and none is to blame */
            s = rest;
    }
    double dof = (double)s.used - 1.0, one = variance;
    s.scattered = darc_scatters(s.squares, dof, variance);
    if (s.scattered) {
        double wide = gsl_cdf_tdist_Pinv(0.975, dof) / DARC_NORMAL_975;
        one = s.squares / dof * wide * wide; /* a scatter badly known has wide tails */
    }
    s.variance = one / (double)s.used;
    return s;
}
