/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The normal equations of a learned cam, flank by flank.
 *
 * A reading is taken on the rise or on the fall: the free terms of the two never meet in
 * one row. So, with the terms of either flank eliminated by themselves, what is left are
 * the unknowns that both share, the head:
 *
 *   S = N_hh + W_h - R_r'R_r - R_f'R_f,   R_x = U_x'^-1 N_xh,   U_x'U_x = N_xx + W_x
 *
 * A flank under a level of its prior is eliminated once, and every pair of levels costs
 * one factor of S: log evidence, solution and variances are those of the whole system.
 */
#ifndef DARC_FLANKS_H
#define DARC_FLANKS_H

#include "estimate/step.h"

#define DARC_HEAD (DARC_MAX_PARAM - 2 * DARC_SHAPE_TERMS)

/* The free terms of a flank, eliminated under one prior. */
typedef struct darc_flank {
    double factor[DARC_SHAPE_TERMS][DARC_SHAPE_TERMS]; /* U */
    double reach[DARC_SHAPE_TERMS][DARC_HEAD];         /* R */
    double lean[DARC_SHAPE_TERMS];                     /* U'^-1 times their slope */
    double shade[DARC_HEAD][DARC_HEAD];                /* R'R, upper triangle */
    double pull[DARC_HEAD];                            /* R'lean */
    double gain;                                       /* its part of a pair's */
} darc_flank;

/* The unknowns that the flanks share, and the pair of flanks taken last. */
typedef struct darc_head {
    int n, at[DARC_HEAD]; /* which parameters they are */
    double normal[DARC_HEAD][DARC_HEAD], slope[DARC_HEAD], weight[DARC_HEAD];
    const darc_flank *rise, *fall;
    double factor[DARC_HEAD][DARC_HEAD], lean[DARC_HEAD];
} darc_head;

/* Takes the head out of a system of a learned cam's unknowns; false when its flanks meet:
 * dwells below 0. */
bool darc_head_open(const darc_system *system, darc_head *head);

/* Eliminates the terms that begin at parameter `first`; false when they are singular. */
bool darc_flank_take(const darc_system *system, const darc_head *head, int first,
                     darc_flank *flank);

/* Takes a pair of flanks, which must stay where they are until another is taken. Returns
 * half of what the step to their solution gains in slope' step less the logarithm of the
 * determinant; -INFINITY when singular. */
double darc_head_take(darc_head *head, const darc_flank *rise, const darc_flank *fall);

/* The step to the solution of the pair. */
void darc_head_step(const darc_head *head, double *step);

/* Variance, under the pair, of a quantity with this gradient. */
double darc_head_variance(const darc_head *head, const double *gradient);

#endif
