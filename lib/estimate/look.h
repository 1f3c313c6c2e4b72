/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A flexible, robust fit of a cam of any shape: one law bent by free terms. It shows
 * which readings are misread, and where the lobe is, before anything is known of its law.
 */
#ifndef DARC_LOOK_H
#define DARC_LOOK_H

#include "estimate/fit.h"

/* Looks at the readings of a problem, whatever cam is given. */
void darc_fit_look(darc_fit *fit, const darc_problem *problem);

/* The same by some of the readings, not to the end: a start for a fit that goes on. It
 * holds parameters and priors, and no pulls. */
void darc_fit_look_from_afar(darc_fit *fit, const darc_problem *problem);

#endif
