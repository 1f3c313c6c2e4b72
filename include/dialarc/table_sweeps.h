/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Sweeps table: one row per reading in the order taken.
 *
 * Columns: sweep; setup (may be left out, or blank, when there is only one setup);
 * crank_deg, or pump_deg; dial_mm, or dial_in (inches of 25.4 mm); direction (with or
 * against; optional). The rows of a sweep stand together, and a sweep keeps to one angle
 * column. pump_deg is the angle of a wheel on the pump counted from firing TDC: it is
 * multiplied by crank_per_pump (2 when not known), and angle_sd_deg of the setup handed
 * out with the sweep likewise (0.25 when not known), for it belongs to the wheel read.
 *
 * Sweeps are read one at a time, and memory does not grow with the file. A sweep whose
 * name was met before is refused; the names of at least the last 262,144 sweeps count.
 */
#ifndef DIALARC_TABLE_SWEEPS_H
#define DIALARC_TABLE_SWEEPS_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/sweep.h>
#include <dialarc/table.h>
#include <dialarc/table_setups.h>

/** A sweep of a table. */
typedef struct dialarc_sweep_record {
    const char *name;    /**< its name; NULL: the table has ended */
    size_t setup_index;  /**< which of the setups it belongs to */
    dialarc_setup setup; /**< that setup, angle_sd_deg in crank degrees */
    dialarc_sweep sweep; /**< the readings */
    const size_t *line;  /**< line of the file, from 1, of each of the readings */
    size_t row;          /**< row of data, from 1, of the first reading */
} dialarc_sweep_record;

/** Reads sweeps one at a time; for one thread at a time. */
typedef struct dialarc_sweep_reader dialarc_sweep_reader;

/** Memory of one sweep, used again for the next. Each thread that holds a sweep has one.
 */
typedef struct dialarc_sweep_buffer dialarc_sweep_buffer;

/** All sweeps of a table, in memory; may be read by several threads at once. */
typedef struct dialarc_sweeps dialarc_sweeps;

DIALARC_BEGIN_DECLS

/**
 * @brief A new buffer.
 *
 * @return The buffer, or NULL when memory is short; free with
 * dialarc_sweep_buffer_free().
 * @par Source
 * This project.
 */
DIALARC_API dialarc_sweep_buffer *dialarc_sweep_buffer_new(void);

/**
 * @brief Frees a buffer and the sweep in it.
 *
 * @param[in] buffer  The buffer; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_sweep_buffer_free(dialarc_sweep_buffer *buffer);

/**
 * @brief A new reader; takes the header of the table.
 *
 * @param[in]     read     Brings the bytes, until the reader is freed.
 * @param[in,out] context  Its context.
 * @param[in]     setups   The setups, which must outlive the reader.
 * @param[out]    reader   The reader; free with dialarc_sweep_reader_free().
 * @param[in,out] error    Place and reason when the table is refused, or NULL.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_FILE, DIALARC_ERR_NO_MEMORY,
 *         DIALARC_ERR_TABLE.
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_sweep_reader_new(dialarc_read read, void *context,
                                                    const dialarc_setups *setups,
                                                    dialarc_sweep_reader **reader,
                                                    dialarc_error *error);

/**
 * @brief Frees a reader.
 *
 * @param[in] reader  The reader; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_sweep_reader_free(dialarc_sweep_reader *reader);

/**
 * @brief Reads the next sweep.
 *
 * @param[in,out] reader  The reader. Of no more use after an error.
 * @param[in,out] buffer  Holds what the record points at.
 * @param[out]    record  The sweep, until the buffer is used again or freed; its name is
 *                        NULL when the table has ended.
 * @param[in,out] error   Place and reason when the table is refused, or NULL.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_FILE, DIALARC_ERR_NO_MEMORY,
 *         DIALARC_ERR_TABLE, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_DIRECTION,
 *         DIALARC_ERR_SIZE (more than DIALARC_SWEEP_MAX readings).
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_sweep_reader_next(dialarc_sweep_reader *reader,
                                                     dialarc_sweep_buffer *buffer,
                                                     dialarc_sweep_record *record,
                                                     dialarc_error *error);

/**
 * @brief Reads all sweeps of a table.
 *
 * @param[in]     read     Brings the bytes.
 * @param[in,out] context  Its context.
 * @param[in]     setups   The setups.
 * @param[out]    sweeps   The sweeps; free with dialarc_sweeps_free().
 * @param[in,out] error    Place and reason when the table is refused, or NULL.
 * @return As dialarc_sweep_reader_next().
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_sweeps_read(dialarc_read read, void *context,
                                               const dialarc_setups *setups,
                                               dialarc_sweeps **sweeps,
                                               dialarc_error *error);

/**
 * @brief Reads all sweeps of a file.
 *
 * @param[in]     path    Name of the file.
 * @param[in]     setups  The setups.
 * @param[out]    sweeps  As for dialarc_sweeps_read().
 * @param[in,out] error   As for dialarc_sweeps_read().
 * @return As dialarc_sweep_reader_next().
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_sweeps_load(const char *path,
                                               const dialarc_setups *setups,
                                               dialarc_sweeps **sweeps,
                                               dialarc_error *error);

/**
 * @brief Frees the sweeps.
 *
 * @param[in] sweeps  The sweeps; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_sweeps_free(dialarc_sweeps *sweeps);

/**
 * @brief How many sweeps there are.
 *
 * @param[in] sweeps  The sweeps; NULL counts as none.
 * @return Their number.
 * @par Source
 * This project.
 */
DIALARC_API size_t dialarc_sweeps_count(const dialarc_sweeps *sweeps);

/**
 * @brief One of the sweeps.
 *
 * @param[in] sweeps  The sweeps.
 * @param[in] index   Which one, from 0 in the order of the table.
 * @return The sweep, as long as the sweeps live; NULL when there is no such sweep.
 * @par Source
 * This project.
 */
DIALARC_API const dialarc_sweep_record *dialarc_sweeps_get(const dialarc_sweeps *sweeps,
                                                           size_t index);

DIALARC_END_DECLS
#endif
