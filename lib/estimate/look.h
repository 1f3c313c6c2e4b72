/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A flexible, robust fit of a cam of any shape: one law bent by free terms. It shows
 * which readings are misread, and where the lobe is, before anything is known of its law.
 */
#ifndef DARC_LOOK_H
#define DARC_LOOK_H

#include "estimate/fit.h"

/* Looks at the readings of a problem, whatever cam is given. */
void darc_fit_look(darc_fit *fit, const darc_problem *problem);

/* Sets the prior of the free terms: sd of the first term of each flank as a share of the
 * total lift; the k-th has it over k^1.5. */
void darc_prior_terms(darc_fit *fit, double total_mm, double rise_share,
                      double fall_share);

#endif
