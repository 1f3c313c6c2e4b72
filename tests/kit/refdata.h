/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Reader for the tables of published values in refdata/ (RFC 4180, with a header row).
 *
 * Tables are looked for in $srcdir/refdata. Every mistake - no such file, column, row or
 * number - fails the running test with a message that names it.
 *
 *     refdata *table = refdata_open("units.csv");
 *     for (size_t row = 0; row < refdata_rows(table); row++)
 *         refdata_check(table, row, compute(refdata_number(table, row, "input")));
 *     refdata_close(table);
 */
#ifndef DARC_REFDATA_H
#define DARC_REFDATA_H

#include <stddef.h>

typedef struct refdata refdata;

refdata *refdata_open(const char *file);
void refdata_close(refdata *table);

/* Rows below the header. */
size_t refdata_rows(const refdata *table);

/* The only row in which `column` holds `text`. */
size_t refdata_find(const refdata *table, const char *column, const char *text);

/* One field; valid until the table is closed. Blank fields are "". */
const char *refdata_text(const refdata *table, size_t row, const char *column);

/* One field as a number, with a decimal point in any locale. A blank one fails the test.
 */
double refdata_number(const refdata *table, size_t row, const char *column);

/* Fails unless `computed` is within column `tolerance` (absolute) of column `value`. */
void refdata_check(const refdata *table, size_t row, double computed);

/* Opens a table and checks its only row in which two columns hold the texts given. */
void refdata_check_named(const char *file, const char *first, const char *first_text,
                         const char *second, const char *second_text, double computed);

/* As refdata_check() for other pairs of columns. */
void refdata_check_column(const refdata *table, size_t row, double computed,
                          const char *value, const char *tolerance);

#endif
