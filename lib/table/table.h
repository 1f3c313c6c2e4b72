/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Errors and files: what all readers of tables need.
 */
#ifndef DARC_TABLE_H
#define DARC_TABLE_H

#include <dialarc/table.h>

#if defined(__GNUC__)
#define DARC_PRINTF(at, first) __attribute__((format(printf, at, first)))
#else
#define DARC_PRINTF(at, first)
#endif

/* The first of two that is not DIALARC_OK. */
static inline dialarc_status darc_first(dialarc_status a, dialarc_status b)
{
    return a != DIALARC_OK ? a : b;
}

/* The error that a fault is to fill, its status set, or NULL when it is not wanted or
 * there is no room; counts it in any case. */
dialarc_error *darc_error_next(dialarc_error *error, dialarc_status status);

/* Fills an error that has no place in a file; returns status. */
dialarc_status darc_error_set(dialarc_error *error, dialarc_status status,
                              const char *format, ...) DARC_PRINTF(3, 4);

/* What a loader does with the open file. */
typedef dialarc_status (*darc_load_use)(void *file, void *job, dialarc_error *error);

/* Opens a file, lets `use` read it, and closes it. */
dialarc_status darc_load(const char *path, darc_load_use use, void *job,
                         dialarc_error *error);

/* Copies text for a message: at most 40 bytes, whole characters, nothing unprintable. */
#define DARC_QUOTE_SIZE 48
void darc_quote(const char *text, size_t length, char quoted[DARC_QUOTE_SIZE]);

/* Leaves out spaces, tabs and no-break spaces (U+00A0, U+202F) at both ends. */
void darc_trim(const char **text, const char **end);

#endif
