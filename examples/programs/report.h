/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The page about one sweep, or all of an engine, for the person who sets the pump. Each
 * is in parts, between which there is room for pictures.
 */
#ifndef REPORT_H
#define REPORT_H

#include <dialarc.h>

#include "writer.h"

/* The heading; `engine` is the name of the setup. */
void report_head(writer *w, const char *engine, const dialarc_sweep_record *record);

/* The setting, the verdict and what to do next. */
void report_setting(writer *w, const dialarc_sweep_record *record,
                    const dialarc_timing *timing, const dialarc_decision *decision);

/* How sure that is, by cause, what else was found, and the findings. `file` is the name
 * of the sweeps table. */
void report_reasons(writer *w, const char *file, const dialarc_sweep_record *record,
                    const dialarc_timing *timing, const dialarc_decision *decision);

/* The same three about all sweeps of an engine together. */
void report_joint_head(writer *w, const char *engine, const dialarc_joint *joint);
void report_joint_setting(writer *w, const dialarc_setup *setup,
                          const dialarc_joint *joint, const dialarc_timing *timing,
                          const dialarc_decision *decision);
void report_joint_reasons(writer *w, const dialarc_setup *setup, const dialarc_look *look,
                          const dialarc_joint *joint, const dialarc_timing *timing);

#endif
