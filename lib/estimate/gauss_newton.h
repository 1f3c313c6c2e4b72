/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reweighted Gauss-Newton on the path model. */
#ifndef DARC_GAUSS_NEWTON_H
#define DARC_GAUSS_NEWTON_H

#include "estimate/fit.h"

/* Comes near the solution from afar: by some of the readings, blunt at first. */
void darc_fit_approach(darc_fit *fit, const darc_record *record);

/* Approaches and iterates to the maximum posterior; the fit's rows and pulls describe the
 * solution. */
void darc_fit_iterate(darc_fit *fit, const darc_record *record);

#endif
