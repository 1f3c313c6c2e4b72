/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Reader of CSV with a header row: one row at a time, its wanted fields left in place in
 * a buffer that holds a little more than one row. See dialarc/table.h for the dialects.
 */
#ifndef DARC_TABLE_CSV_H
#define DARC_TABLE_CSV_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <dialarc/table.h>

#include "table/table.h"

#define DARC_CSV_SLOTS     40 /* most columns a table can ask for */
#define DARC_CSV_FIELD_MAX ((size_t)1 << 20)
#define DARC_CSV_ROW_MAX   ((size_t)64 << 20)
#ifndef DARC_CSV_BUFFER /* fuzzing takes a small one, which must grow */
#define DARC_CSV_BUFFER ((size_t)256 << 10) /* to begin with */
#endif

/* A field of the current row; an absent column has an empty one. No final zero byte. */
typedef struct darc_field {
    char *text;
    size_t length;
    uint32_t newlines; /* in the row before this field */
    bool quoted;
    bool doubled; /* holds doubled quotes that have still to be made single */
} darc_field;

typedef struct darc_csv {
    dialarc_read read;
    void *context;
    char *data; /* `size` bytes, and behind the last one newlines that stop every scan */
    size_t size, begin, end;
    size_t current; /* where the current row begins */
    bool at_end;    /* nothing more to read */
    size_t line;    /* on which the current row begins */
    size_t next_line;
    size_t row;
    size_t columns;          /* of the header */
    const char *const *name; /* wanted columns, by slot */
    int slots;
    size_t column[DARC_CSV_SLOTS]; /* of each slot, from 1; 0: absent */
    bool misspelt[DARC_CSV_SLOTS]; /* a column has nearly the name of this slot */
    unsigned char *slot;           /* of each of the first `mapped` columns */
    size_t mapped;
    char separator;                   /* of columns: comma, semicolon or tab */
    char point;                       /* decimal sign; 0: no number has shown it yet */
    size_t point_line;                /* where a number showed it */
    darc_field field[DARC_CSV_SLOTS]; /* of the current row */
    char nothing[1];                  /* the text of absent columns */
    dialarc_status refused;           /* of the first fault met; DIALARC_OK: none yet */
    bool broken;                      /* what follows cannot be read */
} darc_csv;

/*
 * Starts reading: takes the header and finds the columns called `name`, `slots` of them.
 * Whatever it returns, darc_csv_close() is due.
 */
dialarc_status darc_csv_open(darc_csv *csv, dialarc_read read, void *context,
                             const char *const *name, int slots, dialarc_error *error);
void darc_csv_close(darc_csv *csv);

/*
 * Notes a fault that has been told. True when reading is to go on, to tell the others
 * too: then the row is passed over, and in the end the table is refused with
 * csv->refused.
 */
bool darc_csv_goes_on(darc_csv *csv, dialarc_status status, const dialarc_error *error);

/* A status as it is, or DIALARC_OK for a fault after which reading is to go on. */
dialarc_status darc_csv_pass(darc_csv *csv, dialarc_status status,
                             const dialarc_error *error);

/* Goes on to the next row that is not blank; *more becomes false when there is none. */
dialarc_status darc_csv_next(darc_csv *csv, bool *more, dialarc_error *error);

/* Reports an error in a slot of the current row, or (-1) in the row; returns status. */
dialarc_status darc_csv_fail(const darc_csv *csv, int slot, dialarc_status status,
                             dialarc_error *error, const char *format, ...)
    DARC_PRINTF(5, 6);

/* Refuses a table that lacks a column of the slots from `first` to before `end`. */
dialarc_status darc_csv_require(darc_csv *csv, int first, int end, dialarc_error *error);

#endif
