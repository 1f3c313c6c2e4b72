/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Rounds: setting without a degree wheel, from minimum and TDC readings alone.
 */
#ifndef DIALARC_ROUNDS_H
#define DIALARC_ROUNDS_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/decision.h>
#include <dialarc/finding.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>

/** One setting round without a degree wheel. */
typedef struct dialarc_round {
    int round;         /**< number of the round, counting from 1, not decreasing */
    double minimum_mm; /**< dial reading at the minimum */
    double tdc_mm;     /**< dial reading at TDC */
    int tight;         /**< 1: fasteners tight; 0: loose */
} dialarc_round;

/** What the rounds of a job say. */
typedef struct dialarc_plan {
    double lift_mm;        /**< lift at TDC of the latest reading */
    double lift_u_mm;      /**< expanded uncertainty, 95 % */
    int tight;             /**< 1: lift_mm is a tight reading */
    dialarc_decision decision; /**< of that reading; aim_mm for the next loose one */
    double shift_mm;       /**< expected change of lift on tightening, signed */
    double shift_sd_mm;    /**< sd of the next shift about it */
    size_t shifts;         /**< loose-tight pairs it was learned from */
    dialarc_findings findings; /**< rows count from 0 within the job */
} dialarc_plan;

#endif
