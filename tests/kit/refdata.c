/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "kit/refdata.h"

struct refdata {
    char file[256];
    char *text;    /* the whole file; fields are cut out of it in place */
    char **fields; /* (rows + 1) * columns, header first */
    size_t columns;
    size_t rows;
};

static char *read_whole(const char *path)
{
    FILE *in = fopen(path, "rb");
    ck_assert_msg(in != NULL, "cannot open %s", path);
    ck_assert_int_eq(fseek(in, 0, SEEK_END), 0);
    long size = ftell(in);
    ck_assert_msg(size > 0, "%s is empty", path);
    rewind(in);
    char *text = malloc((size_t)size + 1);
    ck_assert_ptr_nonnull(text);
    ck_assert_uint_eq(fread(text, 1, (size_t)size, in), (size_t)size);
    text[size] = '\0';
    fclose(in);
    return text;
}

static void append(refdata *table, size_t *n, char *field)
{
    if ((*n & (*n - 1)) == 0) { /* full at every power of two */
        size_t room = *n ? 2 * *n : 1;
        table->fields = realloc(table->fields, room * sizeof *table->fields);
        ck_assert_ptr_nonnull(table->fields);
    }
    table->fields[(*n)++] = field;
}

/* Cuts one field out at *p, ends it with NUL and returns the character that ended it. */
static char cut(char **p, char **field)
{
    char *in = *p, *out = *p;
    *field = out;
    if (*in == '"') {
        for (in++; *in && (*in != '"' || in[1] == '"'); in++) {
            if (*in == '"')
                in++;
            *out++ = *in;
        }
        if (*in == '"')
            in++;
    } else {
        while (*in && *in != ',' && *in != '\r' && *in != '\n')
            *out++ = *in++;
    }
    if (*in == '\r')
        in++;
    char end = *in;
    *p = end ? in + 1 : in;
    *out = '\0';
    return end;
}

static void parse(refdata *table)
{
    char *p = table->text;
    size_t n = 0, line_start = 0;
    while (*p) {
        char *field;
        char end = cut(&p, &field);
        append(table, &n, field);
        if (end == ',')
            continue;
        ck_assert_msg(end == '\n' || end == '\0', "%s: text after a quote, field %zu",
                      table->file, n);
        if (table->columns == 0)
            table->columns = n;
        ck_assert_msg(n - line_start == table->columns,
                      "%s: row %zu has %zu fields, not %zu", table->file,
                      n / table->columns, n - line_start, table->columns);
        line_start = n;
    }
    ck_assert_msg(n > table->columns, "%s has no rows", table->file);
    table->rows = n / table->columns - 1;
}

refdata *refdata_open(const char *file)
{
    const char *srcdir = getenv("srcdir");
    char path[4096];
    refdata *table = calloc(1, sizeof *table);
    ck_assert_ptr_nonnull(table);
    snprintf(table->file, sizeof table->file, "%s", file);
    snprintf(path, sizeof path, "%s/refdata/%s", srcdir ? srcdir : ".", file);
    table->text = read_whole(path);
    parse(table);
    return table;
}

void refdata_close(refdata *table)
{
    if (!table)
        return;
    free(table->fields);
    free(table->text);
    free(table);
}

size_t refdata_rows(const refdata *table)
{
    return table->rows;
}

const char *refdata_text(const refdata *table, size_t row, const char *column)
{
    ck_assert_msg(row < table->rows, "%s: no row %zu", table->file, row);
    for (size_t i = 0; i < table->columns; i++)
        if (strcmp(table->fields[i], column) == 0)
            return table->fields[(row + 1) * table->columns + i];
    ck_abort_msg("%s: no column %s", table->file, column);
    return NULL;
}

size_t refdata_find(const refdata *table, const char *column, const char *text)
{
    size_t found = table->rows;
    for (size_t row = 0; row < table->rows; row++) {
        if (strcmp(refdata_text(table, row, column), text) != 0)
            continue;
        ck_assert_msg(found == table->rows, "%s: %s '%s' occurs twice", table->file,
                      column, text);
        found = row;
    }
    ck_assert_msg(found < table->rows, "%s: no row with %s '%s'", table->file, column,
                  text);
    return found;
}

double refdata_number(const refdata *table, size_t row, const char *column)
{
    const char *text = refdata_text(table, row, column);
    char *end = NULL;
    locale_t c = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    locale_t before = uselocale(c);
    double value = strtod(text, &end);
    uselocale(before);
    freelocale(c);
    ck_assert_msg(*text && *end == '\0' && isfinite(value),
                  "%s: row %zu: %s '%s' is no number", table->file, row, column, text);
    return value;
}

void refdata_check_column(const refdata *table, size_t row, double computed,
                          const char *value, const char *tolerance)
{
    double expected = refdata_number(table, row, value);
    double allowed = refdata_number(table, row, tolerance);
    ck_assert_msg(fabs(computed - expected) <= allowed,
                  "%s: row %zu: computed %.17g, published %.17g +- %g (%s)", table->file,
                  row, computed, expected, allowed, refdata_text(table, row, "source"));
}

void refdata_check(const refdata *table, size_t row, double computed)
{
    refdata_check_column(table, row, computed, "value", "tolerance");
}

void refdata_check_named(const char *file, const char *first, const char *first_text,
                         const char *second, const char *second_text, double computed)
{
    refdata *table = refdata_open(file);
    size_t found = 0;
    for (size_t row = 0; row < refdata_rows(table); row++)
        if (strcmp(refdata_text(table, row, first), first_text) == 0 &&
            strcmp(refdata_text(table, row, second), second_text) == 0) {
            refdata_check(table, row, computed);
            found++;
        }
    ck_assert_msg(found == 1, "%zu rows %s %s in %s", found, first_text, second_text,
                  file);
    refdata_close(table);
}
