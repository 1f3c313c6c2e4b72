/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/angle.h>
#include <math.h>

#include "core/angle.h"

#define DEG_S_PER_RPM 6.0 /* 360 degrees, 60 seconds */

typedef double (*wrapper)(double angle_deg, double period_deg);

static double wrap(double angle, double period)
{
    double r = fmod(angle, period);
    if (r < 0.0)
        r += period;
    /* A tiny negative angle rounds to the period itself; adding 0 makes -0 a 0. */
    return r < period ? r + 0.0 : 0.0;
}

static double wrap_signed(double angle, double period)
{
    double r = remainder(angle, period);
    return r > -0.5 * period ? r + 0.0 : 0.5 * period;
}

/* A finite number above 0, or the status that says what is wrong with it. */
static dialarc_status check_positive(double x, dialarc_status otherwise)
{
    if (!isfinite(x))
        return DIALARC_ERR_NOT_FINITE;
    return x > 0.0 ? DIALARC_OK : otherwise;
}

static dialarc_status check_arrays(size_t n, const double *in, const double *out)
{
    if (n > 0 && (!in || !out))
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < n; i++)
        if (!isfinite(in[i]))
            return DIALARC_ERR_NOT_FINITE;
    return DIALARC_OK;
}

static dialarc_status wrap_all(wrapper f, size_t n, const double *angle_deg,
                               double period_deg, double *wrapped_deg)
{
    dialarc_status status = check_arrays(n, angle_deg, wrapped_deg);
    if (status == DIALARC_OK)
        status = check_positive(period_deg, DIALARC_ERR_POSITIVE);
    for (size_t i = 0; status == DIALARC_OK && i < n; i++)
        wrapped_deg[i] = f(angle_deg[i], period_deg);
    return status;
}

dialarc_status dialarc_angle_wrap(double angle_deg, double period_deg,
                                  double *wrapped_deg)
{
    return wrap_all(wrap, 1, &angle_deg, period_deg, wrapped_deg);
}

dialarc_status dialarc_angle_wrap_array(size_t n, const double *angle_deg,
                                        double period_deg, double *wrapped_deg)
{
    return wrap_all(wrap, n, angle_deg, period_deg, wrapped_deg);
}

dialarc_status dialarc_angle_wrap_signed(double angle_deg, double period_deg,
                                         double *wrapped_deg)
{
    return wrap_all(wrap_signed, 1, &angle_deg, period_deg, wrapped_deg);
}

dialarc_status dialarc_angle_wrap_signed_array(size_t n, const double *angle_deg,
                                               double period_deg, double *wrapped_deg)
{
    return wrap_all(wrap_signed, n, angle_deg, period_deg, wrapped_deg);
}

dialarc_status dialarc_angle_difference(double from_deg, double to_deg, double period_deg,
                                        double *difference_deg)
{
    double ends[2] = {from_deg, to_deg};
    dialarc_status status = wrap_all(wrap_signed, 2, ends, period_deg, ends);
    if (status != DIALARC_OK)
        return status;
    return dialarc_angle_wrap_signed(ends[1] - ends[0], period_deg, difference_deg);
}

/* out = in * factor / divisor, one rounding when one of them is 1; all or nothing. */
static dialarc_status scale_all(size_t n, const double *in, double factor, double divisor,
                                double *out)
{
    dialarc_status status = check_arrays(n, in, out);
    if (status != DIALARC_OK)
        return status;
    for (size_t i = 0; i < n; i++)
        if (!isfinite(in[i] * factor / divisor))
            return DIALARC_ERR_ANGLE;
    for (size_t i = 0; i < n; i++)
        out[i] = in[i] * factor / divisor;
    return DIALARC_OK;
}

dialarc_status dialarc_angle_pump_from_crank(size_t n, const double *crank_deg,
                                             double crank_per_pump, double *pump_deg)
{
    dialarc_status status = check_positive(crank_per_pump, DIALARC_ERR_RATIO);
    return status == DIALARC_OK ? scale_all(n, crank_deg, 1.0, crank_per_pump, pump_deg)
                                : status;
}

dialarc_status dialarc_angle_crank_from_pump(size_t n, const double *pump_deg,
                                             double crank_per_pump, double *crank_deg)
{
    dialarc_status status = check_positive(crank_per_pump, DIALARC_ERR_RATIO);
    return status == DIALARC_OK ? scale_all(n, pump_deg, crank_per_pump, 1.0, crank_deg)
                                : status;
}

dialarc_status dialarc_angle_rim_arc(double angle_deg, double radius_mm, double *arc_mm)
{
    double mm_per_deg = DARC_RAD_PER_DEG * radius_mm;
    dialarc_status status = check_positive(radius_mm, DIALARC_ERR_LENGTH);
    return status == DIALARC_OK ? scale_all(1, &angle_deg, mm_per_deg, 1.0, arc_mm)
                                : status;
}

dialarc_status dialarc_angle_from_rim_arc(double arc_mm, double radius_mm,
                                          double *angle_deg)
{
    double mm_per_deg = DARC_RAD_PER_DEG * radius_mm;
    dialarc_status status = check_positive(radius_mm, DIALARC_ERR_LENGTH);
    return status == DIALARC_OK ? scale_all(1, &arc_mm, 1.0, mm_per_deg, angle_deg)
                                : status;
}

dialarc_status dialarc_angle_rate_from_speed(double speed_rpm, double *rate_deg_per_s)
{
    return scale_all(1, &speed_rpm, DEG_S_PER_RPM, 1.0, rate_deg_per_s);
}

dialarc_status dialarc_angle_speed_from_rate(double rate_deg_per_s, double *speed_rpm)
{
    return scale_all(1, &rate_deg_per_s, 1.0, DEG_S_PER_RPM, speed_rpm);
}
