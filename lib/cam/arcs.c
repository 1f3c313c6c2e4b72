/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/arcs.h>

#include <math.h>
#include <stdbool.h>

#include "core/angle.h"
#include "core/finite.h"

/* The way of the roller's centre. */
typedef struct path {
    double way_mm, lift_mm;
    double foot_mm, crest_mm; /* radii of its arcs */
    double slope;             /* of the ramp, radians */
} path;

static dialarc_status check(const dialarc_arcs *a, double lift_mm, double length_deg)
{
    if (!a)
        return DIALARC_ERR_NULL;
    if (!isfinite(a->track_radius_mm) || !isfinite(a->foot_radius_mm) ||
        !isfinite(a->crest_radius_mm) || !isfinite(a->roller_radius_mm) ||
        !isfinite(lift_mm) || !isfinite(length_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(a->track_radius_mm) || !darc_not_negative(a->crest_radius_mm) ||
        !darc_not_negative(a->roller_radius_mm) || !darc_positive(a->foot_radius_mm))
        return DIALARC_ERR_LENGTH;
    if (!(a->foot_radius_mm > a->roller_radius_mm))
        return DIALARC_ERR_UNDERCUT;
    if (!darc_positive(lift_mm))
        return DIALARC_ERR_LIFT;
    return length_deg >= DARC_SMALLEST && length_deg <= 360.0 ? DIALARC_OK
                                                              : DIALARC_ERR_ANGLE;
}

static dialarc_status find_path(const dialarc_arcs *a, double lift_mm, double length_deg,
                                path *p)
{
    dialarc_status status = check(a, lift_mm, length_deg);
    if (status != DIALARC_OK)
        return status;
    *p = (path){.way_mm = a->track_radius_mm * DARC_RAD_PER_DEG * length_deg,
                .lift_mm = lift_mm,
                .foot_mm = a->foot_radius_mm - a->roller_radius_mm,
                .crest_mm = a->crest_radius_mm + a->roller_radius_mm};
    double both = p->foot_mm + p->crest_mm, rest = both - lift_mm;
    double reach = hypot(p->way_mm, rest);
    if (!(both < reach))
        return DIALARC_ERR_SEGMENTS;
    p->slope = asin(both / reach) - atan2(rest, p->way_mm);
    double arcs_mm = both * (1.0 - cos(p->slope)); /* of the lift */
    return p->slope > 0.0 && p->slope < 0.5 * DARC_PI && arcs_mm <= lift_mm
               ? DIALARC_OK
               : DIALARC_ERR_SEGMENTS;
}

/* Lift, slope and curvature at a place of the way. */
static void follow(const path *p, double s, double *mm, double *rate, double *second)
{
    double t = p->way_mm - s, a = p->foot_mm, b = p->crest_mm;
    if (s < a * sin(p->slope)) {
        double up = sqrt(a * a - s * s);
        *mm = s * s / (a + up);
        *rate = s / up;
        *second = a * a / (up * up * up);
    } else if (t < b * sin(p->slope)) {
        double up = sqrt(b * b - t * t);
        *mm = p->lift_mm - t * t / (b + up);
        *rate = t / up;
        *second = -b * b / (up * up * up);
    } else {
        *mm = a * (1.0 - cos(p->slope)) + (s - a * sin(p->slope)) * tan(p->slope);
        *rate = tan(p->slope);
        *second = 0.0;
    }
}

dialarc_status dialarc_arcs_motion(const dialarc_arcs *arcs, double lift_mm,
                                   double length_deg, double u,
                                   dialarc_unit_motion *motion)
{
    path p;
    double mm, rate, second;
    if (!motion)
        return DIALARC_ERR_NULL;
    dialarc_status status = find_path(arcs, lift_mm, length_deg, &p);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(u))
        return DIALARC_ERR_NOT_FINITE;
    if (!(u >= 0.0 && u <= 1.0))
        return DIALARC_ERR_ANGLE;
    follow(&p, u * p.way_mm, &mm, &rate, &second);
    bool end = u == 0.0 || u == 1.0;
    double way = p.way_mm / lift_mm;
    if (!isfinite(rate * way) || !isfinite(second * p.way_mm * way))
        return DIALARC_ERR_RANGE;
    *motion = (dialarc_unit_motion){.displacement = u == 1.0 ? 1.0 : mm / lift_mm,
                                    .rate = end ? 0.0 : rate * way,
                                    .acceleration = end ? 0.0 : second * p.way_mm * way};
    return DIALARC_OK;
}

dialarc_status dialarc_arcs_slope(const dialarc_arcs *arcs, double lift_mm,
                                  double length_deg, double *slope_deg)
{
    path p;
    if (!slope_deg)
        return DIALARC_ERR_NULL;
    dialarc_status status = find_path(arcs, lift_mm, length_deg, &p);
    if (status == DIALARC_OK)
        *slope_deg = p.slope * DARC_DEG_PER_RAD;
    return status;
}
