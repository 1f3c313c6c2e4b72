/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/tabled_cam.h>

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "cam/camtable.h"

/* So far the lift at the foot of a table may stand above its lowest. */
#define FOOT_SHARE 0.02

#define MOST_LOBES 16

static void even_places(size_t n, double period_deg, double *pump_deg)
{
    for (size_t i = 0; i < n; i++)
        pump_deg[i] = period_deg * (double)i / (double)n;
}

dialarc_status dialarc_camtable_from_cam(const dialarc_cam *cam, size_t n,
                                         dialarc_camtable **table)
{
    dialarc_status status = table ? dialarc_cam_check(cam) : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    if (n < 3 || n > DIALARC_CAMTABLE_MAX)
        return DIALARC_ERR_SIZE;
    double *x = malloc(2 * n * sizeof *x), period = 360.0 / cam->lobes;
    if (!x)
        return DIALARC_ERR_NO_MEMORY;
    double *y = x + n;
    even_places(n, period, x);
    status = dialarc_cam_lift_array(cam, n, x, y);
    if (status == DIALARC_OK)
        status = dialarc_camtable_new(n, x, y, period, table);
    free(x);
    return status;
}

/* Motion of a flank at a share of its length, and what it asks. */
typedef dialarc_status (*flank_motion)(const void *flank, const dialarc_cam *cam,
                                       double length_deg, double u,
                                       dialarc_unit_motion *motion);

/* A table of a lobe whose flanks move so; both have what `motion` asks. */
static dialarc_status from_flanks(const dialarc_cam *cam, flank_motion motion,
                                  const void *rise, const void *fall, size_t n,
                                  dialarc_camtable **table)
{
    dialarc_cam shape = *cam;
    double fall_deg = 0.0, period;
    shape.lobe_table = NULL;
    shape.law = shape.fall_law = DIALARC_LAW_CYCLOIDAL; /* any that is good */
    shape.blend = 0.0;
    dialarc_status status = dialarc_cam_fall_deg(&shape, &fall_deg);
    if (status != DIALARC_OK)
        return status;
    if (n < 3 || n > DIALARC_CAMTABLE_MAX)
        return DIALARC_ERR_SIZE;
    double *x = malloc(2 * n * sizeof *x);
    if (!x)
        return DIALARC_ERR_NO_MEMORY;
    double *y = x + n;
    period = 360.0 / shape.lobes;
    even_places(n, period, x);
    for (size_t i = 0; i < n && status == DIALARC_OK; i++) {
        bool rises = x[i] < shape.rise_deg + shape.top_dwell_deg;
        double length = rises ? shape.rise_deg : fall_deg;
        double u = (rises ? x[i] : period - shape.base_dwell_deg - x[i]) / length;
        dialarc_unit_motion m = {0.0, 0.0, 0.0};
        status = motion(rises ? rise : fall, &shape, length, fmin(fmax(u, 0.0), 1.0), &m);
        y[i] = shape.lift_mm * m.displacement;
    }
    if (status == DIALARC_OK)
        status = dialarc_camtable_new(n, x, y, period, table);
    free(x);
    return status;
}

static dialarc_status scca_motion(const void *scca, const dialarc_cam *cam,
                                  double length_deg, double u,
                                  dialarc_unit_motion *motion)
{
    (void)cam;
    (void)length_deg;
    return dialarc_scca_motion(scca, u, motion);
}

dialarc_status dialarc_camtable_from_scca(const dialarc_cam *cam,
                                          const dialarc_scca *rise,
                                          const dialarc_scca *fall, size_t n,
                                          dialarc_camtable **table)
{
    if (!cam || !rise || !fall || !table)
        return DIALARC_ERR_NULL;
    return from_flanks(cam, scca_motion, rise, fall, n, table);
}

static dialarc_status arcs_motion(const void *arcs, const dialarc_cam *cam,
                                  double length_deg, double u,
                                  dialarc_unit_motion *motion)
{
    return dialarc_arcs_motion(arcs, cam->lift_mm, length_deg, u, motion);
}

dialarc_status dialarc_camtable_from_arcs(const dialarc_cam *cam,
                                          const dialarc_arcs *rise,
                                          const dialarc_arcs *fall, size_t n,
                                          dialarc_camtable **table)
{
    if (!cam || !rise || !fall || !table)
        return DIALARC_ERR_NULL;
    return from_flanks(cam, arcs_motion, rise, fall, n, table);
}

/* Whether the curve is as low as it gets at 0, or nearly, and rises soon after. */
static bool has_foot_at_zero(const dialarc_camtable *t)
{
    double span = t->high_mm - t->low_mm, middle = 0.0;
    dialarc_cam_motion at_foot = {0.0, 0.0, 0.0};
    dialarc_camtable_motion(t, 0.0, &at_foot);
    dialarc_camtable_angle_at_lift(t, t->low_mm + 0.5 * span, DIALARC_FLANK_RISING,
                                   0.25 * t->period_deg, &middle);
    return at_foot.lift_mm - t->low_mm <= FOOT_SHARE * span && middle > 0.0;
}

/* Whether the points rise through half the lift once only. */
static bool has_one_lobe(const dialarc_camtable *t)
{
    double half = 0.5 * (t->low_mm + t->high_mm);
    int rises = 0;
    for (size_t i = 0; i < t->n; i++)
        rises += t->y[i] < half && t->y[i + 1 < t->n ? i + 1 : 0] >= half;
    return rises == 1;
}

dialarc_status dialarc_cam_from_table(const dialarc_camtable *table, dialarc_cam *cam)
{
    if (!table || !cam)
        return DIALARC_ERR_NULL;
    double span = table->high_mm - table->low_mm;
    double lobes = round(360.0 / table->period_deg);
    if (!(span > 0.0))
        return DIALARC_ERR_LIFT;
    if (!(lobes <= MOST_LOBES) || !has_one_lobe(table) || !has_foot_at_zero(table))
        return DIALARC_ERR_SEGMENTS;
    darc_segments s = darc_camtable_segments(table);
    dialarc_cam made = {.lobes = (int)lobes,
                        .lift_mm = span,
                        .rise_deg = s.rise_deg,
                        .top_dwell_deg = s.top_deg,
                        .base_dwell_deg = s.base_deg,
                        .lobe_table = table};
    dialarc_status status = dialarc_cam_check(&made);
    if (status == DIALARC_OK)
        *cam = made;
    return status;
}
