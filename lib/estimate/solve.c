/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/solve.h"

#include "estimate/known_cam.h"
#include "estimate/learn.h"

void darc_fit_solve(darc_fit *fit, darc_fit *spare, const darc_problem *problem,
                    bool learn, darc_estimate *estimate)
{
    if (learn)
        darc_fit_learn(fit, spare, problem, estimate);
    else
        darc_fit_known(fit, spare, problem, estimate);
}
