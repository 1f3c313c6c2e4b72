/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What else could explain a record than the fit that is reported: a dial that did not
 * follow the plunger, one that has more hysteresis than it may, errors larger than those
 * stated, or another law than the one that is stated. Each is weighed by its
 * evidence. What is more likely than what is reported stops the verdict; what cannot be
 * ruled out widens the uncertainty, and is told where it widens it much. Few readings
 * cannot tell a dial that lost the plunger from a cam to be learned that starts sharply:
 * there the uncertainty is made to cover both, and no alarm is raised.
 */
#ifndef DARC_DOUBT_H
#define DARC_DOUBT_H

#include <stdbool.h>

#include <dialarc/timing.h>

#include "estimate/memory.h"
#include "estimate/mixture.h"
#include "estimate/other_laws.h"
#include "review/contact.h"
#include "review/larger_errors.h"

/* A fit that is to be reported, with the log evidence of its estimate. */
typedef struct darc_reported {
    darc_problem problem;
    double log_evidence;
} darc_reported;

/* The rivals: one for each end of the dial, then its hysteresis, then larger errors, then
 * the laws. */
#define DARC_HYSTERESIS  DARC_ENDS
#define DARC_FIRST_SCALE (DARC_HYSTERESIS + 1)
#define DARC_FIRST_LAW   (DARC_FIRST_SCALE + DARC_ERROR_SCALES)
#define DARC_DOUBTS      (DARC_FIRST_LAW + DARC_CANDIDATES)

typedef struct darc_doubts {
    int n;
    bool learned; /* against a cam that was learned from the same readings */
    darc_rival rival[DARC_DOUBTS];
    double probability[DARC_DOUBTS];
    double left;           /* probability of what is reported */
    size_t row[DARC_ENDS]; /* first reading at which the dial stood still */
    double hysteresis_mm;  /* what the dial may have when it has more than it may */
} darc_doubts;

/* Nothing is doubted. */
void darc_doubts_clear(darc_doubts *doubts);

/* Weighs all of them against the fit in memory->fit: with the errors stated where they
 * explain the readings so, else with those that the fit has grown. Uses the rest of the
 * memory. */
void darc_doubts_raise(const darc_reported *stated, const darc_reported *grown,
                       const darc_estimate *estimate, const darc_goodness *goodness,
                       bool learned, darc_memory *memory, darc_doubts *doubts);

/* Whether the dial, in all likelihood, has more hysteresis than it may. */
bool darc_hysteresis_is_more(const darc_doubts *doubts);

/* Log odds that the dial stood off, at whichever end is likelier, against what is
 * reported. */
double darc_contact_log_odds(const darc_doubts *doubts);

/* Adds the finding when the dial, in all likelihood, did not follow the plunger; returns
 * whether it was so. */
bool darc_check_contact(const darc_doubts *doubts, dialarc_timing *timing);

/* Makes the estimate of the lift that of the mixture with what is doubted, and adds the
 * finding about what widens it much. */
void darc_check_doubts(const darc_doubts *doubts, darc_estimate *estimate,
                       dialarc_timing *timing);

#endif
