/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Batch: many sweeps at once, by as many threads as wanted.
 *
 * Each sweep gets what dialarc_timing_estimate() and dialarc_decision_judge() give for it
 * alone, to the last bit, whatever the number of threads and the share that a thread
 * takes at a time.
 */
#ifndef DIALARC_BATCH_H
#define DIALARC_BATCH_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/decision.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/sweep.h>
#include <dialarc/timing.h>

/** Most threads that are started, whatever is asked for. */
#define DIALARC_THREADS_MAX 1024

/**
 * Sweeps in flat form, one behind the other; the arrays belong to the caller.
 * The readings of sweep i are those from offset[i] on, up to but without offset[i + 1].
 */
typedef struct dialarc_batch {
    size_t sweeps;           /**< how many */
    size_t readings;         /**< length of the arrays of readings */
    const size_t *offset;    /**< sweeps + 1 places in them, none below the one before */
    const double *crank_deg; /**< crank angles, degrees, as in dialarc_sweep */
    const double *dial_mm;   /**< dial readings, mm, sign as shown */
    const dialarc_direction *direction; /**< directions, or NULL: all unknown */
    size_t setups;                      /**< how many setups */
    const dialarc_setup *setup;         /**< the setups */
    const size_t *setup_index; /**< setup of each sweep, or NULL: the first for all */
} dialarc_batch;

/** What one sweep says. */
typedef struct dialarc_batch_result {
    /** DIALARC_OK, DIALARC_NOT_CONVERGED, or why there is no result */
    dialarc_status status;
    dialarc_timing timing;     /**< without a result every number is DIALARC_UNKNOWN */
    dialarc_decision decision; /**< likewise */
} dialarc_batch_result;

/**
 * Hears how far the work is, in the thread that asked for it: `done` of `sweeps`.
 * Returns 0 to go on; anything else stops the work.
 */
typedef int (*dialarc_progress)(void *context, size_t done, size_t sweeps);

/** How the work is done; all zero is a good choice. */
typedef struct dialarc_batch_options {
    size_t threads; /**< 0: as many as there are processors */
    size_t chunk;   /**< sweeps that a thread takes at a time; 0: a sensible number */
    dialarc_progress progress; /**< or NULL */
    void *context;             /**< for it */
} dialarc_batch_options;

DIALARC_BEGIN_DECLS

/**
 * @brief Assesses many sweeps.
 *
 * A sweep that cannot be assessed gets a status below 0 and stops none of the others. The
 * calling thread works too, and it alone calls `progress`: after each of its shares, and
 * once at the end with done == sweeps, when the answer no longer matters. Where no
 * further thread can be started, those that there are do all the work.
 *
 * @param[in]  batch       The sweeps; 0 of them are allowed, and then no array is needed.
 * @param[in]  options     How the work is done; NULL: by as many threads as processors.
 * @param[out] result  batch->sweeps results. Status of one: as of
 *                         dialarc_timing_estimate() and dialarc_decision_judge(), or
 *                         DIALARC_ERR_BATCH (offsets that fall or pass `readings`, or a
 *                         setup that is not there), or DIALARC_ERR_CANCELLED.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NO_MEMORY, or DIALARC_ERR_CANCELLED
 *         (results written; those not reached have that status too).
 * @note The arrays must not change during the call. Built with --disable-threads the
 *       calling thread does all the work.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_batch_assess(const dialarc_batch *batch,
                                                const dialarc_batch_options *options,
                                                dialarc_batch_result *result);

DIALARC_END_DECLS
#endif
