/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What one descent does not find about the slack: that it is larger than any way back
 * that was read, that the record begins, or goes on after a jump, inside it, and that the
 * crank turned beyond the last reading.
 */
#ifndef DARC_SLACK_START_H
#define DARC_SLACK_START_H

#include "estimate/fit.h"

/* Looks for these about a fit that has been iterated, and fits again when it finds one.
 * `spare` is a fit whose arrays may be used. */
void darc_fit_slack(darc_fit *fit, darc_fit *spare, const darc_problem *problem);

#endif
