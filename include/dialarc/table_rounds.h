/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Rounds table: one row per setting round without a degree wheel.
 *
 * Columns: job; setup (may be left out, or blank, when there is only one setup); round
 * (from 1, not decreasing within a job); minimum_mm and tdc_mm (dial readings); state
 * (loose or tight). The rows of a job stand together.
 */
#ifndef DIALARC_TABLE_ROUNDS_H
#define DIALARC_TABLE_ROUNDS_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/rounds.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/table.h>
#include <dialarc/table_setups.h>

/** The rounds of one job. */
typedef struct dialarc_job {
    const char *name;           /**< its name */
    size_t setup_index;         /**< which of the setups it belongs to */
    dialarc_setup setup;        /**< that setup */
    size_t n;                   /**< rounds, at least 1 */
    const dialarc_round *round; /**< n rounds in the order of the table */
    const size_t *line;         /**< line of the file, from 1, of each of them */
} dialarc_job;

/** The jobs of a table; may be read by several threads at once. */
typedef struct dialarc_jobs dialarc_jobs;

DIALARC_BEGIN_DECLS

/**
 * @brief Reads a rounds table.
 *
 * @param[in]     read     Brings the bytes.
 * @param[in,out] context  Its context.
 * @param[in]     setups   The setups.
 * @param[out]    jobs     The jobs; free with dialarc_jobs_free().
 * @param[in,out] error    Place and reason when the table is refused, or NULL.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_FILE, DIALARC_ERR_NO_MEMORY,
 *         DIALARC_ERR_TABLE, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_ORDER (a round number
 *         below the one before).
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_jobs_read(dialarc_read read, void *context,
                                             const dialarc_setups *setups,
                                             dialarc_jobs **jobs, dialarc_error *error);

/**
 * @brief Reads a rounds table from a file.
 *
 * @param[in]     path    Name of the file.
 * @param[in]     setups  The setups.
 * @param[out]    jobs    As for dialarc_jobs_read().
 * @param[in,out] error   As for dialarc_jobs_read().
 * @return As dialarc_jobs_read().
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_jobs_load(const char *path,
                                             const dialarc_setups *setups,
                                             dialarc_jobs **jobs, dialarc_error *error);

/**
 * @brief Frees the jobs.
 *
 * @param[in] jobs  The jobs; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_jobs_free(dialarc_jobs *jobs);

/**
 * @brief How many jobs there are.
 *
 * @param[in] jobs  The jobs; NULL counts as none.
 * @return Their number.
 * @par Source
 * This project.
 */
DIALARC_API size_t dialarc_jobs_count(const dialarc_jobs *jobs);

/**
 * @brief One of the jobs.
 *
 * @param[in] jobs   The jobs.
 * @param[in] index  Which one, from 0 in the order of the table.
 * @return The job, as long as the jobs live; NULL when there is no such job.
 * @par Source
 * This project.
 */
DIALARC_API const dialarc_job *dialarc_jobs_get(const dialarc_jobs *jobs, size_t index);

DIALARC_END_DECLS
#endif
