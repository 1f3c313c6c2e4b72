/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Explanations of a sweep by one law each, and their average. Private. */
#ifndef DARC_FIT_AVERAGE_H
#define DARC_FIT_AVERAGE_H

#include "estimate/fit.h"

/* Average of the quantities asked for, each explanation weighted by its evidence. */
void darc_explanation_average(const darc_explanation *x, int count, darc_answer *answer);

/* Lifts at n pump angles, `step_deg` apart, from the foot at crank angle `foot_deg` on:
 * averaged over the laws at equal crank angles. */
void darc_explanation_lifts(const darc_model *base, const darc_explanation *x, int count,
                            double foot_deg, double step_deg, int n, double *lift_mm);

#endif
