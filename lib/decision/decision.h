/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a sweep and a job of rounds decide alike. Private. */
#ifndef DARC_DECISION_H
#define DARC_DECISION_H

#include <dialarc/conformity.h>
#include <dialarc/decision.h>

#include "record/known.h"

#define DARC_SURE 0.975 /* least probability of a verdict */

/* A decision in which nothing is known. */
void darc_decision_clear(dialarc_decision *decision, dialarc_verdict verdict);

/* Probabilities and the verdict they allow. */
void darc_decision_weigh(const dialarc_conformity *where, dialarc_decision *decision);

/* The correction from one pump angle to another; nothing when one of them is NaN. */
void darc_decision_turn(const darc_known *known, double from_pump_deg, double to_pump_deg,
                        dialarc_decision *decision);

/* The expanded uncertainty of a correction that is known, from that of the lift and its
 * rate, mm per crank degree. */
void darc_decision_turn_u(const darc_known *known, double lift_u_mm, double rate,
                          dialarc_decision *decision);

/* Variance, mm^2, of the difference of two dial readings without hysteresis. */
double darc_decision_reading_variance(const darc_noise *noise);

/* dialarc_decision_judge() for a setup that has been checked and resolved, and a timing
 * of our own: without a lift or its uncertainty there is no verdict, and nothing is
 * refused.
 */
void darc_decide(const darc_known *known, const dialarc_timing *timing,
                 dialarc_decision *decision);

#endif
