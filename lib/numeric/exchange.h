/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which readings to take: the n rows of a list that leave the least variance of one
 * quantity, by exchanging one row after the other (Fedorov's algorithm for a c-optimal
 * exact design).
 */
#ifndef DARC_EXCHANGE_H
#define DARC_EXCHANGE_H

#include <stdbool.h>
#include <stddef.h>

#include <dialarc/status.h>

/* A model, straight about one guess: rows of n_param numbers, each scaled by the root of
 * the reading's weight; the gradient of what is wanted; weights of the prior. */
typedef struct darc_view {
    const double *row;    /* one a candidate */
    const double *wanted; /* n_param */
    const double *prior;  /* n_param, >= 0 */
} darc_view;

typedef struct darc_choice {
    int views; /* the same candidates by several guesses: all are to be served */
    const darc_view *view;
    int n_param;
    size_t candidates;
    size_t most; /* times that one candidate may be taken */
    size_t kept; /* the first so many of those taken stay */
    /* true: the variance that counts is what is left when the worst reading is lost */
    bool robust;
} darc_choice;

/*
 * Betters the n candidates in `taken`, with which it begins, until no exchange of one for
 * another lessens the product of the variances of all views. What is taken at the
 * beginning must tell of every parameter that has no prior. DIALARC_OK,
 * DIALARC_ERR_NO_SOLUTION when it does not, or DIALARC_ERR_NO_MEMORY.
 */
dialarc_status darc_exchange(const darc_choice *choice, size_t n, size_t *taken);

#endif
