/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Sheets of the HTML page of assess.
 */
#ifndef SHEET_SWEEP_H
#define SHEET_SWEEP_H

#include "sheet.h"

/* The sheet of one sweep, which was assessed. */
void sheet_sweep(sheet *s, const char *engine, const char *file,
                 const dialarc_streamed *it);

/* The sheet of all sweeps of an engine. */
void sheet_joint(sheet *s, const char *engine, const dialarc_setup *setup,
                 const dialarc_look *look, const dialarc_joint *joint,
                 const dialarc_timing *timing, const dialarc_decision *decision);

#endif
