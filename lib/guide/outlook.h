/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What readings at given angles can be expected to tell, before a dial is read: the
 * model, the errors and the priors of the estimate, at parameters that are thought of.
 */
#ifndef DARC_OUTLOOK_H
#define DARC_OUTLOOK_H

#include <stdbool.h>
#include <stddef.h>

#include <dialarc/setup.h>
#include <dialarc/sweep.h>

#include "estimate/memory.h"

/* What is thought of engine and pump. Law and length of the rise are those of a cam that
 * is not given. */
typedef struct darc_guess {
    double lift_mm;   /* at TDC */
    double slack_deg; /* crank */
    dialarc_law law;
    double rise_sds; /* by which the rise is longer than the prior has it */
} darc_guess;

/* Makes a problem of readings that nobody has taken yet, n at these crank angles, as they
 * would be without scatter, everything but the guess as the prior has it. Leaves the fit
 * in memory->fit at these parameters, with its rows. `dial_mm` gets the readings. A code
 * of darc_memory_open(), or DIALARC_ERR_LIFT when the cam has no such lift. */
dialarc_status darc_outlook_open(darc_memory *memory, const dialarc_setup *setup,
                                 const darc_guess *guess, size_t n,
                                 const double *crank_deg, double *dial_mm,
                                 darc_problem *problem);

/* What the reading of a row can be expected to tell of its mean: its weight, 1/mm^2,
 * wherever between two graduations it falls. */
double darc_outlook_weight(const darc_noise *noise, const darc_row *row);

/* What readings without scatter say by a cam that is given, about the parameters of a fit
 * whose rows are made; false when they leave one of them open. */
bool darc_outlook_known(darc_fit *fit, const darc_problem *problem,
                        darc_estimate *estimate);

/* Puts the bends that a lobe to be learned has as a rule into the prior of a fit. */
void darc_outlook_bends(darc_fit *fit);

#endif
