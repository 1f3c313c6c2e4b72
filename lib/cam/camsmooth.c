/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/camsmooth.h>

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_interp.h>
#include <gsl/gsl_math.h>

#include "cam/camtable.h"
#include "core/finite.h"
#include "numeric/smoothing_spline.h"

dialarc_status dialarc_camtable_smooth(size_t n, const double *pump_deg,
                                       const double *lift_mm, double period_deg,
                                       double point_sd_mm, dialarc_camtable **table)
{
    dialarc_status status =
        table ? darc_camtable_check_points(n, pump_deg, lift_mm, period_deg)
              : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    if (n < DIALARC_CAMTABLE_SMOOTH_MIN)
        return DIALARC_ERR_SIZE;
    if (!isfinite(point_sd_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(point_sd_mm))
        return DIALARC_ERR_SD;
    dialarc_camtable *t = darc_camtable_begin(n, pump_deg, lift_mm, period_deg);
    double *room = malloc(darc_smoothing_room(n) * sizeof *room);
    if (!t || !room) {
        dialarc_camtable_free(t);
        free(room);
        return DIALARC_ERR_NO_MEMORY;
    }
    t->room = room;
    t->point_sd_mm = point_sd_mm;
    if (!darc_smoothing_fit(n, t->x, t->y, period_deg, gsl_pow_2(point_sd_mm), room,
                            t->second, &t->smooth) ||
        !darc_all_finite(n, t->second)) {
        dialarc_camtable_free(t);
        return DIALARC_ERR_NO_SOLUTION;
    }
    darc_camtable_find_range(t);
    *table = t;
    return DIALARC_OK;
}

dialarc_status dialarc_camtable_smoothing(const dialarc_camtable *table,
                                          dialarc_smoothing *smoothing)
{
    if (!table || !smoothing)
        return DIALARC_ERR_NULL;
    const darc_smoothing *s = &table->smooth;
    double n = (double)table->n;
    *smoothing = (dialarc_smoothing){.parameters = n, .misfit = (double)NAN};
    if (table->room) {
        double free = n - s->parameters, expected = free * gsl_pow_2(table->point_sd_mm);
        *smoothing = (dialarc_smoothing){table->point_sd_mm, s->parameters,
                                         sqrt(s->rss / expected)};
    }
    return DIALARC_OK;
}

/* Weights of values and second derivatives in the motion at a place. */
static void ask_motion(const dialarc_camtable *t, double r, darc_asked asked[3])
{
    size_t i = gsl_interp_bsearch(t->x, r, 0, t->n);
    double end = i + 1 < t->n ? t->x[i + 1] : t->period_deg;
    double h = end - t->x[i], b = (r - t->x[i]) / h, a = 1.0 - b;
    asked[0] = (darc_asked){
        i, {a, b}, {(a * a * a - a) * h * h / 6.0, (b * b * b - b) * h * h / 6.0}};
    asked[1] =
        (darc_asked){i,
                     {-1.0 / h, 1.0 / h},
                     {(1.0 - 3.0 * a * a) * h / 6.0, (3.0 * b * b - 1.0) * h / 6.0}};
    asked[2] = (darc_asked){i, {0.0, 0.0}, {a, b}};
}

dialarc_status dialarc_camtable_motion_sd(const dialarc_camtable *table, double pump_deg,
                                          dialarc_cam_motion *sd)
{
    darc_asked asked[3];
    double u[3];
    if (!table || !sd)
        return DIALARC_ERR_NULL;
    if (!isfinite(pump_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (!table->room) {
        *sd = (dialarc_cam_motion){0.0, 0.0, 0.0};
        return DIALARC_OK;
    }
    double *work = malloc(darc_smoothing_work(table->n) * sizeof *work);
    if (!work)
        return DIALARC_ERR_NO_MEMORY;
    ask_motion(table, darc_camtable_place(table, pump_deg), asked);
    for (int k = 0; k < 3; k++)
        u[k] = table->point_sd_mm *
               sqrt(fmax(0.0, darc_smoothing_variance(&table->smooth, &asked[k], work)));
    free(work);
    *sd = (dialarc_cam_motion){u[0], u[1], u[2]};
    return DIALARC_OK;
}
