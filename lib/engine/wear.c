/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/wear.h>

#include <math.h>

#include "core/finite.h"
#include "numeric/root.h"

/* A strain that takes longer is never reached; no quotient below leaves the doubles. */
#define LONGEST_H 1e15

static dialarc_status check(const dialarc_wear *wear)
{
    if (!wear)
        return DIALARC_ERR_NULL;
    if (!isfinite(wear->settling) || !isfinite(wear->settling_h) ||
        !isfinite(wear->strain_per_1000_h))
        return DIALARC_ERR_NOT_FINITE;
    if (!(wear->settling >= 0.0 && wear->settling <= DARC_LARGEST &&
          wear->strain_per_1000_h >= 0.0 && wear->strain_per_1000_h <= DARC_LARGEST))
        return DIALARC_ERR_SLACK;
    return darc_positive(wear->settling_h) ? DIALARC_OK : DIALARC_ERR_POSITIVE;
}

static double strain_at(const dialarc_wear *wear, double service_h)
{
    return wear->strain_per_1000_h * service_h / 1000.0 -
           wear->settling * expm1(-service_h / wear->settling_h);
}

dialarc_status dialarc_wear_strain(const dialarc_wear *wear, size_t n,
                                   const double *service_h, double *strain)
{
    dialarc_status status = check(wear);
    if (status != DIALARC_OK)
        return status;
    if (n > 0 && (!service_h || !strain))
        return DIALARC_ERR_NULL;
    if (!darc_all_finite(n, service_h))
        return DIALARC_ERR_NOT_FINITE;
    for (size_t i = 0; i < n; i++)
        if (!(service_h[i] >= 0.0 && service_h[i] <= DARC_LARGEST))
            return DIALARC_ERR_POSITIVE;
    for (size_t i = 0; i < n; i++)
        strain[i] = strain_at(wear, service_h[i]);
    return DIALARC_OK;
}

typedef struct target {
    const dialarc_wear *wear;
    double strain;
} target;

static void excess(double service_h, const void *context, double *value, double *slope)
{
    const target *t = context;
    const dialarc_wear *w = t->wear;
    *value = strain_at(w, service_h) - t->strain;
    *slope = w->strain_per_1000_h / 1000.0 +
             w->settling / w->settling_h * exp(-service_h / w->settling_h);
}

dialarc_status dialarc_wear_service(const dialarc_wear *wear, double strain,
                                    double *service_h)
{
    dialarc_status status = service_h ? check(wear) : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(strain))
        return DIALARC_ERR_NOT_FINITE;
    if (!(strain >= 0.0))
        return DIALARC_ERR_SLACK;
    if (strain == 0.0) {
        *service_h = 0.0;
        return DIALARC_OK;
    }
    /* Either part alone takes longer than both, so the quicker one bounds the time. */
    double steady = wear->strain_per_1000_h > strain / LONGEST_H
                        ? 1000.0 * (strain / wear->strain_per_1000_h)
                        : (double)INFINITY;
    double settling = strain < wear->settling
                          ? -wear->settling_h * log1p(-strain / wear->settling)
                          : (double)INFINITY;
    double latest = settling < steady ? settling : steady;
    if (!isfinite(latest))
        return DIALARC_ERR_NO_SOLUTION;
    target t = {wear, strain};
    *service_h = darc_root(excess, &t, 0.0, latest, latest);
    return DIALARC_OK;
}

dialarc_status dialarc_wear_advance(size_t n, const dialarc_stage *stage, size_t which,
                                    double tight_run_mm, double strain,
                                    double *advance_crank_deg)
{
    if (!advance_crank_deg)
        return DIALARC_ERR_NULL;
    if (!isfinite(tight_run_mm) || !isfinite(strain))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(tight_run_mm))
        return DIALARC_ERR_LENGTH;
    if (!(strain >= 0.0))
        return DIALARC_ERR_SLACK;
    double lost_mm = -tight_run_mm * (strain / (1.0 + strain));
    return dialarc_drive_arc(n, stage, which, lost_mm, advance_crank_deg);
}
