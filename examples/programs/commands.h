/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The commands of dialarc, each in the file of its name.
 */
#ifndef COMMANDS_H
#define COMMANDS_H

#include "command.h"

extern const command assess_command;
extern const command cam_check_command;
extern const command cam_compare_command;
extern const command cam_learn_command;
extern const command chart_command;
extern const command crosscheck_command;
extern const command dial_command;
extern const command drive_command;
extern const command errors_command;
extern const command form_command;
extern const command gauge_command;
extern const command history_add_command;
extern const command history_anew_command;
extern const command history_engine_command;
extern const command history_near_command;
extern const command history_sheet_command;
extern const command injection_command;
extern const command lobes_command;
extern const command plan_command;
extern const command pluck_command;
extern const command round_command;
extern const command take_command;
extern const command tdc_command;
extern const command tooth_command;
extern const command torque_command;
extern const command what_if_command;

#endif
