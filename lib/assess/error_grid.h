/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Log evidence of sweeps on a grid of errors of dial and angle, even in their logarithms,
 * and what it says of each.
 */
#ifndef DARC_ERROR_GRID_H
#define DARC_ERROR_GRID_H

#define DARC_GRID 17 /* places each way */

typedef struct darc_error_grid {
    double log_evidence[DARC_GRID][DARC_GRID]; /* by dial, then by angle */
} darc_error_grid;

/* Errors at a place of the grid, or between two of them. */
double darc_grid_dial_mm(double place);
double darc_grid_angle_deg(double place);

/* One of the errors, as a place: the mean, and the ends of 95 %. An end at which the grid
 * ends, too, while the density has not, is told as that end of the grid. */
typedef struct darc_grid_range {
    double mean, low, high;
} darc_grid_range;

void darc_grid_ranges(const darc_error_grid *grid, darc_grid_range *dial,
                      darc_grid_range *angle);

#endif
