/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What is assumed where a setup is silent. Common practice, no source, unless noted.
 */
#ifndef DARC_ASSUMED_H
#define DARC_ASSUMED_H

#include <math.h>

#define DARC_ASSUMED_CRANK_PER_PUMP 2.0
#define DARC_ASSUMED_ANGLE_SD_DEG   0.25 /* of the wheel that is read */
#define DARC_ASSUMED_TDC_SD_DEG     0.5
#define DARC_ASSUMED_DIAL_SD_MM     0.003
#define DARC_ASSUMED_DIAL_STEP_MM   0.01
#define DARC_ASSUMED_DIAL_TURN_MM   1.0

/* Half a 0.01 mm graduation; JIS B 7503:2011 allows 3 to 5 micrometres. */
#define DARC_ASSUMED_HYSTERESIS_MM 0.005

/* Lift rate at TDC when no cam is known: half a crank degree is worth two graduations. */
#define DARC_ASSUMED_RATE_MM_PER_CRANK_DEG 0.04

static inline double darc_known_or(double value, double otherwise)
{
    return isnan(value) ? otherwise : value;
}

#endif
