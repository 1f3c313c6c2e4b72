/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Explanations of a sweep by one law each, and their average. Private. */
#ifndef DARC_FIT_AVERAGE_H
#define DARC_FIT_AVERAGE_H

#include "fit.h"

typedef struct darc_explanation {
    dialarc_law law;
    double blend;
    double log_evidence; /* of its levels together */
    double mean[DARC_ASKED];
    double second[DARC_ASKED]; /* mean square */
    double var_readings, var_hysteresis;
    double param[DARC_MAX_PARAM]; /* averaged over levels */
} darc_explanation;

/* Average of the quantities asked for, each explanation weighted by its evidence. */
void darc_explanation_average(const darc_explanation *x, int count, darc_answer *answer);

/* Lift along the mean rise, averaged over the laws at equal crank angles. */
void darc_explanation_rise(const darc_fit *fit, const darc_explanation *x, int count,
                           darc_answer *answer);

#endif
