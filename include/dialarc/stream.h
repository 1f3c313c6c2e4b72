/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Stream: from a sweeps table to results, by as many threads as wanted, in memory that
 * does not grow with the table.
 */
#ifndef DIALARC_STREAM_H
#define DIALARC_STREAM_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/batch.h>
#include <dialarc/status.h>
#include <dialarc/table.h>
#include <dialarc/table_results.h>
#include <dialarc/table_setups.h>
#include <dialarc/table_sweeps.h>

/** A sweep of the table and what it says, as long as the call that hands it over. */
typedef struct dialarc_streamed {
    const dialarc_sweep_record *record; /**< the sweep */
    const dialarc_batch_result *result; /**< what it says */
    const char *row;   /**< its row of the results table, which ends with a newline and a
                          zero; empty where result->status is below 0 */
    size_t row_length; /**< bytes of the row without the zero */
    const double *residual_mm; /**< residuals of its readings, mm, as of dialarc_assess();
                                  nothing where result->status is below 0 */
} dialarc_streamed;

/** Takes one sweep. Returns 0 to go on; anything else stops the work. */
typedef int (*dialarc_take)(void *context, const dialarc_streamed *streamed);

DIALARC_BEGIN_DECLS

/**
 * @brief Reads a sweeps table, assesses each sweep, and hands over the results in the
 * order of the table.
 *
 * `read` and `take` are called in the calling thread alone, which also assesses sweeps
 * itself when there is nothing to read. What is handed over does not depend on the number
 * of threads. A table that turns out to be malformed has its sweeps before the fault
 * handed over all the same. Memory depends on the number of threads and on the longest
 * sweep, not on the length of the table.
 *
 * @param[in]     read          Brings the bytes.
 * @param[in,out] read_context  Its context.
 * @param[in]     setups        The setups.
 * @param[in]     threads       How many threads; 0: as many as there are processors.
 * @param[in]     take          Takes the results, one after the other.
 * @param[in,out] take_context  Its context.
 * @param[in,out] error         Place and reason when the table is refused, or NULL.
 * @return DIALARC_OK; DIALARC_ERR_CANCELLED when `take` asked to stop; DIALARC_ERR_NULL;
 *         DIALARC_ERR_NO_MEMORY; or as of dialarc_sweep_reader_new() and
 *         dialarc_sweep_reader_next().
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_stream_assess(dialarc_read read, void *read_context,
                                                 const dialarc_setups *setups,
                                                 size_t threads, dialarc_take take,
                                                 void *take_context,
                                                 dialarc_error *error);

DIALARC_END_DECLS
#endif
