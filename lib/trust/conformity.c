/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/conformity.h>

#include <math.h>
#include <stdbool.h>

#include <dialarc/uncertainty.h>
#include <gsl/gsl_cdf.h>

#include "core/finite.h"
#include "core/normal.h"
#include "numeric/root.h"

static dialarc_status check(double mean, double sd, double low, double high)
{
    if (!isfinite(mean) || !isfinite(sd) || !isfinite(low) || !isfinite(high))
        return DIALARC_ERR_NOT_FINITE;
    if (sd < 0.0)
        return DIALARC_ERR_SD;
    return low < high ? DIALARC_OK : DIALARC_ERR_WINDOW;
}

/* Beyond this many sd a double sees no probability: Q(39) underflows to 0. */
#define OUT_OF_SIGHT 39.0

/* A distance in units of sd, cut where nothing is left; sd may be 0, the distance not. */
static double in_sds(double distance, double sd)
{
    return fabs(distance) < OUT_OF_SIGHT * sd ? distance / sd
                                              : copysign(OUT_OF_SIGHT, distance);
}

static dialarc_conformity split(double mean, double sd, double low, double high)
{
    dialarc_conformity c;
    double a = in_sds(low - mean, sd), b = in_sds(high - mean, sd);
    if (!(sd > 0.0)) { /* what is known exactly may lie on a limit, and is inside */
        c.below = mean < low;
        c.above = mean > high;
        c.inside = 1.0 - c.below - c.above;
    } else if (a > 0.0) { /* each difference is taken in the smaller tails */
        double above_low = gsl_cdf_ugaussian_Q(a);
        c.above = gsl_cdf_ugaussian_Q(b);
        c.inside = above_low - c.above;
        c.below = 1.0 - above_low;
    } else if (b < 0.0) {
        double below_high = gsl_cdf_ugaussian_P(b);
        c.below = gsl_cdf_ugaussian_P(a);
        c.inside = below_high - c.below;
        c.above = 1.0 - below_high;
    } else {
        c.below = gsl_cdf_ugaussian_P(a);
        c.above = gsl_cdf_ugaussian_Q(b);
        c.inside = 1.0 - c.below - c.above;
    }
    return c;
}

dialarc_status dialarc_conformity_split(double mean, double sd, double low, double high,
                                        dialarc_conformity *where)
{
    if (!where)
        return DIALARC_ERR_NULL;
    dialarc_status status = check(mean, sd, low, high);
    if (status == DIALARC_OK)
        *where = split(mean, sd, low, high);
    return status;
}

dialarc_status dialarc_conformity_probability(double mean, double sd, double low,
                                              double high, double *inside)
{
    return dialarc_conformity_probabilities(1, &mean, &sd, low, high, inside);
}

dialarc_status dialarc_conformity_probabilities(size_t n, const double *mean,
                                                const double *sd, double low, double high,
                                                double *inside)
{
    if (n && (!mean || !sd || !inside))
        return DIALARC_ERR_NULL;
    dialarc_status status = check(0.0, 0.0, low, high);
    for (size_t i = 0; i < n && status == DIALARC_OK; i++)
        status = check(mean[i], sd[i], low, high);
    for (size_t i = 0; i < n && status == DIALARC_OK; i++)
        inside[i] = split(mean[i], sd[i], low, high).inside;
    return status;
}

dialarc_status dialarc_conformity_z(double probability, double *z)
{
    return dialarc_uncertainty_t_quantile(probability, 0.0, z);
}

dialarc_status dialarc_conformity_guard_band(double probability, double sd, double *guard)
{
    double z;
    if (!guard)
        return DIALARC_ERR_NULL;
    dialarc_status status = dialarc_conformity_z(probability, &z);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(sd))
        return DIALARC_ERR_NOT_FINITE;
    if (sd < 0.0)
        return DIALARC_ERR_SD;
    return darc_give(z * sd, guard);
}

typedef struct wanted {
    double probability, sd, low, high;
} wanted;

static void excess(double x, const void *context, double *value, double *slope)
{
    const wanted *w = context;
    *value = split(x, w->sd, w->low, w->high).inside - w->probability;
    *slope = (darc_normal_density(in_sds(w->low - x, w->sd)) -
              darc_normal_density(in_sds(w->high - x, w->sd))) /
             w->sd;
}

dialarc_status dialarc_conformity_acceptance(double probability, double sd, double low,
                                             double high, double *accept_low,
                                             double *accept_high)
{
    if (!accept_low || !accept_high)
        return DIALARC_ERR_NULL;
    dialarc_status status = check(0.0, sd, low, high);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(probability))
        return DIALARC_ERR_NOT_FINITE;
    if (!(probability > 0.5 && probability < 1.0))
        return DIALARC_ERR_PROBABILITY;
    const wanted w = {probability, sd, low, high};
    double middle = low + 0.5 * (high - low), guard = 0.0;
    if (!(split(middle, sd, low, high).inside >= probability))
        return DIALARC_ERR_NO_SOLUTION;
    if (sd > 0.0) /* from a limit, where it is at most 1/2, to the middle it rises */
        guard = darc_root(excess, &w, low, middle, 0.5 * (low + middle)) - low;
    if (!isfinite(guard))
        return DIALARC_ERR_RANGE;
    *accept_low = low + guard;
    *accept_high = high - guard;
    return DIALARC_OK;
}

dialarc_status dialarc_conformity_budget(double probability, double low, double high,
                                         double *sd)
{
    double z;
    if (!sd)
        return DIALARC_ERR_NULL;
    dialarc_status status = check(0.0, 0.0, low, high);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(probability))
        return DIALARC_ERR_NOT_FINITE;
    if (!(probability > 0.0 && probability < 1.0))
        return DIALARC_ERR_PROBABILITY;
    /* by the tail: 1 + probability may round to 2 */
    status = dialarc_conformity_z(0.5 * (1.0 - probability), &z);
    if (status != DIALARC_OK)
        return status;
    if (!(z < 0.0)) /* so small a probability is had with any uncertainty */
        return DIALARC_ERR_PROBABILITY;
    return darc_give(0.5 * (high - low) / -z, sd);
}

/* Beyond this many sd a normal distribution has nothing left that a double would see. */
#define REACH 9.0

/* Probability of a normal deviate between a and b, a <= b. */
static double between(double a, double b)
{
    return split(0.0, 1.0, a, b).inside;
}

/* Density of the true value y, times its chance to be accepted or to be rejected. */
static double density(const dialarc_inspection *i, double y, bool accepted)
{
    double x = (y - i->process_mean) / i->process_sd;
    double a = (i->low + i->guard - y) / i->gauge_sd;
    double b = (i->high - i->guard - y) / i->gauge_sd;
    double chance =
        accepted ? between(a, b) : gsl_cdf_ugaussian_P(a) + gsl_cdf_ugaussian_Q(b);
    return darc_normal_density(x) / i->process_sd * chance;
}

/* Gauss-Legendre rule of 16 points between two abscissae. */
static double panel(const dialarc_inspection *inspection, double from, double to,
                    bool accepted)
{
    static const double x[] = {0.095012509837637440, 0.28160355077925891,
                               0.45801677765722737,  0.61787624440264375,
                               0.75540440835500303,  0.86563120238783174,
                               0.94457502307323258,  0.98940093499164993};
    static const double w[] = {0.18945061045506850,  0.18260341504492359,
                               0.16915651939500254,  0.14959598881657673,
                               0.12462897125553387,  0.095158511682492786,
                               0.062253523938647893, 0.027152459411754096};
    double centre = 0.5 * (from + to), half = 0.5 * (to - from), sum = 0.0;
    for (size_t k = 0; k < sizeof x / sizeof x[0]; k++)
        sum += w[k] * (density(inspection, centre - half * x[k], accepted) +
                       density(inspection, centre + half * x[k], accepted));
    return half * sum;
}

/*
 * Width of the next panel: one sd of what changes there. The chance to be accepted
 * changes near the acceptance limits alone, so that a gauge much finer than the process
 * costs no more panels.
 */
static double step(const dialarc_inspection *i, double y)
{
    const double edges[] = {i->low + i->guard, i->high - i->guard};
    double wide = i->process_sd, fine = fmin(i->process_sd, i->gauge_sd);
    for (size_t k = 0; k < 2; k++) {
        double away = fabs(y - edges[k]) - REACH * i->gauge_sd;
        if (away <= 0.0)
            return fine;
        if (y < edges[k])
            wide = fmin(wide, fmax(away, fine));
    }
    return wide;
}

static double integrate(const dialarc_inspection *i, double from, double to,
                        bool accepted)
{
    double sum = 0.0;
    from = fmax(from, i->process_mean - REACH * i->process_sd);
    to = fmin(to, i->process_mean + REACH * i->process_sd);
    while (from < to) {
        double next = fmin(from + step(i, from), to);
        if (!(next > from)) /* a gauge finer than the spacing of numbers */
            next = nextafter(from, to);
        sum += panel(i, from, next, accepted);
        from = next;
    }
    return sum;
}

static dialarc_status check_inspection(const dialarc_inspection *i)
{
    if (!isfinite(i->process_sd) || !isfinite(i->guard))
        return DIALARC_ERR_NOT_FINITE;
    dialarc_status status = check(i->process_mean, i->gauge_sd, i->low, i->high);
    if (status != DIALARC_OK)
        return status;
    if (!(i->process_sd > 0.0) || !(i->gauge_sd > 0.0))
        return DIALARC_ERR_SD;
    return i->low + i->guard < i->high - i->guard ? DIALARC_OK : DIALARC_ERR_WINDOW;
}

dialarc_status dialarc_conformity_risks(const dialarc_inspection *inspection,
                                        dialarc_risks *risks)
{
    if (!inspection || !risks)
        return DIALARC_ERR_NULL;
    dialarc_status status = check_inspection(inspection);
    if (status != DIALARC_OK)
        return status;
    const dialarc_risks found = {
        .consumer = integrate(inspection, -HUGE_VAL, inspection->low, true) +
                    integrate(inspection, inspection->high, HUGE_VAL, true),
        .producer = integrate(inspection, inspection->low, inspection->high, false)};
    if (!isfinite(found.consumer) || !isfinite(found.producer))
        return DIALARC_ERR_RANGE;
    *risks = found;
    return DIALARC_OK;
}
