/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tables in tests: text in memory handed out in small pieces, and errors as one line.
 */
#ifndef TABLE_KIT_H
#define TABLE_KIT_H

#include <check.h>
#include <dialarc/table.h>
#include <dialarc/table_setups.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* A table in memory of which at most `piece` bytes are read in one go; 0: as many as fit.
 */
typedef struct kit_source {
    dialarc_memory memory;
    size_t piece;
    int fails; /* reports a failed read at the end of the text */
} kit_source;

static inline size_t kit_read(void *context, void *data, size_t size)
{
    kit_source *s = context;
    size_t most = s->piece && s->piece < size ? s->piece : size;
    size_t got = dialarc_read_memory(&s->memory, data, most);
    return got == 0 && s->fails ? DIALARC_READ_FAILED : got;
}

static inline kit_source kit_text(const char *text)
{
    return (kit_source){.memory = {.data = text, .size = strlen(text)}};
}

/* A table of engines that is in order. */
static inline dialarc_setups *kit_setups(const char *text)
{
    kit_source source = kit_text(text);
    dialarc_setups *setups = NULL;
    ck_assert_int_eq(dialarc_setups_read(kit_read, &source, &setups, NULL), DIALARC_OK);
    return setups;
}

/* Writes a text into a new file; `path` ends in XXXXXX and becomes its name. */
static inline void kit_file(char *path, const char *text)
{
    int handle = mkstemp(path);
    ck_assert_int_ge(handle, 0);
    ck_assert_int_eq(write(handle, text, strlen(text)), (ssize_t)strlen(text));
    close(handle);
}

/* Numbers are printed with a point from here on, whatever the locale ... */
static inline locale_t kit_point(void)
{
    return uselocale(newlocale(LC_ALL_MASK, "C", (locale_t)0));
}

/* ... and as they were before from here on. */
static inline void kit_no_point(locale_t before)
{
    freelocale(uselocale(before));
}

/* Compares an error, written as one line, and clears it. */
static inline void kit_expect(dialarc_error *error, dialarc_status status,
                              const char *line)
{
    char text[512];
    ck_assert_int_eq(error->status, status);
    ck_assert_int_eq(dialarc_error_text(error, NULL, text, sizeof text), DIALARC_OK);
    ck_assert_str_eq(text, line);
    memset(error, 0, sizeof *error);
}

#endif
