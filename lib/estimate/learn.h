/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Learning the cam from the sweep.
 *
 * Each law of the list, with its segment angles unknown, is one hypothesis about the
 * cam; each may be bent by smooth free terms on either flank, of an amplitude that is
 * unknown too. The estimate is the average over laws and amplitudes, each weighted by its
 * probability given the readings: law-like where they support a law, free where they do
 * not. The readings enter as quadratic forms taken once, about a flexible fit that
 * already knows which readings are misread; so all hypotheses face the same data.
 */
#ifndef DARC_LEARN_H
#define DARC_LEARN_H

#include "estimate/fit.h"

/* A law that a cam may follow, and what speaks for it before any reading. */
typedef struct darc_candidate {
    dialarc_law law;
    double blend;
    double log_prior;
} darc_candidate;

#define DARC_CANDIDATES DARC_HYPOTHESES
extern const darc_candidate darc_candidates[DARC_CANDIDATES];

/* Learns the cam of a problem: leaves the flexible fit in `fit`, the hypotheses in
 * fit->at.learned, and says what their average gives; an estimate that is cleared when
 * there is none. `spare` is a fit whose arrays may be used. */
void darc_fit_learn(darc_fit *fit, darc_fit *spare, const darc_problem *problem,
                    darc_estimate *estimate);

/* Makes `about` the likeliest hypothesis of a fit that has learned, under its likeliest
 * levels: rows, normal equations and prior at its parameters, for the readings of the
 * record as the fit has weighed them. */
void darc_learned_open(const darc_fit *fit, const darc_record *record, darc_fit *about);

#endif
