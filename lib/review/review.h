/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The fit, reviewed: fitted, looked at as a good foreman would, and fitted again where
 * the readings contradict what it was told. A given cam that they contradict gives way to
 * one learned from them; errors larger than stated give way to those seen.
 */
#ifndef DARC_REVIEW_H
#define DARC_REVIEW_H

#include <dialarc/timing.h>

#include "estimate/memory.h"

/* Fits a problem and adds the findings about its fit; also counts the readings used and
 * rejected. Leaves the fit that is reported in memory->fit, and an estimate that is
 * cleared unless a pump can give it. Returns the factor by which the variances of the
 * readings must still grow to match the scatter, >= 1. */
double darc_fit_reviewed(const darc_problem *stated, darc_memory *memory,
                         darc_estimate *estimate, dialarc_timing *timing);

#endif
