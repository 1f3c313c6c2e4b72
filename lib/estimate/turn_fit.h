/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fit of all lobes of a pump to a sweep over a whole turn. */
#ifndef DARC_TURN_FIT_H
#define DARC_TURN_FIT_H

#include <stdbool.h>

#include "estimate/fit.h"
#include "model/turn_path.h"

typedef double darc_turn_matrix[DARC_LOBES_PARAM][DARC_LOBES_PARAM];

typedef struct darc_turn_fit {
    darc_lobes_model model;
    darc_fit *common; /* cam, noise, priors and parameters of the common part */
    int n_common, n_param;
    double own[2 * DIALARC_LOBES_MAX];        /* run-out, timings, lifts */
    double own_weight[2 * DIALARC_LOBES_MAX]; /* their priors, about 0 */
    double pull[DARC_LOBES_PARAM];
    double sound[DIALARC_LOBES_MAX]; /* readings of each lobe that carry the result */
    double score2;                   /* sum of their squared standardised residuals */
    bool converged;
    double *expected_mm;      /* of each reading; room given by the caller */
    darc_turn_matrix *normal; /* J'WJ without the prior; its own */
    darc_turn_matrix *factor;
} darc_turn_fit;

/* Room for the equations; false when memory is short. */
bool darc_turn_fit_reserve(darc_turn_fit *fit);
void darc_turn_fit_release(darc_turn_fit *fit);

/* Fits all lobes of a problem from a fit of their common cam, which moves with them; its
 * pulls and `expected_mm`, one a reading, describe the solution. */
void darc_turn_fit_solve(darc_turn_fit *fit, const darc_problem *problem,
                         darc_fit *common, double *expected_mm);

/* Solves (normal + prior) x = v with the last factor, in place. */
void darc_turn_fit_backsolve(const darc_turn_fit *fit, double *v);

#endif
