/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Fields of a table for other programs, by RFC 4180.
 */
#ifndef CSV_H
#define CSV_H

#include <stdio.h>

/* A text in quotes. */
void csv_text(FILE *out, const char *text);

/* A comma and a number, or nothing behind the comma when it is not known. */
void csv_number(FILE *out, double value, int decimals);

#endif
