/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/tdc.h>

#include <math.h>
#include <stdbool.h>

#include "core/angle.h"
#include "core/finite.h"

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
    return arc(before_deg, after_deg) > 0.0 ? DIALARC_OK : DIALARC_ERR_ANGLE;
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
    if (!(angle_sd_deg >= 0.0 && drop_sd_mm >= 0.0))
        return DIALARC_ERR_SD;
    if (n == 0)
        return DIALARC_ERR_SIZE;
    if (!before_deg || !after_deg)
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < n && status == DIALARC_OK; i++)
        status = check_pair(before_deg[i], after_deg[i]);
    return status;
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
    bool stated = angle_sd_deg > 0.0 || drop_sd_mm > 0.0;
    double origin = midpoint(before_deg[0], after_deg[0]);
    double weights = 0.0, sum = 0.0, squares = 0.0, swings = 0.0;
    for (size_t i = 0; i < n; i++) {
        pair p = assess(crank, before_deg[i], after_deg[i], angle_sd_deg, drop_sd_mm);
        double weight = stated ? 1.0 / p.variance : 1.0;
        double x = wrap_signed(p.tdc_deg - origin), before = weights;
        weights += weight;
        double step = x - sum; /* running mean and sum of squares, free of cancellation */
        sum += step * weight / weights;
        squares += step * step * weight * before / weights;
        swings += p.swing_deg / (double)n;
    }
    double freedom = n > 1 ? (double)(n - 1) : (double)NAN;
    double mean_square = squares / freedom;
    *tdc = (dialarc_tdc){.wheel_deg = wrap_signed(origin + sum),
                         .sd_deg = sqrt((stated ? 1.0 : mean_square) / weights),
                         .scatter = stated ? sqrt(mean_square) : (double)NAN,
                         .offset_error_deg = swings};
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
    if (!(crank_per_pump > 0.0))
        return DIALARC_ERR_RATIO;
    if (!(tdc_sd_crank_deg >= 0.0))
        return DIALARC_ERR_SD;
    status = dialarc_cam_rate(cam, pump_deg, &rate);
    if (status == DIALARC_OK)
        *lift_sd_mm = fabs(rate) / crank_per_pump * tdc_sd_crank_deg;
    return status;
}
