/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fit of a cam whose shape is given. */
#ifndef DARC_KNOWN_CAM_H
#define DARC_KNOWN_CAM_H

#include "estimate/fit.h"

/* Fits a problem with a given cam and says what that gives; an estimate that is cleared
 * when the equations have no solution. `spare` is a fit whose arrays may be used. */
void darc_fit_known(darc_fit *fit, darc_fit *spare, const darc_problem *problem,
                    darc_estimate *estimate);

#endif
