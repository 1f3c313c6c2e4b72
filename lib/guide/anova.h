/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Analysis of variance of the cells of a gauge study, balanced or not: engines adjusted
 * for hands, hands adjusted for engines, what neither explains of the cells, and what is
 * within them (Henderson's third method; S. R. Searle, G. Casella and C. E. McCulloch,
 * Variance Components, 1992, from memory).
 */
#ifndef DARC_ANOVA_H
#define DARC_ANOVA_H

#include <dialarc/status.h>

#include "guide/cells.h"

/* Components of variance, and the lines of the table that tell of them. */
enum { DARC_ENGINE, DARC_HAND, DARC_BOTH, DARC_REPETITION, DARC_COMPONENTS };

typedef struct darc_anova_line {
    int first, dof;     /* vectors of the basis; dof 0: the design has no such line */
    double squares;     /* their sum */
    double mean_square; /* 0 without degrees of freedom */
    double by[DARC_COMPONENTS]; /* its expectation by the variances: of repetition 1 */
} darc_anova_line;

/* The lines by way of orthonormal vectors over the cells, each cell weighed by the root
 * of its count. Where every cell has one lift, what neither engine nor hand explains
 * stands in for repetition, and there is no line of both. */
typedef struct darc_anova {
    darc_anova_line line[DARC_COMPONENTS];
    int basis_n;
    double (*basis)[DIALARC_GAUGE_CELLS_MAX]; /* darc_anova_free() frees it */
} darc_anova;

/* DIALARC_OK; DIALARC_ERR_NO_SOLUTION when nothing was repeated, or engines and hands
 * cannot be told apart; DIALARC_ERR_NO_MEMORY. */
dialarc_status darc_anova_of(const darc_cells *cells, darc_anova *anova);

void darc_anova_free(darc_anova *anova);

/* Degrees of freedom of chi-square with the first two moments of a line's mean square
 * where the components have these variances (Satterthwaite): those of the line when the
 * design is balanced. */
double darc_anova_dof(const darc_anova *anova, const darc_cells *cells, int line,
                      const double variance[DARC_COMPONENTS]);

#endif
