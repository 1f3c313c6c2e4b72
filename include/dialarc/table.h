/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Table: what the CSV tables have in common - where bytes come from, and how a table that
 * cannot be used is reported.
 *
 * Tables are CSV in UTF-8 with a header row: LF or CRLF, a byte order mark is allowed,
 * fields may be quoted and then hold separators, newlines and doubled quotes. Columns
 * stand in any order and are known by name (capitals do not matter); unknown ones are
 * ignored, but one whose name is nearly that of a column which is not there is refused; a
 * blank field means "not known". Rows of nothing but blanks are skipped; every other row
 * has as many fields as the header. A field may have 1 MiB, a row 64 MiB.
 *
 * Written are tables by RFC 4180 with a decimal point, in any locale. Read are those, and
 * the dialects of spreadsheets, one of them a file:
 * - a comma, a semicolon or a tab separates columns: what a first line "sep=;" names, or
 *   else what shows most known columns in the header; two that show as many are refused;
 * - where it is no comma, the decimal sign may be a comma: the first number that has a
 *   sign settles which it is, and a number with the other one is refused. "1,234" is a
 *   decimal then; thousands are never separated;
 * - a minus may be U+2212; no-break spaces (U+00A0, U+202F) are left out around numbers
 *   and names as other spaces are; a degree sign may follow a number in a column whose
 *   name ends in _deg.
 */
#ifndef DIALARC_TABLE_H
#define DIALARC_TABLE_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** Room for the name of a setup, sweep, job or cam: 127 bytes and a final zero. */
#define DIALARC_NAME_SIZE 128

/** A sensible room for the faults of one table. */
#define DIALARC_ERRORS_MAX 20

/** Room for any text of so many errors. */
#define DIALARC_ERRORS_SIZE ((size_t)DIALARC_ERRORS_MAX * 600)

/**
 * Why a table was refused. Optional, owned by the caller, who sets it to zero first; the
 * first error stays until it is set to zero again.
 *
 * Who wants to hear of all faults of a table at once hands over the first of an array of
 * errors, all zero, and says in its `room` how many there are. Reading then goes on to
 * the end of the table after a fault of a row, and each fault fills the next error, in
 * the order of the table; `count` of the first one counts also those for which there was
 * no room. Nothing that was read is handed over after the first fault. What makes the
 * rest of a table unreadable, such as a quotation mark that is never closed, ends the
 * search.
 */
typedef struct dialarc_error {
    dialarc_status status; /**< DIALARC_OK: no error so far */
    size_t line;           /**< line of the file as an editor counts, from 1; 0: none */
    size_t row;            /**< row of data, from 1; 0: the header row, or none */
    size_t column;         /**< column of the file, from 1; 0: none in particular */
    char column_name[32];  /**< its name, or "" */
    char text[256];        /**< what is wrong, in words a mechanic understands */
    size_t room;           /**< errors in the array that begins here; 0: this one alone */
    size_t count;          /**< of the first one: faults met, 0: none */
} dialarc_error;

/** What a reading function returns when it fails. */
#define DIALARC_READ_FAILED ((size_t)-1)

/**
 * Brings the next bytes of a table, at most `size`; fewer are allowed.
 * Returns how many there were, 0 at the end, or DIALARC_READ_FAILED.
 */
typedef size_t (*dialarc_read)(void *context, void *data, size_t size);

/** A table in memory, for dialarc_read_memory(). Set `used` to 0. */
typedef struct dialarc_memory {
    const char *data; /**< the bytes; NULL only when there are none */
    size_t size;      /**< how many */
    size_t used;      /**< how many have been read */
} dialarc_memory;

DIALARC_BEGIN_DECLS

/**
 * @brief A dialarc_read for open files: the context is a FILE *.
 *
 * A read that a signal interrupts goes on.
 *
 * @param[in,out] file  A FILE * open for reading, "rb"; it stays open.
 * @param[out]    data  Room for the bytes.
 * @param[in]     size  Most bytes wanted.
 * @return Bytes read; 0 at the end; DIALARC_READ_FAILED.
 * @par Source
 * This project.
 */
DIALARC_API size_t dialarc_read_file(void *file, void *data, size_t size);

/**
 * @brief A dialarc_read for tables in memory: the context is a dialarc_memory *.
 *
 * @param[in,out] memory  A dialarc_memory.
 * @param[out]    data    Room for the bytes.
 * @param[in]     size    Most bytes wanted.
 * @return Bytes read; 0 at the end; DIALARC_READ_FAILED for NULL, or used > size.
 * @par Source
 * This project.
 */
DIALARC_API size_t dialarc_read_memory(void *memory, void *data, size_t size);

/**
 * @brief An error as one line: "sweeps.csv, line 12 (row 11), column dial_mm: ...".
 *
 * @param[in]  error  The error.
 * @param[in]  file   Name of the file to put in front, or NULL.
 * @param[out] text   Room for the line, which is cut to fit and ends with a zero.
 * @param[in]  size   Size of that room, bytes, > 0.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_error_text(const dialarc_error *error,
                                              const char *file, char *text, size_t size);

/**
 * @brief All errors of an array, a line each, and how many more there were.
 *
 * @param[in]  error  The first error; of its array as many as were filled.
 * @param[in]  file   Name of the file to put in front of each line, or NULL.
 * @param[out] text   Room for the lines, which are cut to fit and end with a zero; no
 *                    newline follows the last one.
 * @param[in]  size   Size of that room, bytes, > 0; DIALARC_ERRORS_SIZE is enough.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_errors_text(const dialarc_error *error,
                                               const char *file, char *text, size_t size);

DIALARC_END_DECLS
#endif
