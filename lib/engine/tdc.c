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

/* What a pair says: TDC, its variance, the offset error taken off, and the sd of what it
 * shares with the other pairs of its wheel. */
typedef struct pair {
    double tdc_deg, variance, swing_deg, shared_deg;
} pair;

/* Square of the error of one contact angle that comes from the height of the piston. */
static double drop_variance(const dialarc_crank *crank, double crank_deg, double sd_mm)
{
    dialarc_crank_motion m;
    if (sd_mm == 0.0 || dialarc_crank_motion_at(crank, crank_deg, &m) != DIALARC_OK)
        return 0.0;
    return sd_mm / m.rate_mm_per_crank_deg * (sd_mm / m.rate_mm_per_crank_deg);
}

/* All the pairs, to be looked at with one excess variance after another. */
typedef struct pairs {
    const dialarc_crank *crank;
    size_t n;
    const double *before_deg, *after_deg;
    const double *angle_sd_deg, *drop_sd_mm;
    size_t step;                   /* between their numbers; 0: one for all pairs */
    const double *wheel_error_deg; /* or NULL: none */
    bool bare;                     /* looked at without what is stated */
} pairs;

/* An eccentric wheel errs by its half span times a sine, at an unknown place of the turn:
 * between the middle of the contacts and the mark that is 1 - cos of half the arc. */
static double shared_sd(double wheel_error_deg, double half_deg)
{
    return sqrt(0.5) * wheel_error_deg * (1.0 - cos(half_deg / DARC_DEG_PER_RAD));
}

static pair assess(const pairs *all, size_t i)
{
    double half = 0.5 * arc(all->before_deg[i], all->after_deg[i]);
    double angle_sd_deg = all->bare ? 0.0 : all->angle_sd_deg[i * all->step];
    double drop_sd_mm = all->bare ? 0.0 : all->drop_sd_mm[i * all->step];
    pair p = {.swing_deg = swing_deg(all->crank, half)};
    p.tdc_deg = midpoint(all->before_deg[i], all->after_deg[i]) - p.swing_deg;
    p.variance = 0.25 * (2.0 * angle_sd_deg * angle_sd_deg +
                         drop_variance(all->crank, p.swing_deg - half, drop_sd_mm) +
                         drop_variance(all->crank, p.swing_deg + half, drop_sd_mm));
    if (all->wheel_error_deg && !all->bare)
        p.shared_deg = shared_sd(all->wheel_error_deg[i], half);
    return p;
}

/* Whether these are standard uncertainties. */
static dialarc_status check_sds(size_t n, const double *sd)
{
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(sd[i]))
            return DIALARC_ERR_NOT_FINITE;
        if (!darc_not_negative(sd[i]))
            return DIALARC_ERR_SD;
    }
    return DIALARC_OK;
}

static dialarc_status check_pairs(const pairs *all)
{
    size_t sds = all->step ? all->n : 1;
    dialarc_status status = dialarc_crank_check(all->crank);
    if (status == DIALARC_OK && (!all->angle_sd_deg || !all->drop_sd_mm) && all->n > 0)
        status = DIALARC_ERR_NULL;
    if (status == DIALARC_OK)
        status = check_sds(sds, all->angle_sd_deg);
    if (status == DIALARC_OK)
        status = check_sds(sds, all->drop_sd_mm);
    if (status == DIALARC_OK && all->wheel_error_deg)
        status = check_sds(all->n, all->wheel_error_deg);
    if (status != DIALARC_OK)
        return status;
    if (all->n == 0)
        return DIALARC_ERR_SIZE;
    if (!all->before_deg || !all->after_deg)
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < all->n && status == DIALARC_OK; i++)
        status = check_pair(all->before_deg[i], all->after_deg[i]);
    return status;
}

/* Their generalised mean, from the midpoint of the first pair. Their covariance is
 * diagonal but for what they share, D + s s', and so its inverse is D^-1 - D^-1 s s' D^-1
 * / (1 + s' D^-1 s): sums over pairs do. */
typedef struct pooled {
    double mean, weights, swing;
    double shared;  /* sd of the mean that comes from what they share */
    double squares; /* chi-square of the pairs about the mean ... */
    double slope;   /* ... and by how much it falls with the excess */
} pooled;

/* `excess` is a variance; with none at all, stated or found, all pairs weigh alike. */
static pooled pool(const pairs *all, double excess)
{
    pooled p = {0};
    double origin = midpoint(all->before_deg[0], all->after_deg[0]);
    double once = 0.0, twice = 1.0, moved = 0.0; /* s'D^-1 1, 1 + s'D^-1 s, s'D^-1 r */
    enum { MEAN, SHARED, SQUARES, ROUNDS };
    for (int round = MEAN; round < ROUNDS; round++) {
        for (size_t i = 0; i < all->n; i++) {
            pair one = assess(all, i);
            double variance = one.variance + excess;
            double weight = variance > 0.0 ? 1.0 / variance : 1.0;
            double away = wrap_signed(one.tdc_deg - origin) - p.mean;
            if (round == MEAN) {
                p.weights += weight;
                p.mean += away * weight / p.weights;
                p.swing += one.swing_deg / (double)all->n;
            } else if (round == SHARED) {
                once += weight * one.shared_deg;
                twice += weight * one.shared_deg * one.shared_deg;
                moved += weight * one.shared_deg * away;
            } else {
                double own = away - one.shared_deg * moved / twice;
                p.squares += weight * away * own;
                p.slope += weight * own * weight * own;
            }
        }
        if (round == SHARED && once > 0.0) {
            p.weights -= once * once / twice;
            double shift = moved * once / twice / p.weights;
            p.mean -= shift;
            moved += once * shift;
            p.shared = once / twice / p.weights;
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
    bare.bare = true;
    double spread = pool(&bare, 0.0).squares / (double)(all->n - 1);
    if (!stated) /* all of it */
        return spread;
    if (pool(all, 0.0).squares <= (double)(all->n - 1))
        return 0.0;
    return darc_root(agreement, all, 0.0, spread, 0.0);
}

/* Whether standard uncertainties are stated: of all pairs, or of none. */
static dialarc_status find_stated(const pairs *all, bool *stated)
{
    size_t sds = all->step ? all->n : 1, known = 0;
    for (size_t i = 0; i < sds; i++)
        known += all->angle_sd_deg[i] > 0.0 || all->drop_sd_mm[i] > 0.0;
    *stated = known > 0;
    return known == 0 || known == sds ? DIALARC_OK : DIALARC_ERR_SD;
}

/* Expanded uncertainty: what scatters by Student's t, what is shared by the normal. */
static double expanded(const pooled *p, double sd, double dof)
{
    double wide = (double)NAN, normal = (double)NAN;
    dialarc_uncertainty_coverage_factor(0.95, dof, &wide);
    if (p->shared == 0.0)
        return wide * sd;
    dialarc_uncertainty_coverage_factor(0.95, 0.0, &normal);
    double own = sqrt(fmax(sd * sd - p->shared * p->shared, 0.0));
    return hypot(wide * own, normal * p->shared);
}

static dialarc_status find_tdc(const pairs *all, dialarc_tdc *tdc)
{
    bool stated = false, several = all->n > 1;
    dialarc_status status = tdc ? check_pairs(all) : DIALARC_ERR_NULL;
    if (status == DIALARC_OK)
        status = find_stated(all, &stated);
    if (status != DIALARC_OK)
        return status;
    double excess = excess_of(all, stated);
    pooled p = pool(all, excess);
    if (!(p.weights > 0.0)) /* at the end of its way the piston tells nothing */
        return DIALARC_ERR_NO_SOLUTION;
    double dof = several && (excess > 0.0 || !stated) ? (double)(all->n - 1) : 0.0;
    double sd = stated || excess > 0.0 ? 1.0 / sqrt(p.weights)
                : several              ? p.shared
                                       : (double)NAN;
    *tdc = (dialarc_tdc){
        .wheel_deg =
            wrap_signed(midpoint(all->before_deg[0], all->after_deg[0]) + p.mean),
        .sd_deg = sd,
        .u_deg = expanded(&p, sd, dof),
        .dof = dof,
        .scatter = stated && several ? sqrt(pool(all, 0.0).squares / (double)(all->n - 1))
                                     : (double)NAN,
        .excess_sd_deg = several ? sqrt(excess) : (double)NAN,
        .offset_error_deg = p.swing,
        .shared_sd_deg = p.shared};
    return DIALARC_OK;
}

dialarc_status dialarc_tdc_from_pairs(const dialarc_crank *crank, size_t n,
                                      const double *before_deg, const double *after_deg,
                                      double angle_sd_deg, double drop_sd_mm,
                                      dialarc_tdc *tdc)
{
    const pairs all = {.crank = crank,
                       .n = n,
                       .before_deg = before_deg,
                       .after_deg = after_deg,
                       .angle_sd_deg = &angle_sd_deg,
                       .drop_sd_mm = &drop_sd_mm};
    return find_tdc(&all, tdc);
}

dialarc_status dialarc_tdc_from_means(const dialarc_crank *crank, size_t n,
                                      const double *before_deg, const double *after_deg,
                                      const double *angle_sd_deg,
                                      const double *drop_sd_mm,
                                      const double *wheel_error_deg, dialarc_tdc *tdc)
{
    const pairs all = {.crank = crank,
                       .n = n,
                       .before_deg = before_deg,
                       .after_deg = after_deg,
                       .angle_sd_deg = angle_sd_deg,
                       .drop_sd_mm = drop_sd_mm,
                       .step = 1,
                       .wheel_error_deg = wheel_error_deg};
    if (n > 0 && !wheel_error_deg)
        return DIALARC_ERR_NULL;
    return find_tdc(&all, tdc);
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
