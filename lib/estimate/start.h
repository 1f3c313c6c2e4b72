/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Starting values: a coarse grid over the foot, the slack and, when the cam is learned,
 * its shape, by least squares on the medians of three readings; then a finer one about
 * the best by a loss that misreads do not move. Zero and total lift are solved for.
 */
#ifndef DARC_START_H
#define DARC_START_H

#include "estimate/fit.h"

/* Parameters good enough for Gauss-Newton to converge from. */
void darc_fit_start(darc_fit *fit, const darc_record *record);

#endif
