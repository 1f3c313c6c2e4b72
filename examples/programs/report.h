/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The page about one sweep, for the person who sets the pump.
 */
#ifndef REPORT_H
#define REPORT_H

#include <dialarc.h>
#include <stdio.h>

/* `engine` is the name of the setup, `file` that of the sweeps table. */
void report_sweep(FILE *out, const char *engine, const char *file,
                  const dialarc_sweep_record *record, const dialarc_timing *timing,
                  const dialarc_decision *decision);

/* The same about all sweeps of an engine together. */
void report_together(FILE *out, const char *engine, const dialarc_setup *setup,
                     const dialarc_look *look, const dialarc_joint *joint,
                     const dialarc_timing *timing, const dialarc_decision *decision);

#endif
