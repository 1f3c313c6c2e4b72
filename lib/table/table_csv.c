/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/table_csv.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#if defined(__SSE2__) && defined(__GNUC__)
#include <emmintrin.h>
#endif

#include "table/table_near.h"

#define NO_SLOT 0xff

static const char separators[] = ",;\t";

/* Bytes looked at in one go: so many must be readable behind the byte that stops a scan.
 */
#define SKIP_STRIDE 16

/*
 * The first byte from p on at which a scan stops: a separator, a quotation mark, a
 * control other than tab. There must be one.
 */
static inline char *skip_plain(char *p, char separator)
{
#if defined(__SSE2__) && defined(__GNUC__)
    const __m128i between = _mm_set1_epi8(separator), quote = _mm_set1_epi8('"'),
                  tab = _mm_set1_epi8('\t'), control = _mm_set1_epi8(0x1f);
    for (;; p += SKIP_STRIDE) {
        __m128i x = _mm_loadu_si128((const __m128i *)(const void *)p);
        __m128i stop = _mm_cmpeq_epi8(_mm_min_epu8(x, control), x);
        stop = _mm_andnot_si128(_mm_cmpeq_epi8(x, tab), stop);
        stop = _mm_or_si128(stop, _mm_cmpeq_epi8(x, between));
        stop = _mm_or_si128(stop, _mm_cmpeq_epi8(x, quote));
        unsigned found = (unsigned)_mm_movemask_epi8(stop);
        if (found)
            return p + __builtin_ctz(found);
    }
#else
    while (*p != separator && ((unsigned char)*p >= 0x20 ? *p != '"' : *p == '\t'))
        p++;
    return p;
#endif
}

/* Where the scan of a field ended. */
typedef enum ending {
    TO_NEXT_FIELD,
    TO_NEXT_ROW,
    AT_LIMIT, /* of the buffer: read more, then scan the row again */
    AT_FAULT
} ending;

static const char too_long[] =
    "the field is longer than 1 MiB: is a quotation mark left open?";

/* A fault in the row being scanned. */
typedef struct fault {
    const char *text;
    char byte[48]; /* room for `text` when it names a byte */
} fault;

static dialarc_status fail_at(const darc_csv *csv, size_t line, size_t column,
                              const char *name, dialarc_status status,
                              dialarc_error *error, const char *format, va_list arguments)
{
    dialarc_error *next = darc_error_next(error, status);
    if (!next)
        return status;
    next->line = line;
    next->row = csv->row;
    next->column = column;
    snprintf(next->column_name, sizeof next->column_name, "%s", name);
    vsnprintf(next->text, sizeof next->text, format, arguments);
    return status;
}

bool darc_csv_goes_on(darc_csv *csv, dialarc_status status, const dialarc_error *error)
{
    if (csv->refused == DIALARC_OK)
        csv->refused = status;
    return error && error->room > 1 && !csv->broken && status != DIALARC_ERR_NO_MEMORY &&
           status != DIALARC_ERR_FILE;
}

dialarc_status darc_csv_pass(darc_csv *csv, dialarc_status status,
                             const dialarc_error *error)
{
    return status != DIALARC_OK && darc_csv_goes_on(csv, status, error) ? DIALARC_OK
                                                                        : status;
}

dialarc_status darc_csv_fail(const darc_csv *csv, int slot, dialarc_status status,
                             dialarc_error *error, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    size_t column = slot < 0 ? 0 : csv->column[slot];
    fail_at(csv, csv->line + (column ? csv->field[slot].newlines : 0), column,
            slot < 0 ? "" : csv->name[slot], status, error, format, arguments);
    va_end(arguments);
    return status;
}

/* The same for a column of the header that is not wanted. */
static dialarc_status fail_column(const darc_csv *csv, size_t line, size_t column,
                                  const char *name, dialarc_error *error,
                                  const char *format, ...) DARC_PRINTF(6, 7);

static dialarc_status fail_column(const darc_csv *csv, size_t line, size_t column,
                                  const char *name, dialarc_error *error,
                                  const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    fail_at(csv, line, column, name, DIALARC_ERR_TABLE, error, format, arguments);
    va_end(arguments);
    return DIALARC_ERR_TABLE;
}

/* A row that cannot even be read; it is the one after the current row. */
static dialarc_status malformed(darc_csv *csv, size_t newlines, size_t column,
                                dialarc_error *error, const char *format, ...)
    DARC_PRINTF(5, 6);

static dialarc_status malformed(darc_csv *csv, size_t newlines, size_t column,
                                dialarc_error *error, const char *format, ...)
{
    const char *name = "";
    if (column && column <= csv->mapped && csv->slot[column - 1] != NO_SLOT)
        name = csv->name[csv->slot[column - 1]];
    csv->row += csv->columns > 0; /* the header is no row of data */
    csv->broken = true;
    va_list arguments;
    va_start(arguments, format);
    fail_at(csv, csv->next_line + newlines, column, name, DIALARC_ERR_TABLE, error,
            format, arguments);
    va_end(arguments);
    return DIALARC_ERR_TABLE;
}

/* From the byte after an opening quotation mark to the closing one, or to what stops it.
 */
static char *skip_quoted(char *p, const char *limit, char separator, darc_field *field,
                         uint32_t *newlines)
{
    for (;; p++) {
        p = skip_plain(p, separator);
        if (*p == '"') {
            if (p[1] != '"')
                return p;
            field->doubled = true;
            p++;
        } else if (*p == '\n') {
            if (p == limit)
                return p;
            ++*newlines;
        } else if (*p != separator && *p != '\r') {
            return p;
        }
    }
}

static ending stop_at(fault *f, const char *text, char byte)
{
    f->text = text;
    if (!text) {
        snprintf(f->byte, sizeof f->byte, "byte 0x%02x does not belong in a text file",
                 (unsigned)(unsigned char)byte);
        f->text = f->byte;
    }
    return AT_FAULT;
}

/* One field of any kind from *at on. */
static ending scan_field(const darc_csv *csv, char **at, darc_field *field,
                         uint32_t *newlines, fault *f)
{
    char *p = *at, *limit = csv->data + csv->end, separator = csv->separator;
    *field = (darc_field){.text = p, .newlines = *newlines};
    if (*p == '"') {
        field->quoted = true;
        field->text = ++p;
        p = skip_quoted(p, limit, separator, field, newlines);
        if (p == limit && csv->at_end)
            return stop_at(f, "the quotation mark that opens this field is never closed",
                           0);
        if (p != limit && *p != '"')
            return stop_at(f, NULL, *p);
        field->length = (size_t)(p - field->text);
        p += p != limit;
        if (p != limit && *p != separator && *p != '\n' && *p != '\r')
            return stop_at(f, "text after a closing quotation mark", 0);
    } else {
        p = skip_plain(p, separator);
        field->length = (size_t)(p - field->text);
    }
    if (field->length > DARC_CSV_FIELD_MAX)
        return stop_at(f, too_long, 0);
    *at = p + 1;
    if (*p == separator)
        return TO_NEXT_FIELD;
    if (*p == '\r') {
        if (p + 1 == limit && !csv->at_end)
            return AT_LIMIT;
        if (p[1] != '\n')
            return stop_at(f, "a carriage return alone: save with LF or CRLF line ends",
                           0);
        *at = ++p + 1;
    }
    if (*p == '\n') {
        if (p != limit)
            return TO_NEXT_ROW;
        *at = p;
        return csv->at_end ? TO_NEXT_ROW : AT_LIMIT;
    }
    if (*p == '"')
        return stop_at(f,
                       "a quotation mark inside a field: enclose the field in quotation "
                       "marks and double this one",
                       0);
    return stop_at(f, NULL, *p);
}

/* Makes room, growing when a row fills more than half the buffer, and reads on. */
static dialarc_status refill(darc_csv *csv, dialarc_error *error)
{
    size_t kept = csv->end - csv->begin;
    if (kept > csv->size / 2 && csv->size < DARC_CSV_ROW_MAX) {
        char *larger = realloc(csv->data, 2 * csv->size + SKIP_STRIDE);
        if (!larger)
            return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
        csv->data = larger;
        csv->size *= 2;
    }
    if (kept == csv->size)
        return malformed(csv, 0, 0, error, "the row is longer than 64 MiB");
    memmove(csv->data, csv->data + csv->begin, kept);
    csv->begin = 0;
    csv->end = kept;
    while (!csv->at_end && csv->end < csv->size) {
        size_t room = csv->size - csv->end;
        size_t got = csv->read(csv->context, csv->data + csv->end, room);
        if (got > room) /* DIALARC_READ_FAILED too */
            return darc_error_set(error, DIALARC_ERR_FILE, "reading failed");
        csv->end += got;
        csv->at_end = got == 0;
    }
    memset(csv->data + csv->end, '\n', SKIP_STRIDE);
    return DIALARC_OK;
}

/* The same for what most fields are: short, plain, and not the last in the buffer. */
static inline ending scan_plain(const darc_csv *csv, char separator, char **at,
                                darc_field *field, uint32_t *newlines, fault *f)
{
    char *start = *at, *limit = csv->data + csv->end, *p = skip_plain(start, separator);
    size_t length = (size_t)(p - start);
    if (length > DARC_CSV_FIELD_MAX || (*p != separator && (*p != '\n' || p == limit)))
        return scan_field(csv, at, field, newlines, f);
    *field = (darc_field){.text = start, .length = length, .newlines = *newlines};
    *at = p + 1;
    return *p == separator ? TO_NEXT_FIELD : TO_NEXT_ROW;
}

/* "" inside quotation marks stands for ". */
static void undouble(darc_field *field)
{
    char *to = field->text;
    const char *from = field->text, *end = field->text + field->length;
    for (; from < end; from++) {
        *to++ = *from;
        from += *from == '"';
    }
    field->length = (size_t)(to - field->text);
    field->doubled = false;
}

/* Scans the row that begins the buffer, reading on as needed. */
static dialarc_status scan_row(darc_csv *csv, size_t *columns, bool *blank, bool *more,
                               dialarc_error *error)
{
    const char separator = csv->separator;
    for (;;) {
        char *row = csv->data + csv->begin, *p = row;
        *more = !(csv->at_end && csv->begin == csv->end);
        if (!*more)
            return DIALARC_OK;
        size_t column = 0;
        uint32_t newlines = 0;
        bool doubled = false;
        darc_field unwanted = {0}, *field;
        fault f;
        ending e;
        do {
            bool wanted = column < csv->mapped && csv->slot[column] != NO_SLOT;
            field = wanted ? &csv->field[csv->slot[column]] : &unwanted;
            e = scan_plain(csv, separator, &p, field, &newlines, &f);
            doubled = doubled || (wanted && field->doubled);
            column++;
        } while (e == TO_NEXT_FIELD);
        if (e == AT_FAULT)
            return malformed(csv, field->newlines, column, error, "%s", f.text);
        if (e == AT_LIMIT) {
            dialarc_status status = refill(csv, error);
            if (status != DIALARC_OK)
                return status;
            continue;
        }
        for (int slot = 0; doubled && slot < csv->slots; slot++)
            if (csv->field[slot].doubled)
                undouble(&csv->field[slot]);
        *columns = column;
        *blank = (size_t)(field->text - row) == column - 1 && field->length == 0 &&
                 !field->quoted;
        csv->current = csv->begin;
        csv->begin = (size_t)(p - csv->data);
        csv->line = csv->next_line;
        csv->next_line += newlines + 1;
        return DIALARC_OK;
    }
}

static const char *separator_name(char separator)
{
    return separator == ',' ? "comma" : separator == ';' ? "semicolon" : "tab";
}

/* Refuses a row that has not as many fields as the header. */
static dialarc_status check_width(const darc_csv *csv, size_t columns,
                                  dialarc_error *error)
{
    if (columns > csv->columns)
        return darc_csv_fail(csv, -1, DIALARC_ERR_TABLE, error,
                             "%zu fields, but the header has %zu: is there a %s in a "
                             "field that is not in quotation marks%s?",
                             columns, csv->columns, separator_name(csv->separator),
                             csv->separator == ',' ? ", or a decimal comma" : "");
    if (columns < csv->columns)
        return darc_csv_fail(csv, -1, DIALARC_ERR_TABLE, error,
                             "%zu fields, but the header has %zu", columns, csv->columns);
    return DIALARC_OK;
}

dialarc_status darc_csv_next(darc_csv *csv, bool *more, dialarc_error *error)
{
    size_t columns;
    bool blank;
    dialarc_status status;
    do {
        status = scan_row(csv, &columns, &blank, more, error);
        if (status != DIALARC_OK || !*more)
            return status;
        csv->row += !blank;
        if (!blank)
            status = check_width(csv, columns, error);
    } while (blank || (status != DIALARC_OK && darc_csv_goes_on(csv, status, error)));
    return status;
}

/* The slot that a field of the header names, or NO_SLOT. */
static int find_slot(const darc_csv *csv, const darc_field *field)
{
    for (int slot = 0; slot < csv->slots; slot++)
        if (darc_is_named(field->text, field->length, csv->name[slot]))
            return slot;
    return NO_SLOT;
}

/* Finds the wanted columns in the header, the current row. */
static dialarc_status map_columns(darc_csv *csv, dialarc_error *error)
{
    char *p = csv->data + csv->current;
    uint32_t newlines = 0;
    fault f;
    for (size_t column = 0; column < csv->columns; column++) {
        darc_field field;
        scan_field(csv, &p, &field, &newlines, &f);
        int slot = find_slot(csv, &field);
        csv->slot[column] = (unsigned char)slot;
        if (slot == NO_SLOT)
            continue;
        csv->mapped = column + 1;
        if (!csv->column[slot]) {
            csv->column[slot] = column + 1;
            continue;
        }
        dialarc_status status =
            darc_csv_fail(csv, slot, DIALARC_ERR_TABLE, error,
                          "this column stands twice, as column %zu and column %zu",
                          csv->column[slot], column + 1);
        csv->slot[column] = NO_SLOT; /* the first one counts */
        if (!darc_csv_goes_on(csv, status, error))
            return status;
    }
    return DIALARC_OK;
}

/* The slot of a column that is not there and that a field of the header nearly says, or
 * NO_SLOT. */
static int find_near(const darc_csv *csv, const darc_field *field)
{
    int near = NO_SLOT, least = DARC_NAME_FAR;
    for (int slot = 0; slot < csv->slots; slot++) {
        int d = csv->column[slot]
                    ? DARC_NAME_FAR
                    : darc_name_distance(field->text, field->length, csv->name[slot]);
        if (d < least) {
            least = d;
            near = slot;
        }
    }
    return near;
}

/* Refuses a misspelt column: its values would be left out without a word. */
static dialarc_status check_spelling(darc_csv *csv, dialarc_error *error)
{
    char *p = csv->data + csv->current, name[DARC_QUOTE_SIZE];
    uint32_t newlines = 0;
    fault f;
    for (size_t column = 0; column < csv->columns; column++) {
        darc_field field;
        scan_field(csv, &p, &field, &newlines, &f);
        int near = csv->slot[column] == NO_SLOT ? find_near(csv, &field) : NO_SLOT;
        if (near == NO_SLOT)
            continue;
        darc_quote(field.text, field.length, name);
        dialarc_status status = fail_column(
            csv, csv->line + field.newlines, column + 1, name, error,
            "this name is nearly %s: write that, or a name less like it if something "
            "else is meant",
            csv->name[near]);
        csv->misspelt[near] = true;
        if (!darc_csv_goes_on(csv, status, error))
            return status;
    }
    return DIALARC_OK;
}

/* What the header is when its columns are separated in one way. */
typedef struct header {
    char separator;
    size_t columns, known;
} header;

/* Scans the header, blank rows left out, and stands before it again. */
static dialarc_status try_header(darc_csv *csv, header *h, dialarc_error *error)
{
    bool blank = true, more = true;
    csv->separator = h->separator;
    while (blank) {
        dialarc_status status = scan_row(csv, &h->columns, &blank, &more, error);
        if (status != DIALARC_OK || !more)
            return status;
    }
    char *p = csv->data + csv->current;
    uint32_t newlines = 0;
    fault f;
    for (size_t column = 0; column < h->columns; column++) {
        darc_field field;
        scan_field(csv, &p, &field, &newlines, &f);
        h->known += find_slot(csv, &field) != NO_SLOT;
    }
    csv->begin = csv->current;
    csv->next_line = csv->line;
    return DIALARC_OK;
}

/* Takes the separator that shows most of the wanted columns, or else most columns. */
static dialarc_status find_separator(darc_csv *csv, dialarc_error *error)
{
    header best = {.separator = ','};
    bool tie = false;
    for (const char *s = separators; *s; s++) {
        header h = {.separator = *s};
        dialarc_error why = {0};
        dialarc_status status = try_header(csv, &h, &why);
        if (status != DIALARC_OK && status != DIALARC_ERR_TABLE)
            return darc_error_set(error, status, "%s", why.text);
        if (h.columns < 2) /* the same whatever separates */
            continue;
        tie = h.known == best.known ? tie || h.known > 0 : tie && h.known < best.known;
        if (h.known > best.known || (h.known == best.known && h.columns > best.columns))
            best = h;
    }
    csv->separator = best.separator;
    return tie ? malformed(csv, 0, 0, error,
                           "the header separates its columns in two ways: use commas "
                           "alone, or semicolons, or tabs")
               : DIALARC_OK;
}

/* Takes a first line such as "sep=;", by which spreadsheets name the separator. */
static dialarc_status read_separator(darc_csv *csv, dialarc_error *error)
{
    const char *p = csv->data + csv->begin; /* newlines stand behind the last byte */
    size_t length = csv->end - csv->begin;
    if (length < 5 || !darc_is_named(p, 4, "sep="))
        return find_separator(csv, error);
    size_t end = p[5] == '\r' ? 6 : 5;
    if (p[end] != '\n')
        return find_separator(csv, error);
    if (!memchr(separators, p[4], sizeof separators - 1))
        return malformed(csv, 0, 0, error,
                         "sep= must name a comma, a semicolon or a tab");
    csv->separator = p[4];
    csv->begin = end < length ? csv->begin + end + 1 : csv->end;
    csv->next_line++;
    return DIALARC_OK;
}

/* Takes the byte order mark. */
static dialarc_status read_mark(darc_csv *csv, dialarc_error *error)
{
    if (csv->end >= 3 && memcmp(csv->data, "\xef\xbb\xbf", 3) == 0)
        csv->begin = 3;
    if (csv->end >= 2 &&
        (memcmp(csv->data, "\xff\xfe", 2) == 0 || memcmp(csv->data, "\xfe\xff", 2) == 0))
        return malformed(csv, 0, 0, error, "the file is in UTF-16: save it as UTF-8");
    return DIALARC_OK;
}

dialarc_status darc_csv_open(darc_csv *csv, dialarc_read read, void *context,
                             const char *const *name, int slots, dialarc_error *error)
{
    memset(csv, 0, sizeof *csv);
    csv->read = read;
    csv->context = context;
    csv->name = name;
    csv->slots = slots;
    csv->next_line = 1;
    for (int slot = 0; slot < slots; slot++)
        csv->field[slot].text = csv->nothing;
    csv->size = DARC_CSV_BUFFER;
    csv->data = malloc(csv->size + SKIP_STRIDE);
    if (!csv->data)
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    dialarc_status status = refill(csv, error);
    if (status == DIALARC_OK)
        status = read_mark(csv, error);
    if (status == DIALARC_OK)
        status = read_separator(csv, error);
    if (status != DIALARC_OK)
        return status;
    csv->point = csv->separator == ',' ? '.' : '\0';
    bool blank = true, more = true;
    while (blank) {
        size_t columns;
        status = scan_row(csv, &columns, &blank, &more, error);
        if (status != DIALARC_OK)
            return status;
        if (!more)
            return darc_error_set(error, DIALARC_ERR_TABLE,
                                  "the file is empty: it needs a header row");
        csv->columns = columns;
    }
    csv->slot = malloc(csv->columns);
    if (!csv->slot)
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    status = map_columns(csv, error);
    return status == DIALARC_OK ? check_spelling(csv, error) : status;
}

void darc_csv_close(darc_csv *csv)
{
    free(csv->data);
    free(csv->slot);
    memset(csv, 0, sizeof *csv);
}

dialarc_status darc_csv_require(darc_csv *csv, int first, int end, dialarc_error *error)
{
    dialarc_status status = DIALARC_OK;
    for (int slot = first; slot < end; slot++) {
        if (csv->column[slot])
            continue;
        status = DIALARC_ERR_TABLE;
        if (!csv->misspelt[slot]) /* told already */
            darc_csv_fail(csv, slot, status, error,
                          "this column is missing from the header");
    }
    return status;
}
