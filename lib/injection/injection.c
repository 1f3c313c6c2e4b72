/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include <dialarc/delivery.h>
#include <dialarc/injection.h>
#include <gsl/gsl_interp.h>

#include "core/finite.h"

#define MS_PER_S 1000.0

static dialarc_status check_speed(double crank_rpm)
{
    if (!isfinite(crank_rpm))
        return DIALARC_ERR_NOT_FINITE;
    return crank_rpm >= 0.0 && crank_rpm <= DARC_LARGEST ? DIALARC_OK : DIALARC_ERR_SPEED;
}

static dialarc_status check_table(const dialarc_injection *j)
{
    if (!j || (j->n > 0 && (!j->crank_rpm || !j->advance_crank_deg)))
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < j->n; i++) {
        if (!isfinite(j->advance_crank_deg[i]))
            return DIALARC_ERR_NOT_FINITE;
        if (fabs(j->advance_crank_deg[i]) > DARC_LARGEST)
            return DIALARC_ERR_RANGE;
        dialarc_status status = check_speed(j->crank_rpm[i]);
        if (status != DIALARC_OK)
            return status;
        if (i > 0 && !(j->crank_rpm[i] > j->crank_rpm[i - 1]))
            return DIALARC_ERR_ORDER;
    }
    return DIALARC_OK;
}

static dialarc_status check_injection(const dialarc_injection *j)
{
    dialarc_status status = check_table(j);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(j->delay_ms) || !isfinite(j->buildup_crank_deg))
        return DIALARC_ERR_NOT_FINITE;
    return darc_not_negative(j->delay_ms) && darc_not_negative(j->buildup_crank_deg)
               ? DIALARC_OK
               : DIALARC_ERR_POSITIVE;
}

/* The table is good and the speed too. */
static double advance_at(const dialarc_injection *j, double crank_rpm)
{
    const double *x = j->crank_rpm, *y = j->advance_crank_deg;
    if (j->n == 0)
        return 0.0;
    if (crank_rpm <= x[0])
        return y[0];
    if (crank_rpm >= x[j->n - 1])
        return y[j->n - 1];
    size_t i = gsl_interp_bsearch(x, crank_rpm, 0, j->n - 1);
    double part = (crank_rpm - x[i]) / (x[i + 1] - x[i]);
    return y[i] + part * (y[i + 1] - y[i]);
}

static double degrees_in(double delay_ms, double crank_rpm)
{
    return 6.0 * crank_rpm * delay_ms / MS_PER_S; /* 6 degrees per second for 1 r/min */
}

static double later_earlier(const dialarc_injection *j, double crank_rpm)
{
    return advance_at(j, crank_rpm) - degrees_in(j->delay_ms, crank_rpm) -
           j->buildup_crank_deg;
}

dialarc_status dialarc_injection_advance(const dialarc_injection *injection,
                                         double crank_rpm, double *advance_crank_deg)
{
    dialarc_status status = check_table(injection);
    if (status == DIALARC_OK)
        status = check_speed(crank_rpm);
    if (status != DIALARC_OK)
        return status;
    if (!advance_crank_deg)
        return DIALARC_ERR_NULL;
    *advance_crank_deg = advance_at(injection, crank_rpm);
    return DIALARC_OK;
}

dialarc_status dialarc_injection_advance_line(double start_rpm, double full_rpm,
                                              double full_crank_deg, double crank_rpm,
                                              double *advance_crank_deg)
{
    const double speed[] = {start_rpm, full_rpm}, advance[] = {0.0, full_crank_deg};
    const dialarc_injection line = {2, speed, advance, 0.0, 0.0};
    return dialarc_injection_advance(&line, crank_rpm, advance_crank_deg);
}

dialarc_status dialarc_injection_delay(double delay_ms, double crank_rpm,
                                       double *delay_crank_deg)
{
    if (!delay_crank_deg)
        return DIALARC_ERR_NULL;
    if (!isfinite(delay_ms))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_not_negative(delay_ms))
        return DIALARC_ERR_POSITIVE;
    dialarc_status status = check_speed(crank_rpm);
    if (status == DIALARC_OK)
        *delay_crank_deg = degrees_in(delay_ms, crank_rpm);
    return status;
}

dialarc_status dialarc_injection_dynamic_array(const dialarc_injection *injection,
                                               double static_btdc_crank_deg, size_t n,
                                               const double *crank_rpm,
                                               double *dynamic_btdc_crank_deg)
{
    dialarc_status status = check_injection(injection);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(static_btdc_crank_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (n > 0 && (!crank_rpm || !dynamic_btdc_crank_deg))
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < n; i++) {
        status = check_speed(crank_rpm[i]);
        if (status != DIALARC_OK)
            return status;
    }
    for (size_t i = 0; i < n; i++)
        dynamic_btdc_crank_deg[i] =
            static_btdc_crank_deg + later_earlier(injection, crank_rpm[i]);
    return DIALARC_OK;
}

dialarc_status dialarc_injection_dynamic(const dialarc_injection *injection,
                                         double static_btdc_crank_deg, double crank_rpm,
                                         double *dynamic_btdc_crank_deg)
{
    return dialarc_injection_dynamic_array(injection, static_btdc_crank_deg, 1,
                                           &crank_rpm, dynamic_btdc_crank_deg);
}

dialarc_status dialarc_injection_static(const dialarc_injection *injection,
                                        double dynamic_btdc_crank_deg, double crank_rpm,
                                        double *static_btdc_crank_deg)
{
    dialarc_status status = check_injection(injection);
    if (status == DIALARC_OK)
        status = check_speed(crank_rpm);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(dynamic_btdc_crank_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (!static_btdc_crank_deg)
        return DIALARC_ERR_NULL;
    *static_btdc_crank_deg = dynamic_btdc_crank_deg - later_earlier(injection, crank_rpm);
    return DIALARC_OK;
}

dialarc_status dialarc_injection_from_lift(const dialarc_injection *injection,
                                           const dialarc_cam *cam, double crank_per_pump,
                                           double prestroke_mm, double lift_mm,
                                           double crank_rpm,
                                           double *dynamic_btdc_crank_deg)
{
    double start;
    dialarc_status status =
        dialarc_delivery_start(cam, crank_per_pump, prestroke_mm, lift_mm, &start);
    if (status != DIALARC_OK)
        return status;
    return dialarc_injection_dynamic(injection, start, crank_rpm, dynamic_btdc_crank_deg);
}

dialarc_status dialarc_injection_to_lift(const dialarc_injection *injection,
                                         const dialarc_cam *cam, double crank_per_pump,
                                         double prestroke_mm,
                                         double dynamic_btdc_crank_deg, double crank_rpm,
                                         double *lift_mm)
{
    double start;
    dialarc_status status =
        dialarc_injection_static(injection, dynamic_btdc_crank_deg, crank_rpm, &start);
    if (status != DIALARC_OK)
        return status;
    return dialarc_delivery_lift(cam, crank_per_pump, prestroke_mm, start, lift_mm);
}
