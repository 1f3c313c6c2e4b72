/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Rows: a table whose columns the caller names, for what has no table of its own here.
 *
 * Everything that table.h says of tables holds: dialects, misspelt columns, faults told
 * with row and column. A column whose name ends in a unit, _mm, _deg, _rpm or _ms, holds
 * numbers; any other holds text.
 */
#ifndef DIALARC_TABLE_ROWS_H
#define DIALARC_TABLE_ROWS_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>
#include <dialarc/table.h>

/** Most columns that may be asked for. */
#define DIALARC_ROWS_COLUMNS 40

/** Most rows of such a table. */
#define DIALARC_ROWS_MAX 100000

/** The rows of a table; may be read by several threads at once. */
typedef struct dialarc_rows dialarc_rows;

DIALARC_BEGIN_DECLS

/**
 * @brief Reads a table.
 *
 * @param[in]     read     Brings the bytes.
 * @param[in,out] context  Its context.
 * @param[in]     columns  Names of the wanted columns with spaces between; a ! behind a
 *                         name says that the column must be there and never blank:
 *                         "block_mm! shown_mm! way".
 * @param[out]    rows     The rows, at least one; free with dialarc_rows_free().
 * @param[in,out] error    Place and reason when the table is refused, or NULL.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_FILE, DIALARC_ERR_NO_MEMORY,
 *         DIALARC_ERR_TABLE, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SIZE (no column wanted,
 *         more than DIALARC_ROWS_COLUMNS, or more rows than DIALARC_ROWS_MAX).
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_rows_read(dialarc_read read, void *context,
                                             const char *columns, dialarc_rows **rows,
                                             dialarc_error *error);

/**
 * @brief Reads a table from a file.
 *
 * @param[in]     path     Name of the file.
 * @param[in]     columns  As for dialarc_rows_read().
 * @param[out]    rows     As for dialarc_rows_read().
 * @param[in,out] error    As for dialarc_rows_read().
 * @return As dialarc_rows_read().
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_rows_load(const char *path, const char *columns,
                                             dialarc_rows **rows, dialarc_error *error);

/**
 * @brief Frees the rows.
 *
 * @param[in] rows  The rows; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_rows_free(dialarc_rows *rows);

/**
 * @brief How many rows there are, blank ones left out.
 *
 * @param[in] rows  The rows; NULL counts as none.
 * @return Their number.
 * @par Source
 * This project.
 */
DIALARC_API size_t dialarc_rows_count(const dialarc_rows *rows);

/**
 * @brief Line of the file on which a row begins.
 *
 * @param[in] rows   The rows.
 * @param[in] index  Which one, from 0 in the order of the table.
 * @return The line, as an editor counts from 1; 0 when there is no such row.
 * @par Source
 * This project.
 */
DIALARC_API size_t dialarc_rows_line(const dialarc_rows *rows, size_t index);

/**
 * @brief A number of a row.
 *
 * @param[in]  rows    The rows.
 * @param[in]  index   Which one, from 0 in the order of the table.
 * @param[in]  column  Its column, one of the names that were asked for and hold numbers.
 * @param[out] value   The number; DIALARC_UNKNOWN where the field is blank or the table
 *                     does not have the column.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE (no such row or column).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_rows_number(const dialarc_rows *rows, size_t index,
                                               const char *column, double *value);

/**
 * @brief A text of a row.
 *
 * @param[in] rows    The rows.
 * @param[in] index   Which one, from 0 in the order of the table.
 * @param[in] column  Its column, one of the names that were asked for and hold text.
 * @return The text, at most 127 bytes, "" where the field is blank or the table does not
 *         have the column, as long as the rows live; NULL when there is no such row or
 *         column.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_rows_text(const dialarc_rows *rows, size_t index,
                                          const char *column);

DIALARC_END_DECLS
#endif
