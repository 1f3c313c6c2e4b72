/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Plain text for people: paragraphs of at most 80 columns.
 */
#ifndef PAGE_H
#define PAGE_H

#include <dialarc.h>
#include <stdio.h>

#include "writer.h"

#define PAGE_TEXT 1024 /* longest text of one paragraph, bytes */

/* A paragraph: `lead` in front of the first line, blanks in front of the others. */
void page_say(FILE *out, const char *lead, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* A heading with a line under it. */
void page_head(FILE *out, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* A probability in words that do not claim more than can be known: "more than 99.9 %". */
const char *page_percent(double probability, char text[32]);

/* Rounded to so many digits after the point; a zero never says minus. */
double page_round(double x, int digits);

/* From what crank angles are counted: "TDC" or "the mark". */
const char *page_zero(const dialarc_setup *setup);

/* Where the window is asked for: "TDC", "the mark", "5 degrees before TDC". */
const char *page_place(const dialarc_setup *setup, char text[64]);

/* The paper for what is written in text and in HTML alike. */
writer page_writer(FILE *out);

#endif
