/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tables.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "complain.h"

const char *tables_name(const char *path)
{
    return strcmp(path, "-") == 0 ? "standard input" : path;
}

int tables_fail(const char *who, const char *path, const input *in,
                const dialarc_error *error)
{
    return in->fault[0] ? complain(who, tables_name(path), in->fault)
                        : complain_table(who, tables_name(path), error);
}

int tables_read(const char *who, const char *path, tables_use use, void *job)
{
    dialarc_error error[DIALARC_ERRORS_MAX] = {{.room = DIALARC_ERRORS_MAX}};
    input in;
    dialarc_status status = DIALARC_ERR_FILE;
    if (input_open(&in, path) == 0)
        status = use(&in, job, error);
    int result = status == DIALARC_OK ? DONE : tables_fail(who, path, &in, error);
    input_close(&in);
    return result;
}

static dialarc_status use_setups(input *in, void *setups, dialarc_error *error)
{
    return dialarc_setups_read(input_read, in, setups, error);
}

static dialarc_status use_dials(input *in, void *dials, dialarc_error *error)
{
    return dialarc_dials_read(input_read, in, dials, error);
}

int tables_engines(const char *who, const char *path, const char *from,
                   dialarc_setups **setups, dialarc_dials **dials)
{
    dialarc_error error = {.room = 1};
    int result = tables_read(who, path, use_setups, setups);
    if (result == DONE && from)
        result = tables_read(who, from, use_dials, dials);
    if (result == DONE && from &&
        dialarc_setups_use_dials(*setups, *dials, &error) != DIALARC_OK)
        result = complain_table(who, tables_name(path), &error);
    return result;
}

int tables_setups(const char *who, const char *path, const char *dials,
                  dialarc_setups **setups)
{
    dialarc_dials *read = NULL;
    int result = tables_engines(who, path, dials, setups, &read);
    dialarc_dials_free(read);
    return result;
}

/* What dialarc_rows_read() is asked for. */
typedef struct asking {
    const char *columns;
    dialarc_rows **rows;
} asking;

static dialarc_status use_rows(input *in, void *job, dialarc_error *error)
{
    const asking *a = job;
    return dialarc_rows_read(input_read, in, a->columns, a->rows, error);
}

int tables_rows(const char *who, const char *path, const char *columns,
                dialarc_rows **rows)
{
    asking a = {columns, rows};
    return tables_read(who, path, use_rows, &a);
}

int tables_row_fails(const char *who, const char *path, const dialarc_rows *rows,
                     size_t index, const char *column, const char *text)
{
    dialarc_error error = {.status = DIALARC_ERR_TABLE,
                           .line = dialarc_rows_line(rows, index),
                           .row = index + 1};
    snprintf(error.column_name, sizeof error.column_name, "%s", column ? column : "");
    snprintf(error.text, sizeof error.text, "%s", text);
    return complain_table(who, tables_name(path), &error);
}

double tables_number(const dialarc_rows *rows, size_t index, const char *column,
                     double blank)
{
    double value = DIALARC_UNKNOWN;
    return dialarc_rows_number(rows, index, column, &value) == DIALARC_OK && !isnan(value)
               ? value
               : blank;
}

int tables_no_sweep(const char *who, const char *path)
{
    return complain(who, tables_name(path), "the table holds no sweep, only a header");
}

/* What goes from sweep to sweep. */
typedef struct walk {
    const dialarc_setups *setups;
    dialarc_sweep_buffer *buffer;
    tables_take take;
    void *job;
    size_t sweeps;
    int failed; /* the reason has been told */
} walk;

static dialarc_status use_sweeps(input *in, void *context, dialarc_error *error)
{
    walk *w = context;
    dialarc_sweep_reader *reader = NULL;
    dialarc_sweep_record record = {0};
    dialarc_status status =
        dialarc_sweep_reader_new(input_read, in, w->setups, &reader, error);
    while (status == DIALARC_OK && !w->failed) {
        status = dialarc_sweep_reader_next(reader, w->buffer, &record, error);
        if (status != DIALARC_OK || !record.name)
            break;
        w->failed = w->take(w->job, &record) == FAILED;
        w->sweeps++;
    }
    dialarc_sweep_reader_free(reader);
    return status;
}

int tables_sweeps(const char *who, const char *path, const dialarc_setups *setups,
                  tables_take take, void *job)
{
    walk w = {.setups = setups, .take = take, .job = job};
    w.buffer = dialarc_sweep_buffer_new();
    int result = w.buffer ? tables_read(who, path, use_sweeps, &w) : complain_memory(who);
    dialarc_sweep_buffer_free(w.buffer);
    if (result == DONE && w.sweeps == 0)
        return tables_no_sweep(who, path);
    return w.failed ? FAILED : result;
}
