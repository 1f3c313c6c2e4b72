/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Fields of the current row to values, with messages for those that do not convert.
 */
#ifndef DARC_TABLE_FIELD_H
#define DARC_TABLE_FIELD_H

#include "table/table_csv.h"

/* Nothing that a dial or a degree wheel shows is larger, in any unit of the tables. */
#define DARC_FIELD_LARGEST 1e9 /* as DIALARC_SWEEP_LARGEST */

/* The text of a slot without the spaces around it, no-break spaces included; a quoted
 * field is taken as it stands. */
const char *darc_field_trim(const darc_csv *csv, int slot, size_t *length);

/*
 * A number, DIALARC_UNKNOWN when blank; finite and at most DARC_FIELD_LARGEST. A degree
 * sign may follow where the column's name ends in _deg. The first number with a decimal
 * sign settles that of the file, if csv->point is still open.
 */
dialarc_status darc_field_number(darc_csv *csv, int slot, double *value,
                                 dialarc_error *error);

/* A number that must be there. */
dialarc_status darc_field_needed(darc_csv *csv, int slot, double *value,
                                 dialarc_error *error);

/* A whole number from low to high, `blank` when blank; refused with `status`. */
dialarc_status darc_field_whole(darc_csv *csv, int slot, int low, int high, int blank,
                                dialarc_status status, int *value, dialarc_error *error);

/* One of `count` words, 0 for the first; -1 when blank. */
dialarc_status darc_field_word(const darc_csv *csv, int slot, const char *const *words,
                               int count, dialarc_status status, int *which,
                               dialarc_error *error);

/* Whether a text is UTF-8 (RFC 3629). */
bool darc_is_utf8(const char *text, size_t length);

/* A name: UTF-8, not blank, shorter than DIALARC_NAME_SIZE. */
dialarc_status darc_field_name(const darc_csv *csv, int slot,
                               char name[DIALARC_NAME_SIZE], dialarc_error *error);

#endif
