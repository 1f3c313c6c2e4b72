/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities that a fit is asked for: their means and variances. */
#ifndef DARC_ESTIMATE_H
#define DARC_ESTIMATE_H

#include <stdbool.h>

#include <dialarc/law.h>
#include <dialarc/timing.h>

enum {
    DARC_ASK_LIFT, /* at TDC, slack taken up in running direction, mm */
    DARC_ASK_ZERO, /* dial reading at zero lift, mm */
    DARC_ASK_FOOT, /* crank degrees */
    DARC_ASK_SLACK,
    DARC_ASK_HYST,
    DARC_ASK_RATE,  /* of the lift at TDC, mm per crank degree */
    DARC_ASK_TOTAL, /* lift of the cam, mm */
    DARC_ASK_RISE,  /* pump degrees */
    DARC_ASKED
};

typedef struct darc_estimate {
    double mean[DARC_ASKED];
    double var[DARC_ASKED];
    /* Of the lift at TDC, additive. */
    double var_readings, var_hysteresis, var_cam, var_dial, var_wheel;
    double rise_mm[DIALARC_RISE_INTERVALS + 1];
    dialarc_law law;
    double law_probability;
    double log_evidence; /* of cams tried on one record they differ by what speaks for
                            each */
    bool converged;
} darc_estimate;

/* Nothing estimated. */
void darc_estimate_clear(darc_estimate *estimate);

/* Whether it is one that a pump can give, with an uncertainty. */
bool darc_estimate_is_sensible(const darc_estimate *estimate);

#endif
