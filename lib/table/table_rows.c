/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/table_rows.h>

#include <stdlib.h>
#include <string.h>

#include <dialarc/setup.h>

#include "table/table_csv.h"
#include "table/table_field.h"

/* What a field holds; the text of a column of numbers is not kept. */
typedef union cell {
    double number;
    size_t text; /* where it begins in the texts */
} cell;

typedef struct kind {
    bool needed, number;
} kind;

struct dialarc_rows {
    char *spec; /* what was asked for, cut into names */
    const char *name[DIALARC_ROWS_COLUMNS];
    kind kind[DIALARC_ROWS_COLUMNS];
    int columns;
    cell *cell; /* row by row */
    size_t *line;
    size_t count, room;
    char *texts; /* one after the other; the first is "" */
    size_t used, size;
};

static bool is_number(const char *name)
{
    static const char *const unit[] = {"_mm", "_deg", "_rpm", "_ms"};
    size_t length = strlen(name);
    for (size_t i = 0; i < sizeof unit / sizeof *unit; i++) {
        size_t end = strlen(unit[i]);
        if (length > end && strcmp(name + length - end, unit[i]) == 0)
            return true;
    }
    return false;
}

/* Cuts "block_mm! way" into names. */
static dialarc_status find_columns(dialarc_rows *rows, const char *wanted)
{
    size_t size = strlen(wanted) + 1;
    rows->spec = malloc(size);
    if (!rows->spec)
        return DIALARC_ERR_NO_MEMORY;
    memcpy(rows->spec, wanted, size);
    for (char *p = rows->spec + strspn(rows->spec, " "); *p; p += strspn(p, " ")) {
        size_t length = strcspn(p, " ");
        char *end = p + length, *name = p;
        p = end + (*end ? 1 : 0);
        *end = '\0';
        if (rows->columns == DIALARC_ROWS_COLUMNS)
            return DIALARC_ERR_SIZE;
        kind *c = &rows->kind[rows->columns];
        c->needed = end[-1] == '!';
        if (c->needed)
            end[-1] = '\0';
        if (!*name)
            return DIALARC_ERR_SIZE;
        c->number = is_number(name);
        rows->name[rows->columns++] = name;
    }
    return rows->columns > 0 ? DIALARC_OK : DIALARC_ERR_SIZE;
}

static bool room_for_row(dialarc_rows *rows)
{
    if (rows->count < rows->room)
        return true;
    size_t room = rows->room ? 2 * rows->room : 16;
    cell *more = realloc(rows->cell, room * (size_t)rows->columns * sizeof *more);
    if (more)
        rows->cell = more;
    size_t *line = more ? realloc(rows->line, room * sizeof *line) : NULL;
    if (!line)
        return false;
    rows->line = line;
    rows->room = room;
    return true;
}

/* Keeps a text; false when there is no memory. */
static bool keep(dialarc_rows *rows, const char *text, size_t *at)
{
    size_t size = strlen(text) + 1;
    if (rows->used > 0 && size == 1) { /* "" is there already */
        *at = 0;
        return true;
    }
    if (size > rows->size - rows->used) {
        size_t larger = 2 * (rows->size + DIALARC_NAME_SIZE);
        char *more = realloc(rows->texts, larger);
        if (!more)
            return false;
        rows->texts = more;
        rows->size = larger;
    }
    *at = rows->used;
    memcpy(rows->texts + rows->used, text, size);
    rows->used += size;
    return true;
}

static dialarc_status read_cell(dialarc_rows *rows, darc_csv *csv, int k, cell *to,
                                dialarc_error *error)
{
    const kind *c = &rows->kind[k];
    char text[DIALARC_NAME_SIZE] = "";
    size_t length;
    if (c->number)
        return c->needed ? darc_field_needed(csv, k, &to->number, error)
                         : darc_field_number(csv, k, &to->number, error);
    darc_field_trim(csv, k, &length);
    dialarc_status status =
        length || c->needed ? darc_field_name(csv, k, text, error) : DIALARC_OK;
    if (status == DIALARC_OK && !keep(rows, text, &to->text))
        status = darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    return status;
}

/* All fields of a row are read, whatever is wrong with one. */
static dialarc_status read_row(dialarc_rows *rows, darc_csv *csv, dialarc_error *error)
{
    if (rows->count == DIALARC_ROWS_MAX)
        return darc_csv_fail(csv, -1, DIALARC_ERR_SIZE, error,
                             "a table has at most %d rows", DIALARC_ROWS_MAX);
    if (!room_for_row(rows))
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    cell *to = rows->cell + rows->count * (size_t)rows->columns;
    dialarc_status status = DIALARC_OK;
    for (int k = 0; k < rows->columns; k++)
        status = darc_first(status, read_cell(rows, csv, k, &to[k], error));
    rows->line[rows->count] = csv->line;
    rows->count += status == DIALARC_OK;
    return status;
}

static dialarc_status read_all(dialarc_rows *rows, darc_csv *csv, dialarc_error *error)
{
    size_t nothing;
    dialarc_status status =
        keep(rows, "", &nothing)
            ? DIALARC_OK
            : darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    for (int k = 0; k < rows->columns && status == DIALARC_OK; k++)
        if (rows->kind[k].needed)
            status = darc_csv_require(csv, k, k + 1, error);
    for (bool more = true; status == DIALARC_OK;) {
        status = darc_csv_next(csv, &more, error);
        if (status != DIALARC_OK || !more)
            break;
        status = read_row(rows, csv, error);
        if (status != DIALARC_ERR_SIZE) /* behind too many nothing is worth telling */
            status = darc_csv_pass(csv, status, error);
    }
    status = darc_first(csv->refused, status);
    if (status == DIALARC_OK && rows->count == 0)
        status = darc_error_set(error, DIALARC_ERR_TABLE,
                                "the table holds nothing, only a header");
    return status;
}

dialarc_status dialarc_rows_read(dialarc_read read, void *context, const char *columns,
                                 dialarc_rows **rows, dialarc_error *error)
{
    if (!read || !columns || !rows)
        return DIALARC_ERR_NULL;
    dialarc_rows *made = calloc(1, sizeof *made);
    if (!made)
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    dialarc_status status = find_columns(made, columns);
    if (status != DIALARC_OK) {
        darc_error_set(error, status, "%s", dialarc_status_text(status));
    } else {
        darc_csv csv;
        status = darc_csv_open(&csv, read, context, made->name, made->columns, error);
        if (status == DIALARC_OK)
            status = read_all(made, &csv, error);
        darc_csv_close(&csv);
    }
    if (status == DIALARC_OK)
        *rows = made;
    else
        dialarc_rows_free(made);
    return status;
}

/* What dialarc_rows_load() asks of the open file. */
typedef struct loading {
    const char *columns;
    dialarc_rows **rows;
} loading;

static dialarc_status use_file(void *file, void *job, dialarc_error *error)
{
    const loading *wanted = job;
    return dialarc_rows_read(dialarc_read_file, file, wanted->columns, wanted->rows,
                             error);
}

dialarc_status dialarc_rows_load(const char *path, const char *columns,
                                 dialarc_rows **rows, dialarc_error *error)
{
    if (!path || !columns || !rows)
        return DIALARC_ERR_NULL;
    loading wanted = {columns, rows};
    return darc_load(path, use_file, &wanted, error);
}

void dialarc_rows_free(dialarc_rows *rows)
{
    if (!rows)
        return;
    free(rows->spec);
    free(rows->cell);
    free(rows->line);
    free(rows->texts);
    free(rows);
}

size_t dialarc_rows_count(const dialarc_rows *rows)
{
    return rows ? rows->count : 0;
}

size_t dialarc_rows_line(const dialarc_rows *rows, size_t index)
{
    return index < dialarc_rows_count(rows) ? rows->line[index] : 0;
}

/* The field, or NULL when there is none of this kind. */
static const cell *find(const dialarc_rows *rows, size_t index, const char *name,
                        bool number)
{
    for (int k = 0; index < dialarc_rows_count(rows) && k < rows->columns; k++)
        if (rows->kind[k].number == number && strcmp(rows->name[k], name) == 0)
            return &rows->cell[index * (size_t)rows->columns + (size_t)k];
    return NULL;
}

dialarc_status dialarc_rows_number(const dialarc_rows *rows, size_t index,
                                   const char *column, double *value)
{
    if (!rows || !column || !value)
        return DIALARC_ERR_NULL;
    const cell *found = find(rows, index, column, true);
    if (found)
        *value = found->number;
    return found ? DIALARC_OK : DIALARC_ERR_SIZE;
}

const char *dialarc_rows_text(const dialarc_rows *rows, size_t index, const char *column)
{
    const cell *found = column ? find(rows, index, column, false) : NULL;
    return found ? rows->texts + found->text : NULL;
}
