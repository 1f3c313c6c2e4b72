/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/table.h"

#include <errno.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

size_t dialarc_read_file(void *file, void *data, size_t size)
{
    if (!file || !data)
        return DIALARC_READ_FAILED;
    size_t got = 0;
    int interrupted = 1; /* by a signal: no failure, the rest is asked for again */
    while (interrupted && got < size) {
        got += fread((char *)data + got, 1, size - got, file);
        interrupted = got < size && ferror((FILE *)file) && errno == EINTR;
        if (interrupted)
            clearerr(file);
    }
    return got < size && ferror((FILE *)file) ? DIALARC_READ_FAILED : got;
}

size_t dialarc_read_memory(void *memory, void *data, size_t size)
{
    dialarc_memory *m = memory;
    if (!m || !data || m->used > m->size)
        return DIALARC_READ_FAILED;
    size_t left = m->size - m->used, got = size < left ? size : left;
    if (got)
        memcpy(data, m->data + m->used, got);
    m->used += got;
    return got;
}

dialarc_status dialarc_error_text(const dialarc_error *error, const char *file,
                                  char *text, size_t size)
{
    if (!error || !text)
        return DIALARC_ERR_NULL;
    if (size == 0)
        return DIALARC_ERR_SIZE;
    char place[80] = "", column[64] = "";
    if (error->line && error->row)
        snprintf(place, sizeof place, "line %zu (row %zu)", error->line, error->row);
    else if (error->line)
        snprintf(place, sizeof place, "line %zu (header)", error->line);
    if (error->column_name[0])
        snprintf(column, sizeof column, "column %s", error->column_name);
    else if (error->column)
        snprintf(column, sizeof column, "column %zu", error->column);
    const char *part[] = {file ? file : "", place, column};
    size_t used = 0;
    text[0] = '\0';
    for (int i = 0; i < 3; i++)
        if (part[i][0] && used < size)
            used += (size_t)snprintf(text + used, size - used, "%s%s", used ? ", " : "",
                                     part[i]);
    if (used < size)
        snprintf(text + used, size - used, "%s%s", used ? ": " : "", error->text);
    return DIALARC_OK;
}

dialarc_status dialarc_errors_text(const dialarc_error *error, const char *file,
                                   char *text, size_t size)
{
    if (!error || !text)
        return DIALARC_ERR_NULL;
    if (size == 0)
        return DIALARC_ERR_SIZE;
    size_t room = error->room ? error->room : 1, used = 0;
    size_t told = error->count < room ? error->count : room;
    dialarc_error_text(error, file, text, size);
    used = strlen(text);
    for (size_t i = 1; i < told && used + 1 < size; i++) {
        text[used++] = '\n';
        dialarc_error_text(&error[i], file, text + used, size - used);
        used += strlen(text + used);
    }
    if (error->count > told)
        snprintf(text + used, size - used, "\nand %zu more", error->count - told);
    return DIALARC_OK;
}

dialarc_error *darc_error_next(dialarc_error *error, dialarc_status status)
{
    if (!error)
        return NULL;
    size_t room = error->room ? error->room : 1, at = error->count++;
    if (at >= room)
        return NULL;
    error[at].status = status;
    return &error[at];
}

dialarc_status darc_error_set(dialarc_error *error, dialarc_status status,
                              const char *format, ...)
{
    dialarc_error *next = darc_error_next(error, status);
    if (!next)
        return status;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(next->text, sizeof next->text, format, arguments);
    va_end(arguments);
    return status;
}

dialarc_status darc_load(const char *path, darc_load_use use, void *job,
                         dialarc_error *error)
{
    FILE *file = fopen(path, "rb");
    if (!file && errno == ENOMEM)
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    if (!file)
        return darc_error_set(error, DIALARC_ERR_FILE, "%s",
                              errno == ENOENT ? "there is no such file"
                              : errno == EACCES
                                  ? "there is no permission to read this file"
                                  : "this file cannot be opened");
    dialarc_status status = use(file, job, error);
    fclose(file);
    return status;
}

void darc_quote(const char *text, size_t length, char quoted[DARC_QUOTE_SIZE])
{
    size_t most = 40, n = length < most ? length : most;
    while (n && n < length && ((unsigned char)text[n] & 0xc0) == 0x80)
        n--;
    for (size_t i = 0; i < n; i++) {
        unsigned char c = (unsigned char)text[i];
        quoted[i] = c < 0x20 || c == 0x7f ? '?' : text[i];
    }
    memcpy(quoted + n, n < length ? "..." : "", n < length ? 4 : 1);
}

/* Bytes of the space that begins at p, or, with `last`, that ends there; 0: there is
 * none. */
static size_t space_length(const char *p, const char *end, bool last)
{
    static const char *const spaces[] = {" ", "\t", "\xc2\xa0", "\xe2\x80\xaf"};
    for (size_t i = 0; i < sizeof spaces / sizeof spaces[0]; i++) {
        size_t n = strlen(spaces[i]);
        if ((size_t)(end - p) >= n && memcmp(last ? end - n : p, spaces[i], n) == 0)
            return n;
    }
    return 0;
}

void darc_trim(const char **text, const char **end)
{
    size_t n;
    while ((n = space_length(*text, *end, false)) > 0)
        *text += n;
    while ((n = space_length(*text, *end, true)) > 0)
        *end -= n;
}
