/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Pictures of a sweep for its HTML page: where the setting lies in the window, the
 * readings with the curve that goes through them, and what is left between the two.
 */
#ifndef PICTURE_H
#define PICTURE_H

#include <dialarc.h>
#include <stdio.h>

/* The lift with its uncertainty, and the window; nothing where neither is known. */
void picture_setting(FILE *out, const dialarc_setup *setup, double lift_mm,
                     double lift_u_mm);

/* Readings over the crank angle, the rise of the cam, minimum, TDC and window. */
void picture_sweep(FILE *out, const dialarc_sweep_record *record,
                   const dialarc_timing *timing);

/* Residuals of the readings; nothing where none are known. */
void picture_residuals(FILE *out, const dialarc_sweep_record *record,
                       const double *residual_mm);

/* Lifts read in the rounds of a job, loose and tight, and the window. */
void picture_rounds(FILE *out, const dialarc_job *job);

#endif
