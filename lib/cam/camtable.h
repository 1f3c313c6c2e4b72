/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a cam table is made of. */
#ifndef DARC_CAMTABLE_H
#define DARC_CAMTABLE_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>

#include <dialarc/camtable.h>

#include "numeric/smoothing_spline.h"

struct dialarc_camtable {
    atomic_uint shares; /* owners beside the first */
    size_t n;
    double origin_deg; /* pump angle of the first point */
    double period_deg;
    double low_mm, high_mm;
    double *x;          /* n angles from the first point */
    double *y;          /* n lifts */
    double *second;     /* n second derivatives */
    double point_sd_mm; /* of a smoothed table, else 0 */
    double *room;       /* of `smooth`; NULL: not smoothed */
    darc_smoothing smooth;
};

/* Least distance of two points, as a part of the period. */
#define DARC_CAMTABLE_STEP 1e-9

/* Whether a point may follow the one before it in a table that begins at `first_deg`. */
static inline bool darc_camtable_follows(double first_deg, double before_deg,
                                         double pump_deg, double period_deg)
{
    double least = DARC_CAMTABLE_STEP * period_deg;
    return pump_deg - before_deg >= least && period_deg - (pump_deg - first_deg) >= least;
}

/* What dialarc_camtable_new() says of the points. */
dialarc_status darc_camtable_check_points(size_t n, const double *pump_deg,
                                          const double *lift_mm, double period_deg);

/* A table of checked points, without curve and range; NULL: no memory. x, y and second
 * lie in one block. */
dialarc_camtable *darc_camtable_begin(size_t n, const double *pump_deg,
                                      const double *lift_mm, double period_deg);

/* Fills the range of the curve. */
void darc_camtable_find_range(dialarc_camtable *table);

/* Distance from the first point, 0 to below the period. */
double darc_camtable_place(const dialarc_camtable *table, double pump_deg);

/* How many points a table was made of. */
size_t darc_camtable_points(const dialarc_camtable *table);

/* Where the flanks of a table of one lobe begin and end. */
typedef struct darc_segments {
    double rise_deg, top_deg, base_deg;
} darc_segments;

darc_segments darc_camtable_segments(const dialarc_camtable *table);

/* Whether the table of a cam repeats with its lobes. */
bool darc_tabled_fits(const dialarc_cam *cam);

/* By how much the table of such a cam is stretched to its total lift. */
double darc_tabled_scale(const dialarc_cam *cam);

/* Motion of a good cam that has a table. */
dialarc_cam_motion darc_tabled_motion(const dialarc_cam *cam, double pump_deg);

/* Pump angle in the first lobe at which a flank of such a cam passes a lift, 0..total. */
double darc_tabled_angle(const dialarc_cam *cam, double lift_mm, dialarc_flank flank);

#endif
