/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The words that pages about a setting have in common, in text and in HTML.
 */
#ifndef WORDS_H
#define WORDS_H

#include <dialarc.h>

#include "writer.h"

/* What to enter as tdc_sd_deg, by how TDC was found, crank degrees. Common practice, no
 * source; README and manual say it in the same words. */
#define WORDS_TDC_SD                                                                     \
    "0.05: by a stop on the piston, met from both sides; 0.08: by equal drops of a "     \
    "dial on the piston; 0.15: by mark or pin of the engine, met with care; 0.3: by a "  \
    "mark seen by eye"

/* The verdict in a word: "GOOD". */
const char *words_of_verdict(dialarc_verdict verdict);

/* The window, the verdict in a word and a sentence, and its probability. */
void words_verdict(writer *w, const dialarc_setup *setup,
                   const dialarc_decision *decision);

/* What to do next, after a sweep and after a round. */
void words_next(writer *w, const dialarc_setup *setup, const dialarc_timing *timing,
                const dialarc_decision *decision);
void words_next_round(writer *w, const dialarc_setup *setup, const dialarc_plan *plan);

/* What to do for an engine whose window is not in the table. */
const char *words_no_window(const dialarc_setup *setup, char text[DIALARC_STEP_SIZE]);

/* Standard uncertainties of a lift by cause, and together; `calibrated`: the readings of
 * the dial were corrected. */
void words_budget(writer *w, const dialarc_budget *budget, dialarc_window_at window_at,
                  int calibrated);

/* Whether the dial reads the same one crank turn on, and nobody has seen which turn it
 * is: a caution of the page. */
int words_stroke_is_open(const dialarc_setup *setup);

/* The findings that are listed: that the stroke is open is a caution instead. */
dialarc_findings words_listed(const dialarc_findings *findings);

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
