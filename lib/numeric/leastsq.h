/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Linear least squares by orthogonal triangularisation, fed row by row.
 *
 * Rows are gathered in a block of fixed size; a full block is triangularised together
 * with what came before. So any number of rows fits on the stack, and the result is as
 * accurate as one QR decomposition of them all.
 *
 * By loops of its own: a program that brings another BLAS puts it in the place of GSL's,
 * and the last bits of results would be the host's.
 */
#ifndef DARC_LEASTSQ_H
#define DARC_LEASTSQ_H

#include <stddef.h>

#include <dialarc/status.h>

#define DARC_LSQ_PARAM 12 /* most parameters */
#define DARC_LSQ_BLOCK 64 /* rows gathered before a decomposition */

typedef struct darc_lsq {
    size_t p;    /* parameters */
    size_t n;    /* rows given so far */
    size_t held; /* rows of the block in use */
    double block[(DARC_LSQ_BLOCK + DARC_LSQ_PARAM + 1) * (DARC_LSQ_PARAM + 1)];
} darc_lsq;

typedef struct darc_lsq_result {
    double param[DARC_LSQ_PARAM];
    double covariance[DARC_LSQ_PARAM][DARC_LSQ_PARAM]; /* for rows of unit variance */
    double rss;                                        /* residual sum of squares */
} darc_lsq_result;

/* Starts a problem of p parameters, 1..DARC_LSQ_PARAM. */
void darc_lsq_begin(darc_lsq *problem, size_t p);

/* Adds `weight` times the row  x . param = y; everything finite. */
void darc_lsq_add(darc_lsq *problem, const double *x, double y, double weight);

/* Solves; DIALARC_ERR_NO_SOLUTION when the rows do not determine every parameter. */
dialarc_status darc_lsq_solve(darc_lsq *problem, darc_lsq_result *result);

/* sqrt(g' C g): standard uncertainty of a quantity with gradient g, rows of unit
 * variance. */
double darc_lsq_sd(const darc_lsq_result *result, size_t p, const double *gradient);

#endif
