/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fit of a cam whose shape is given. */
#ifndef DARC_KNOWN_CAM_H
#define DARC_KNOWN_CAM_H

#include "estimate/fit.h"

/* A fit of a problem with a given cam before it has looked at the readings: model and
 * prior; of the parameters, those that are not near a known place are 0. */
void darc_fit_known_begin(darc_fit *fit, const darc_problem *problem);

/* What a fit with a given cam says at its parameters, with its present factor. */
void darc_fit_known_tell(const darc_fit *fit, const darc_given_cam *cam,
                         darc_estimate *estimate);

/* Fits a problem with a given cam and says what that gives; an estimate that is cleared
 * when the equations have no solution. `spare` is a fit whose arrays may be used. */
void darc_fit_known(darc_fit *fit, darc_fit *spare, const darc_problem *problem,
                    darc_estimate *estimate);

#endif
