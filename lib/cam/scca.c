/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/scca.h>

#include <math.h>

#include "cam/law.h"

static dialarc_status check(const dialarc_scca *scca, const void *out)
{
    if (!scca || !out)
        return DIALARC_ERR_NULL;
    double whole = scca->sine + scca->constant + scca->cosine;
    if (!isfinite(whole))
        return DIALARC_ERR_NOT_FINITE;
    if (!(scca->sine >= 0.0 && scca->constant >= 0.0 && scca->cosine >= 0.0 &&
          fabs(whole - 1.0) <= 1e-12))
        return DIALARC_ERR_FRACTION;
    return DIALARC_OK;
}

static double peak_acceleration(const dialarc_scca *scca)
{
    const double pi = DARC_PI, b = scca->sine, d = scca->cosine;
    return 4.0 * pi * pi /
           ((pi * pi - 8.0) * (b * b - d * d) - 2.0 * pi * (pi - 2.0) * b + pi * pi);
}

/*
 * The lower half, 0 <= u <= 1/2, for a peak acceleration of 1. A zone of no length is
 * passed over, so nothing is divided by 0.
 */
static darc_motion unit_half(const dialarc_scca *scca, double u)
{
    const double b = scca->sine / DARC_PI, d = scca->cosine / DARC_PI;
    const double end = 0.5 * scca->sine, cosine_from = 0.5 * (1.0 - scca->cosine);
    if (u < end) {
        double x = u / b;
        return (darc_motion){b * (u - b * sin(x)), b * (1.0 - cos(x)), sin(x)};
    }
    darc_motion m = {b * (end - b), b, 1.0};
    double w = fmin(u, cosine_from) - end;
    m.s += w * (m.v + 0.5 * w);
    m.v += w;
    if (u > cosine_from) {
        w = u - cosine_from;
        double x = w / d;
        m.s += m.v * w + d * d * (1.0 - cos(x));
        m.v += d * sin(x);
        m.a = cos(x);
    }
    return m;
}

dialarc_status dialarc_scca_motion(const dialarc_scca *scca, double u,
                                   dialarc_unit_motion *motion)
{
    dialarc_status status = check(scca, motion);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(u))
        return DIALARC_ERR_NOT_FINITE;
    if (!(u >= 0.0 && u <= 1.0))
        return DIALARC_ERR_ANGLE;
    if (u == 0.0 || u == 1.0) {
        *motion = (dialarc_unit_motion){u, 0.0, 0.0};
        return DIALARC_OK;
    }
    double peak = peak_acceleration(scca);
    darc_motion m = unit_half(scca, u <= 0.5 ? u : 1.0 - u);
    motion->displacement = u <= 0.5 ? peak * m.s : 1.0 - peak * m.s;
    motion->rate = peak * m.v;
    motion->acceleration = u <= 0.5 ? peak * m.a : -peak * m.a;
    return DIALARC_OK;
}

dialarc_status dialarc_scca_peak_factors(const dialarc_scca *scca,
                                         dialarc_law_peaks *peaks)
{
    dialarc_status status = check(scca, peaks);
    if (status != DIALARC_OK)
        return status;
    double a = peak_acceleration(scca), least = fmin(scca->sine, scca->cosine);
    peaks->acceleration = a;
    peaks->rate = a * ((scca->sine + scca->cosine) / DARC_PI + 0.5 * scca->constant);
    peaks->jerk = least > 0.0 ? a * DARC_PI / least : HUGE_VAL;
    return DIALARC_OK;
}
