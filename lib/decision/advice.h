/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What to do next, and how well TDC must be known for a window to be decided. Private.
 *
 * A correction is worth making when the chance to be in the window is better after it
 * than before, when what it corrects is larger than its standard uncertainty, and when a
 * hand can turn so little.
 */
#ifndef DARC_ADVICE_H
#define DARC_ADVICE_H

#include <stdbool.h>

#include <dialarc/decision.h>
#include <dialarc/timing.h>

#include "record/known.h"

/* A lift in mid-window: beside the error of TDC, which counts by `rate`, mm per crank
 * degree, it has this standard uncertainty and may lie anywhere within a width besides.
 */
typedef struct darc_best_case {
    double rest_sd_mm, width_mm, rate;
} darc_best_case;

/* Fills in tdc_sd_deg and tdc_sd_needed_deg, for a verdict that must be so sure. */
void darc_decision_tdc(const darc_known *known, const darc_best_case *best, double sure,
                       dialarc_decision *decision);

/* What an advice hangs on besides the rest of the decision. */
typedef struct darc_doubt {
    double away_mm; /* the lift from mid-window; loose: as tightening will leave it */
    double sd_mm;   /* its standard uncertainty, and by cause: */
    double readings_mm, tdc_mm, cam_mm, dial_mm, wheel_mm;
    bool loose; /* in rounds, not tightened yet; the chances are those after that */
} darc_doubt;

/* The advice that the largest of the causes asks for. */
dialarc_advice darc_weakest(const darc_doubt *doubt);

/* That of a sweep, for a window. */
darc_doubt darc_doubt_of(const darc_known *known, const dialarc_timing *timing);

/* Fills in advice and worth_turning for a lift that is in, low, high or undecided, last
 * of all. */
void darc_advise(const darc_known *known, const darc_doubt *doubt,
                 dialarc_decision *decision);

/* Adds the finding that the window is too narrow for what no reading betters: an sd, and
 * a width besides. */
void darc_check_window_width(const darc_known *known, double sd_mm, double width_mm,
                             dialarc_findings *findings);

/* Standard uncertainty of a lift that no further reading with this dial betters. */
double darc_lasting_sd(const darc_known *known, const dialarc_timing *timing);

#endif
