/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Flanks as they are ground and worn rather than as a law has them: a ramp before the
 * rise proper, which may begin with a corner, unequal accelerations, a stretch of even
 * speed, waviness. Shares no code with the library.
 */
#ifndef SIMULATE_SHAPE_H
#define SIMULATE_SHAPE_H

#include "kit/simulate.h"

typedef struct sim_shape {
    double lift[SIM_SHAPE]; /* share of the total lift at even steps, foot to top */
} sim_shape;

/* The law that lies nearest to a shape, after least squares over all of it. */
typedef struct sim_nearest {
    int law;
    double begin, length; /* of its rise, shares of the shape's */
    double gap;           /* largest deviation, share of the total lift */
} sim_nearest;

sim_nearest sim_nearest_law(const sim_shape *shape);

/* A shape whose gap to the nearest law lies between these shares of the lift. */
sim_shape sim_draw_shape(sim_random *r, double least_gap, double most_gap);

/* Both flanks of a lobe in a table of n rows cam_deg,lift_mm, in even steps from its
 * foot. Returns the angle of the rise over that of the fall; 0 when the table has no
 * lobe. */
double sim_table_shapes(size_t n, const double *cam_deg, const double *lift_mm,
                        sim_shape *rise, sim_shape *fall);

#endif
