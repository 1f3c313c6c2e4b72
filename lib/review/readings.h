/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings that the readings show before anything is fitted. */
#ifndef DARC_REVIEW_READINGS_H
#define DARC_REVIEW_READINGS_H

#include <stdbool.h>

#include <dialarc/timing.h>

#include "record/problem.h"

/* How far above the lowest a reading may stand, mm, when the dial stands still there. */
double darc_still_mm(const darc_noise *noise);

/* Adds them. Returns false when there is nothing that could be fitted. */
bool darc_check_readings(const darc_problem *problem, dialarc_timing *timing);

#endif
