/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The words of next steps. Private. A fact of the trade in them is common practice, no
 * source.
 */
#ifndef DARC_STEP_TEXT_H
#define DARC_STEP_TEXT_H

#include <stddef.h>

#include <dialarc/next_steps.h>

/* Writes the sentences of a step that has been checked; returns their length. */
size_t darc_step_text(const dialarc_setup *setup, const dialarc_step *step, char *text,
                      size_t size);

#endif
