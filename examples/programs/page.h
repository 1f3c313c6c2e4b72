/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Plain text for people: paragraphs of at most 80 columns, and the words that the pages
 * of the programs have in common.
 */
#ifndef PAGE_H
#define PAGE_H

#include <dialarc.h>
#include <stdio.h>

#define PAGE_TEXT 1024 /* longest text of one paragraph, bytes */

/* A paragraph: `lead` in front of the first line, blanks in front of the others. */
void page_say(FILE *out, const char *lead, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* A heading with a line under it. */
void page_head(FILE *out, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* A probability in words that do not claim more than can be known: "more than 99.9 %". */
const char *page_percent(double probability, char text[32]);

/* The window, the verdict in a word and a sentence, and its probability. */
void page_verdict(FILE *out, const dialarc_setup *setup,
                  const dialarc_decision *decision);

/* Rounded to so many digits after the point; a zero never says minus. */
double page_round(double x, int digits);

/* Number of a step as a lead, "  1. ", and the next number. */
const char *page_step(int *number, char lead[16]);

/* When a finding says caution, the step that it comes first. */
void page_caution(FILE *out, int *number, const dialarc_findings *findings);

/* From what crank angles are counted: "TDC" or "the mark". */
const char *page_zero(const dialarc_setup *setup);

/* Where the window is asked for: "TDC", "the mark", "5 degrees before TDC". */
const char *page_place(const dialarc_setup *setup, char text[64]);

/* What the window asks of TDC, where that is not known well enough or not stated. */
void page_tdc(FILE *out, const char *lead, const dialarc_setup *setup,
              const dialarc_decision *decision);

/* The step that turns the pump to mid-window, or how to find it when it is not known. */
void page_turn(FILE *out, const char *lead, const dialarc_setup *setup,
               const dialarc_decision *decision);

/* The step that comes forward to where the window is asked for, and the reading to aim
 * at.
 */
void page_aim(FILE *out, const char *lead, const dialarc_setup *setup,
              const dialarc_decision *decision, double slack_crank_deg);

/* That a correction is not worth making, and why. */
void page_leave(FILE *out, const char *lead, const dialarc_decision *decision);

/* The step for an engine whose window is not in the table. */
void page_no_window(FILE *out, const char *lead);

/* The findings about an engine; `line` are the file lines of the rows, `what` is a row's
 * name. */
void page_findings(FILE *out, const dialarc_setup *setup,
                   const dialarc_findings *findings, const char *what, const size_t *line,
                   const char *file);

/* What the words on the pages mean. */
void page_words(FILE *out);

/* What can hurt. */
void page_cautions(FILE *out);

#endif
