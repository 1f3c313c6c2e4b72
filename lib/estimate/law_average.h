/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hypotheses about a cam that is not given, one law each, and their average. */
#ifndef DARC_LAW_AVERAGE_H
#define DARC_LAW_AVERAGE_H

#include "estimate/estimate.h"
#include "model/path.h"

/* That the cam follows one law, bent on its flanks by amounts averaged over levels. */
typedef struct darc_hypothesis {
    dialarc_law law;
    double blend;
    double log_evidence;        /* of its levels together */
    int rise_level, fall_level; /* the likeliest pair: estimate/levels */
    double mean[DARC_ASKED];
    double second[DARC_ASKED]; /* mean square */
    double var_readings, var_hysteresis, var_dial, var_wheel;
    double param[DARC_MAX_PARAM];
} darc_hypothesis;

#define DARC_HYPOTHESES 13

/* What the readings have taught about the cam. */
typedef struct darc_learned {
    darc_hypothesis hypothesis[DARC_HYPOTHESES];
    int count;        /* 0: nothing was learned */
    darc_model model; /* its pitch, ratio and terms hold for all hypotheses */
    double foot_deg;  /* their mean foot, crank degrees */
} darc_learned;

/* Average of the quantities asked for over at least one hypothesis, each weighted by its
 * evidence. */
void darc_learned_average(const darc_learned *learned, darc_estimate *estimate);

/* The likeliest of at least one hypothesis. */
const darc_hypothesis *darc_learned_best(const darc_learned *learned);

/* Makes a model, laid out like that of the hypotheses, and its parameters those of the
 * likeliest one. */
void darc_learned_take(const darc_learned *learned, darc_model *model, double *param);

/* Lifts at n pump angles, `step_deg` apart, from the mean foot on: averaged over the
 * hypotheses at equal crank angles. */
void darc_learned_lifts(const darc_learned *learned, double step_deg, int n,
                        double *lift_mm);

#endif
