/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Sweep: dial readings in the order in which they were taken, split into passes.
 */
#ifndef DIALARC_SWEEP_H
#define DIALARC_SWEEP_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/finding.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>

/** Way in which the crank was moving when a reading was taken. */
typedef enum dialarc_direction {
    DIALARC_DIRECTION_UNKNOWN = 0, /**< found from the order of the angles */
    DIALARC_DIRECTION_WITH = 1,    /**< in running direction */
    DIALARC_DIRECTION_AGAINST = -1 /**< against running direction */
} dialarc_direction;

/** Largest size of a crank angle, degrees, or of a dial reading, mm, in a sweep. */
#define DIALARC_SWEEP_LARGEST 1e9

/** Most readings in one sweep. */
#define DIALARC_SWEEP_MAX 100000

/**
 * A recorded sweep; the arrays belong to the caller.
 * Crank angle 0 is firing TDC of the timed cylinder; angles may wrap after a turn.
 */
typedef struct dialarc_sweep {
    size_t n;                           /**< readings, 0..DIALARC_SWEEP_MAX */
    const double *crank_deg;            /**< n crank angles, degrees */
    const double *dial_mm;              /**< n dial readings, mm, sign as shown */
    const dialarc_direction *direction; /**< n directions, or NULL: all unknown */
} dialarc_sweep;

#endif
