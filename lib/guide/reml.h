/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Components of variance by restricted maximum likelihood: none is below 0 (H. D.
 * Patterson and R. Thompson, Biometrika 58, 1971, from memory).
 *
 * Own code: what is looked for are at most four numbers, whose slopes are at hand,
 * and some of them often lie at their limit.
 */
#ifndef DARC_REML_H
#define DARC_REML_H

#include "guide/anova.h"

/* The variances of the components that the design shows, 0 for the others. DIALARC_OK,
 * DIALARC_NOT_CONVERGED, or DIALARC_ERR_NO_MEMORY. */
dialarc_status darc_reml(const darc_cells *cells, const darc_anova *anova,
                         double variance[DARC_COMPONENTS]);

#endif
