/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The words that pages about a setting have in common, in text and in HTML.
 */
#ifndef WORDS_H
#define WORDS_H

#include <dialarc.h>

#include "writer.h"

/* The verdict in a word: "GOOD". */
const char *words_of_verdict(dialarc_verdict verdict);

/* The window, the verdict in a word and a sentence, and its probability. */
void words_verdict(writer *w, const dialarc_setup *setup,
                   const dialarc_decision *decision);

/* When a finding says caution, the step that it comes first. */
void words_caution(writer *w, const dialarc_findings *findings);

/* What the window asks of TDC, where that is not known well enough or not stated. */
void words_tdc(writer *w, const dialarc_setup *setup, const dialarc_decision *decision);

/* The step that turns the pump to mid-window, or how to find it when it is not known. */
void words_turn(writer *w, const dialarc_setup *setup, const dialarc_decision *decision);

/* The step that comes forward to where the window is asked for, and the reading to aim
 * at. */
void words_aim(writer *w, const dialarc_setup *setup, const dialarc_decision *decision,
               double slack_crank_deg);

/* The step that makes no correction, and why it is not worth making. */
void words_leave(writer *w, const dialarc_decision *decision);

/* What to do for an engine whose window is not in the table. */
const char *words_no_window(void);

/* The findings about an engine; `line` are the file lines of the rows, `what` is a row's
 * name. */
void words_findings(writer *w, const dialarc_setup *setup,
                    const dialarc_findings *findings, const char *what,
                    const size_t *line, const char *file);

/* What the words on the pages mean. */
void words_meanings(writer *w);

/* What can hurt. */
void words_cautions(writer *w);

#endif
