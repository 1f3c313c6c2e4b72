/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The estimator: maximum posterior of the path model by reweighted Gauss-Newton, and the
 * average over cam shapes when the cam is learned. Private.
 */
#ifndef DARC_FIT_H
#define DARC_FIT_H

#include <stdint.h>

#include <dialarc/camtable.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/timing.h>

#include "model/path.h"
#include "record/record.h"

/* Errors of dial and wheel with every default filled in. */
typedef struct darc_noise {
    double angle_sd_deg; /* crank */
    double dial_sd_mm;
    double step_mm;
    double turn_mm;
    double hysteresis_max_mm;
    double tdc_sd_deg;
} darc_noise;

/* What one reading says about its expected value m near m0: log density
 * g (m - m0) - w (m - m0)^2 / 2, both scaled by the probability that it is no misread. */
typedef struct darc_pull {
    double g, w;
    double sound;   /* probability that the reading is not misread */
    double density; /* of the reading, sound or misread, per mm */
    double sd;      /* of the reading before it is rounded, mm */
    double score2;  /* squared standardised residual */
} darc_pull;

typedef struct darc_gauss {
    double mean[DARC_MAX_PARAM];
    double weight[DARC_MAX_PARAM]; /* 1/sd^2; 0: flat */
} darc_gauss;

typedef struct darc_fit {
    darc_model model;
    darc_noise noise;
    darc_gauss prior;
    double param[DARC_MAX_PARAM];
    double normal[DARC_MAX_PARAM]
                 [DARC_MAX_PARAM]; /* J'WJ without the prior, upper triangle */
    double factor[DARC_MAX_PARAM][DARC_MAX_PARAM]; /* Cholesky factor with the prior */
    double pull[DARC_MAX_PARAM];                   /* J'g at param, without the prior */
    double misread_share;
    double log_likelihood;
    int solved; /* whether there is a factor */
    int converged;
} darc_fit;

/* What the fit is asked for, of one model or averaged over models. */
enum {
    DARC_ASK_LIFT,
    DARC_ASK_ZERO,
    DARC_ASK_FOOT,
    DARC_ASK_SLACK,
    DARC_ASK_HYST,
    DARC_ASK_RATE,
    DARC_ASK_TOTAL,
    DARC_ASK_RISE,
    DARC_ASKED
};

typedef struct darc_answer {
    double mean[DARC_ASKED];
    double var[DARC_ASKED];
    double var_readings, var_hysteresis, var_cam; /* of the lift at TDC, additive */
    double rise_mm[DIALARC_RISE_INTERVALS + 1];
    dialarc_law law;
    double law_probability;
    int converged;
} darc_answer;

/* One law's explanation of a sweep from which the cam is learned. */
typedef struct darc_explanation {
    dialarc_law law;
    double blend;
    double log_evidence; /* of its levels together */
    double mean[DARC_ASKED];
    double second[DARC_ASKED]; /* mean square */
    double var_readings, var_hysteresis;
    double param[DARC_MAX_PARAM]; /* averaged over levels */
} darc_explanation;

#define DARC_EXPLANATIONS 13

/* Scratch memory of the estimator for up to `capacity` readings. */
typedef struct darc_scratch {
    size_t capacity;
    darc_record record;
    darc_row *rows;
    darc_row *tried; /* those of explanations that are tried */
    darc_pull *pulls;
    double *mean0; /* expected readings where the pulls were taken */
    darc_fit fit, trial;
    darc_fit kept;                 /* the fit that others are compared with */
    const dialarc_camtable *table; /* the cam when it is given as a table, or NULL */
    darc_explanation learned[DARC_EXPLANATIONS];
    int explanations; /* how many the last estimate kept; 0 when the cam was given */
    double foot_deg;  /* their mean foot, crank degrees */
} darc_scratch;

/* Nothing known. */
void darc_answer_clear(darc_answer *answer);

/* Whether an answer is one that a pump can give, with an uncertainty. */
int darc_answer_is_sensible(const darc_answer *answer);

/* sd of one dial reading, graduation included, mm. */
double darc_reading_sd(const darc_noise *noise);

/* The weight of one reading: residual against `mean`, expected sd, share of misreads. */
darc_pull darc_reading_pull(double reading, double mean, double sd, double step,
                            double turn, double share);

/* The same for the reading of a row, with the errors of dial and angle. */
darc_pull darc_row_pull(const darc_noise *noise, double share, double reading,
                        const darc_row *row);

/* Parameters good enough for Gauss-Newton to converge from. */
void darc_fit_start(darc_fit *fit, const darc_record *record);

/* Iterates to the maximum posterior; rows and pulls describe the solution. */
void darc_fit_iterate(darc_fit *fit, const darc_record *record, darc_row *rows,
                      darc_pull *pulls);

/* Solves (normal + prior) x = v with the factor of the last iteration, in place; only for
 * a fit that is solved. */
void darc_fit_backsolve(darc_fit *fit, double *v);

/* Normal equations, upper triangle: emptied, and one reading added. */
void darc_normal_clear(darc_fit *fit);
void darc_normal_add(darc_fit *fit, const double *by, double g, double w);

/* Fits a cam whose law and segments are known. */
void darc_fit_known(darc_scratch *s, const dialarc_setup *setup, const darc_noise *noise,
                    darc_answer *answer);

/* Flexible robust fit of a cam of any shape: leaves rows, pulls and s->fit at its
 * solution, with s->mean0 as expected there. */
void darc_fit_look(darc_scratch *s, const dialarc_setup *setup, const darc_noise *noise);

/* Learns the cam from the record. */
void darc_fit_learn(darc_scratch *s, const dialarc_setup *setup, const darc_noise *noise,
                    darc_answer *answer);

/* What a lobe looks like, about the present parameters of a learned cam. */
void darc_fit_shape_prior(darc_fit *fit);

/* Prior and derivative helpers shared by both. */
void darc_fit_model_init(darc_fit *fit, const dialarc_setup *setup,
                         const darc_noise *noise);
/* After a fit: whether the slack is larger than shown, and where the record begins, or
 * goes on after a jump, inside it; fits again when so. */
void darc_fit_slack(darc_scratch *s);
void darc_fit_prior_basic(darc_fit *fit, const darc_record *record);
void darc_fit_gradient(const darc_fit *fit, double value[DARC_ASKED],
                       double gradient[DARC_ASKED][DARC_MAX_PARAM]);

#endif
