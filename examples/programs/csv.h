/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Fields of a table for other programs, by RFC 4180.
 */
#ifndef CSV_H
#define CSV_H

#include <stdio.h>

/*
 * A spreadsheet takes a text that begins like this for a formula and works it out,
 * whatever it does. Where that is to be guarded against, an apostrophe goes in front.
 */
int csv_is_formula(const char *text);

/* A text in quotes, guarded or not. */
void csv_text(FILE *out, const char *text, int guard);

/* A comma and a number, or nothing behind the comma when it is not known. */
void csv_number(FILE *out, double value, int decimals);

#endif
