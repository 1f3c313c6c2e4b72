/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/tdc.h>

#include <math.h>
#include <stdbool.h>

#include <dialarc/uncertainty.h>

#include "core/angle.h"
#include "core/finite.h"
#include "numeric/root.h"

static double wrap_signed(double deg)
{
    double r = remainder(deg, 360.0);
    return r < 180.0 ? r : r - 360.0;
}

/* The arc from one reading to the other in running direction, 0..360; 0 when equal. */
static double arc(double before_deg, double after_deg)
{
    double a = fmod(fmod(after_deg, 360.0) - fmod(before_deg, 360.0), 360.0);
    return a < 0.0 ? a + 360.0 : a;
}

static dialarc_status check_pair(double before_deg, double after_deg)
{
    if (!isfinite(before_deg) || !isfinite(after_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (fabs(before_deg) > DARC_LARGEST || fabs(after_deg) > DARC_LARGEST)
        return DIALARC_ERR_RANGE;
    double turned = arc(before_deg, after_deg);
    if (!(turned > 0.0))
        return DIALARC_ERR_ANGLE;
    return turned < 180.0 ? DIALARC_OK : DIALARC_ERR_CONTACTS;
}

static double midpoint(double before_deg, double after_deg)
{
    return wrap_signed(fmod(before_deg, 360.0) + 0.5 * arc(before_deg, after_deg));
}

/* Midpoint minus TDC, degrees, for half an arc. */
static double swing_deg(const dialarc_crank *crank, double half_deg)
{
    double r = crank->radius_mm, l = crank->rod_mm, e = crank->offset_mm;
    double across = r * sin(half_deg / DARC_DEG_PER_RAD);
    double d = r * cos(half_deg / DARC_DEG_PER_RAD) + sqrt((l - across) * (l + across));
    return (asin(e / d) - asin(e / (l + r))) * DARC_DEG_PER_RAD;
}

dialarc_status dialarc_tdc_from_stops(double before_deg, double after_deg,
                                      double *wheel_deg)
{
    if (!wheel_deg)
        return DIALARC_ERR_NULL;
    dialarc_status status = check_pair(before_deg, after_deg);
    if (status == DIALARC_OK)
        *wheel_deg = midpoint(before_deg, after_deg);
    return status;
}

dialarc_status dialarc_tdc_stop_error(const dialarc_crank *crank, double before_deg,
                                      double after_deg, double *error_deg)
{
    dialarc_status status = error_deg ? dialarc_crank_check(crank) : DIALARC_ERR_NULL;
    if (status == DIALARC_OK)
        status = check_pair(before_deg, after_deg);
    if (status == DIALARC_OK)
        *error_deg = swing_deg(crank, 0.5 * arc(before_deg, after_deg));
    return status;
}

/* What a pair says: TDC, its variance and the offset error taken off. */
typedef struct pair {
    double tdc_deg, variance, swing_deg;
} pair;

/* Square of the error of one contact angle that comes from the height of the piston. */
static double drop_variance(const dialarc_crank *crank, double crank_deg, double sd_mm)
{
    dialarc_crank_motion m;
    if (sd_mm == 0.0 || dialarc_crank_motion_at(crank, crank_deg, &m) != DIALARC_OK)
        return 0.0;
    return sd_mm / m.rate_mm_per_crank_deg * (sd_mm / m.rate_mm_per_crank_deg);
}

static pair assess(const dialarc_crank *crank, double before_deg, double after_deg,
                   double angle_sd_deg, double drop_sd_mm)
{
    double half = 0.5 * arc(before_deg, after_deg);
    pair p = {.swing_deg = swing_deg(crank, half)};
    p.tdc_deg = midpoint(before_deg, after_deg) - p.swing_deg;
    p.variance = 0.25 * (2.0 * angle_sd_deg * angle_sd_deg +
                         drop_variance(crank, p.swing_deg - half, drop_sd_mm) +
                         drop_variance(crank, p.swing_deg + half, drop_sd_mm));
    return p;
}

static dialarc_status check_pairs(const dialarc_crank *crank, size_t n,
                                  const double *before_deg, const double *after_deg,
                                  double angle_sd_deg, double drop_sd_mm)
{
    dialarc_status status = dialarc_crank_check(crank);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(angle_sd_deg) || !isfinite(drop_sd_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_not_negative(angle_sd_deg) || !darc_not_negative(drop_sd_mm))
        return DIALARC_ERR_SD;
    if (n == 0)
        return DIALARC_ERR_SIZE;
    if (!before_deg || !after_deg)
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < n && status == DIALARC_OK; i++)
        status = check_pair(before_deg[i], after_deg[i]);
    return status;
}

/* All the pairs, to be looked at with one excess variance after another. */
typedef struct pairs {
    const dialarc_crank *crank;
    size_t n;
    const double *before_deg, *after_deg;
    double angle_sd_deg, drop_sd_mm;
} pairs;

/* Their weighted mean, from the midpoint of the first pair. */
typedef struct pooled {
    double mean, weights, swing;
    double squares; /* sum of w (x - mean)^2 ... */
    double slope; /* ... and by how much it falls with the excess: of w^2 (x - mean)^2 */
} pooled;

/* `excess` is a variance; with none at all, stated or found, all pairs weigh alike. */
static pooled pool(const pairs *all, double excess)
{
    pooled p = {0};
    double origin = midpoint(all->before_deg[0], all->after_deg[0]);
    for (int round = 0; round < 2;
         round++) /* the mean first, then the squares about it */
        for (size_t i = 0; i < all->n; i++) {
            pair one = assess(all->crank, all->before_deg[i], all->after_deg[i],
                              all->angle_sd_deg, all->drop_sd_mm);
            double variance = one.variance + excess;
            double weight = variance > 0.0 ? 1.0 / variance : 1.0;
            double away = wrap_signed(one.tdc_deg - origin) - p.mean;
            if (round == 0) {
                p.weights += weight;
                p.mean += away * weight / p.weights;
                p.swing += one.swing_deg / (double)all->n;
            } else {
                p.squares += weight * away * away;
                p.slope += weight * away * weight * away;
            }
        }
    return p;
}

/* How far the pairs agree better than their number lets expect; rises with the excess. */
static void agreement(double excess, const void *context, double *value, double *slope)
{
    const pairs *all = context;
    pooled p = pool(all, excess);
    *value = (double)(all->n - 1) - p.squares;
    *slope = p.slope;
}

/* The variance that the pairs have beyond what is stated. */
static double excess_of(const pairs *all, bool stated)
{
    pairs bare = *all;
    if (all->n < 2)
        return 0.0;
    bare.angle_sd_deg = bare.drop_sd_mm = 0.0;
    double spread = pool(&bare, 0.0).squares / (double)(all->n - 1);
    if (!stated) /* all of it */
        return spread;
    if (pool(all, 0.0).squares <= (double)(all->n - 1))
        return 0.0;
    return darc_root(agreement, all, 0.0, spread, 0.0);
}

dialarc_status dialarc_tdc_from_pairs(const dialarc_crank *crank, size_t n,
                                      const double *before_deg, const double *after_deg,
                                      double angle_sd_deg, double drop_sd_mm,
                                      dialarc_tdc *tdc)
{
    dialarc_status status =
        tdc ? check_pairs(crank, n, before_deg, after_deg, angle_sd_deg, drop_sd_mm)
            : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    const pairs all = {crank, n, before_deg, after_deg, angle_sd_deg, drop_sd_mm};
    bool stated = angle_sd_deg > 0.0 || drop_sd_mm > 0.0, several = n > 1;
    double excess = excess_of(&all, stated), factor = (double)NAN;
    pooled p = pool(&all, excess);
    if (!(p.weights > 0.0)) /* at the end of its way the piston tells nothing */
        return DIALARC_ERR_NO_SOLUTION;
    double dof = several && (excess > 0.0 || !stated) ? (double)(n - 1) : 0.0;
    double sd = stated || excess > 0.0 ? 1.0 / sqrt(p.weights)
                : several              ? 0.0
                                       : (double)NAN;
    dialarc_uncertainty_coverage_factor(0.95, dof, &factor);
    *tdc = (dialarc_tdc){
        .wheel_deg = wrap_signed(midpoint(before_deg[0], after_deg[0]) + p.mean),
        .sd_deg = sd,
        .u_deg = factor * sd,
        .dof = dof,
        .scatter = stated && several ? sqrt(pool(&all, 0.0).squares / (double)(n - 1))
                                     : (double)NAN,
        .excess_sd_deg = several ? sqrt(excess) : (double)NAN,
        .offset_error_deg = p.swing};
    return DIALARC_OK;
}

dialarc_status dialarc_tdc_lift_sd(const dialarc_cam *cam, double lift_mm,
                                   double crank_per_pump, double tdc_sd_crank_deg,
                                   double *lift_sd_mm)
{
    double pump_deg, rate;
    if (!lift_sd_mm)
        return DIALARC_ERR_NULL;
    dialarc_status status =
        dialarc_cam_angle_at_lift(cam, lift_mm, DIALARC_FLANK_RISING, &pump_deg);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(crank_per_pump) || !isfinite(tdc_sd_crank_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(crank_per_pump))
        return DIALARC_ERR_RATIO;
    if (!darc_not_negative(tdc_sd_crank_deg))
        return DIALARC_ERR_SD;
    status = dialarc_cam_rate(cam, pump_deg, &rate);
    if (status == DIALARC_OK)
        *lift_sd_mm = fabs(rate) / crank_per_pump * tdc_sd_crank_deg;
    return status;
}
