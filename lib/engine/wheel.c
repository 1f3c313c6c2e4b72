/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/wheel.h>

#include <math.h>

#include "core/angle.h"
#include "core/finite.h"
#include "numeric/leastsq.h"

enum { COS, SIN, POINTERS, PARAMS };

static dialarc_status check(size_t n, const double *pointer_deg,
                            const double *opposite_deg, double angle_sd_deg)
{
    if (!isfinite(angle_sd_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_not_negative(angle_sd_deg))
        return DIALARC_ERR_SD;
    if (n < PARAMS)
        return DIALARC_ERR_SIZE;
    if (!pointer_deg || !opposite_deg)
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(pointer_deg[i]) || !isfinite(opposite_deg[i]))
            return DIALARC_ERR_NOT_FINITE;
        if (fabs(pointer_deg[i]) > DARC_LARGEST || fabs(opposite_deg[i]) > DARC_LARGEST)
            return DIALARC_ERR_RANGE;
        double beyond = remainder(opposite_deg[i] - pointer_deg[i] - 180.0, 360.0);
        if (!(fabs(beyond) < 90.0))
            return DIALARC_ERR_ANGLE;
    }
    return DIALARC_OK;
}

dialarc_status dialarc_wheel_from_pointers(size_t n, const double *pointer_deg,
                                           const double *opposite_deg,
                                           double angle_sd_deg, dialarc_wheel *wheel)
{
    dialarc_status status =
        wheel ? check(n, pointer_deg, opposite_deg, angle_sd_deg) : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    darc_lsq problem;
    darc_lsq_result r;
    darc_lsq_begin(&problem, PARAMS);
    for (size_t i = 0; i < n; i++) {
        double beyond = remainder(opposite_deg[i] - pointer_deg[i] - 180.0, 360.0);
        double middle = (pointer_deg[i] + 0.5 * beyond) / DARC_DEG_PER_RAD;
        const double row[PARAMS] = {cos(middle), sin(middle), -0.5};
        darc_lsq_add(&problem, row, -0.5 * beyond, 1.0);
    }
    status = darc_lsq_solve(&problem, &r);
    if (status != DIALARC_OK)
        return status;
    double error = hypot(r.param[COS], r.param[SIN]), dof = (double)(n - PARAMS);
    /* Half the difference of two readings has half the variance of one. */
    double stated = 0.5 * angle_sd_deg * angle_sd_deg;
    double found = dof > 0.0 ? r.rss / dof : (double)NAN;
    int scatters = angle_sd_deg == 0.0 || isgreater(found, stated);
    double gradient[DARC_LSQ_PARAM] = {0.0};
    gradient[COS] = error > 0.0 ? r.param[COS] / error : 1.0;
    gradient[SIN] = error > 0.0 ? r.param[SIN] / error : 0.0;
    *wheel =
        (dialarc_wheel){.error_deg = error,
                        .error_sd_deg = darc_lsq_sd(&r, PARAMS, gradient) *
                                        sqrt(scatters ? found : stated),
                        .phase_deg = atan2(r.param[SIN], r.param[COS]) * DARC_DEG_PER_RAD,
                        .pointers_deg = r.param[POINTERS],
                        .dof = scatters ? dof : 0.0,
                        .scatter = stated > 0.0 ? sqrt(found / stated) : (double)NAN};
    return DIALARC_OK;
}

dialarc_status dialarc_wheel_error_at(const dialarc_wheel *wheel, double reading_deg,
                                      double *error_deg)
{
    if (!wheel || !error_deg)
        return DIALARC_ERR_NULL;
    if (!isfinite(wheel->error_deg) || !isfinite(wheel->phase_deg) ||
        !isfinite(reading_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (!(wheel->error_deg >= 0.0 && wheel->error_deg <= DARC_LARGEST) ||
        fabs(wheel->phase_deg) > DARC_LARGEST || fabs(reading_deg) > DARC_LARGEST)
        return DIALARC_ERR_RANGE;
    *error_deg =
        wheel->error_deg * cos((reading_deg - wheel->phase_deg) / DARC_DEG_PER_RAD);
    return DIALARC_OK;
}
