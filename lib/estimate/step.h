/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One step of a reweighted Gauss-Newton descent: whole steps overshoot where readings
 * change their weight or the model has a kink, so a share of each is taken, learned from
 * what the step before has left.
 */
#ifndef DARC_STEP_H
#define DARC_STEP_H

#include "model/turn_path.h"

#define DARC_STEP_MAX DARC_LOBES_PARAM /* most unknowns */

/* A descent ends after so many steps at the latest. From some step on it shortens them,
 * so that they come to rest where the model has a kink: full ones go to and fro across it
 * for ever. */
#define DARC_MOST_STEPS   80
#define DARC_SHORTEN_FROM 16

/* A system of normal equations with a prior: n unknowns, `stride` numbers a row. */
typedef struct darc_system {
    int n, stride;
    const double *normal; /* J'WJ, upper triangle */
    const double *weight; /* of the prior, n */
    const double *slope;  /* of the log posterior, n */
    double *factor;       /* Cholesky's factor goes here */
} darc_system;

/* The step taken last, from which the share of the next one is learned. */
typedef struct darc_descent {
    double step[DARC_STEP_MAX]; /* whole Gauss-Newton step */
    double gain;                /* its slope; 0: nothing to learn from */
    double share;               /* the share of it that was taken */
    double most;                /* the share that may be taken next */
} darc_descent;

/* No step taken yet. */
void darc_descent_begin(darc_descent *descent);

/* Writes the next move, a share of the Gauss-Newton step in which no unknown moves by
 * more than its limit (INFINITY: none). Returns the length of the whole step in posterior
 * standard deviations; below 0, and no move, when the system has no solution. */
double darc_descent_step(darc_descent *last, const darc_system *system,
                         const double *limit, double *move);

/* Limits within which the path model is nearly straight: of the basic parameters, by the
 * present total lift; none of the others of n. */
void darc_step_limits(const darc_model *model, double total_mm, int n, double *limit);

#endif
