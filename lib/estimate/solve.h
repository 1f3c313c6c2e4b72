/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fit of a problem by its given cam, or by one learned from the readings. */
#ifndef DARC_SOLVE_H
#define DARC_SOLVE_H

#include <stdbool.h>

#include "estimate/fit.h"

/* As darc_fit_known(), or with `learn` darc_fit_learn(). */
void darc_fit_solve(darc_fit *fit, darc_fit *spare, const darc_problem *problem,
                    bool learn, darc_estimate *estimate);

#endif
