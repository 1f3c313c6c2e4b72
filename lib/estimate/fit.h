/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A fit of the path model: where the search for the maximum posterior stands, and what it
 * says of each reading. A fit is a value; where two are compared, there are two.
 */
#ifndef DARC_FIT_H
#define DARC_FIT_H

#include <stdbool.h>

#include <dialarc/status.h>

#include "estimate/estimate.h"
#include "estimate/flanks.h"
#include "estimate/law_average.h"
#include "estimate/reading_weight.h"
#include "model/path.h"
#include "record/problem.h"

typedef struct darc_gauss {
    double mean[DARC_MAX_PARAM];
    double weight[DARC_MAX_PARAM]; /* 1/sd^2; 0: flat */
} darc_gauss;

/* What is thought of the segment angles, pump degrees: rise, top dwell, base dwell. */
typedef struct darc_segments {
    double mean[3], sd[3];
} darc_segments;

typedef double darc_matrix[DARC_MAX_PARAM][DARC_MAX_PARAM];

/* Levels of how far a flank is bent: estimate/levels. */
#define DARC_LEVELS 6

/* The equations of a learned cam, in parts. */
typedef struct darc_apart {
    darc_head head;
    darc_flank flank[2][DARC_LEVELS]; /* rise, fall */
} darc_apart;

/* The arrays of a fit. */
typedef struct darc_fit_memory {
    darc_row *rows;        /* one a reading, at the solution */
    darc_pull *pulls;      /* one a reading, about these rows */
    darc_matrix *normal;   /* J'WJ without the prior, upper triangle */
    darc_matrix *factor;   /* Cholesky's factor, with the prior */
    darc_apart *apart;     /* scratch for the levels of a learned cam */
    darc_learned *learned; /* what a cam that is not given was found to be */
} darc_fit_memory;

typedef struct darc_fit {
    darc_model model;
    darc_noise noise;
    darc_gauss prior;
    darc_segments segments; /* for the prior of those that are parameters */
    double param[DARC_MAX_PARAM];
    double pull[DARC_MAX_PARAM]; /* J'g at param, without the prior */
    double misread_share;
    double log_likelihood;
    bool solved; /* there is a factor */
    bool converged;
    darc_fit_memory at;
} darc_fit;

/* Room for fits of up to n readings; false, and nothing held, when memory is short. */
bool darc_fit_reserve(darc_fit *fit, size_t n);
void darc_fit_release(darc_fit *fit);

/* A fit of a problem, with nothing done yet but that its lobes are known. */
void darc_fit_begin(darc_fit *fit, const darc_problem *problem);

/* Makes `to` begin where `from` stands: all but the arrays. */
void darc_fit_follow(darc_fit *to, const darc_fit *from);

/* Exchanges two fits. */
void darc_fit_swap(darc_fit *a, darc_fit *b);

/* Normal equations at the fit's parameters: emptied, and one reading added. */
void darc_fit_clear_normal(darc_fit *fit);
void darc_fit_add_row(darc_fit *fit, const double *by, double g, double w);

/* Normal equations of the first n of the fit's rows, as its pulls weigh them. */
void darc_fit_accumulate(darc_fit *fit, size_t n);

/* The normal equations with the prior as one system; the slope, which the caller holds,
 * is written for it. */
darc_system darc_fit_system(const darc_fit *fit, double *slope);

/* Factorises the normal equations with the prior; the logarithm of the determinant goes
 * to *log_det unless it is NULL. False when they are singular. */
bool darc_fit_factorise(const darc_fit *fit, double *log_det);

/* Solves (normal + prior) x = v with the present factor, in place. */
void darc_fit_backsolve(const darc_fit *fit, double *v);

/* What the prior of parameters from..to-1 says of where they stand: the logarithm of its
 * density, but for the factor (2 pi)^(-1/2) each; 0 for those without one. */
double darc_fit_log_prior(const darc_fit *fit, int from, int to);

/* Logarithm of the evidence for the prior now set, by Laplace's approximation about the
 * fit's parameters, where the readings have this log likelihood: up to the constant that
 * belongs to parameters without a prior. The step to the solution goes to `step`, the
 * factor stays in the fit. -INFINITY when singular. */
double darc_fit_evidence(const darc_fit *fit, double log_likelihood, double *step);

/* Variance of a quantity with this gradient, by the present factor. */
double darc_fit_variance(const darc_fit *fit, const double *gradient);

/* Slope of the log posterior by the parameters. */
void darc_fit_slope(const darc_fit *fit, double *slope);

/* The quantities asked for at the fit's parameters, and their gradients. */
void darc_fit_ask(const darc_fit *fit, double value[DARC_ASKED],
                  double gradient[DARC_ASKED][DARC_MAX_PARAM]);

#endif
