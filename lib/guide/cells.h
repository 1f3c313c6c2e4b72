/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The lifts of a gauge study by cells: one cell an engine and hand of which there are
 * any.
 */
#ifndef DARC_CELLS_H
#define DARC_CELLS_H

#include <stddef.h>

#include <dialarc/gaugestudy.h>

typedef struct darc_cell {
    int engine, hand; /* levels, from 0 in the order in which they come */
    double count;     /* of its lifts, 1 or more */
    double mean;      /* of its lifts less `origin` */
} darc_cell;

typedef struct darc_cells {
    int n, engines, hands;
    double origin;             /* one of the lifts: small differences keep their digits */
    double lifts;              /* of all cells */
    double within, within_dof; /* sum of squares about the means of the cells */
    darc_cell cell[DIALARC_GAUGE_CELLS_MAX];
} darc_cells;

/* Sorts n lifts, at least one, whose engines and hands are in range, into cells.
 * DIALARC_OK or DIALARC_ERR_SIZE: too many cells. */
dialarc_status darc_cells_of(size_t n, const dialarc_gauge_lift *lifts,
                             darc_cells *cells);

#endif
