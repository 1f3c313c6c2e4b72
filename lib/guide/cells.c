/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "guide/cells.h"

#include <string.h>

#define MOST_LEVELS DIALARC_GAUGE_LEVELS_MAX

/* Where the cell of each engine and hand is, counted from 1; 0: nowhere yet. */
typedef struct places {
    int engine[MOST_LEVELS], hand[MOST_LEVELS]; /* their levels, from 1 */
    int cell[MOST_LEVELS][MOST_LEVELS];         /* by numbers as the caller has them */
} places;

static int level(int *of, int *levels)
{
    if (*of == 0)
        *of = ++*levels;
    return *of - 1;
}

static dialarc_status find_cells(size_t n, const dialarc_gauge_lift *lifts, places *at,
                                 darc_cells *cells)
{
    memset(at, 0, sizeof *at);
    for (size_t i = 0; i < n; i++) {
        const dialarc_gauge_lift *l = &lifts[i];
        int *place = &at->cell[l->engine][l->hand];
        if (*place == 0) {
            if (cells->n == DIALARC_GAUGE_CELLS_MAX)
                return DIALARC_ERR_SIZE;
            *place = ++cells->n;
            cells->cell[*place - 1] =
                (darc_cell){level(&at->engine[l->engine], &cells->engines),
                            level(&at->hand[l->hand], &cells->hands), 0.0, 0.0};
        }
        darc_cell *cell = &cells->cell[*place - 1];
        cell->count += 1.0;
        cell->mean += ((l->lift_mm - cells->origin) - cell->mean) / cell->count;
    }
    return DIALARC_OK;
}

dialarc_status darc_cells_of(size_t n, const dialarc_gauge_lift *lifts, darc_cells *cells)
{
    places at;
    double left[DIALARC_GAUGE_CELLS_MAX] = {0.0};
    *cells = (darc_cells){.origin = lifts[0].lift_mm, .lifts = (double)n};
    dialarc_status status = find_cells(n, lifts, &at, cells);
    if (status != DIALARC_OK)
        return status;
    for (size_t i = 0; i < n; i++) {
        int c = at.cell[lifts[i].engine][lifts[i].hand] - 1;
        double off = (lifts[i].lift_mm - cells->origin) - cells->cell[c].mean;
        cells->within += off * off;
        left[c] += off;
    }
    /* What rounding has left of the means takes off what it has added. */
    for (int c = 0; c < cells->n; c++)
        cells->within -= left[c] * left[c] / cells->cell[c].count;
    cells->within_dof = cells->lifts - (double)cells->n;
    if (!(cells->within > 0.0) || cells->within_dof < 1.0)
        cells->within = 0.0;
    return DIALARC_OK;
}
