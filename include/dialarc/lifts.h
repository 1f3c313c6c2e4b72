/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Lifts: the table of a gauge study, one row per lift.
 *
 * Columns: sweep (a name, each once), setup (the engine as it was set), hand (who
 * measured), lift_mm (may be blank, or left out, where the sweep itself is at hand). A
 * results table to which setup and hand are added is one.
 */
#ifndef DIALARC_LIFTS_H
#define DIALARC_LIFTS_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/gaugestudy.h>
#include <dialarc/status.h>
#include <dialarc/table.h>

/** The lifts of a table; may be read by several threads at once. */
typedef struct dialarc_lifts dialarc_lifts;

DIALARC_BEGIN_DECLS

/**
 * @brief Reads a lifts table.
 *
 * @param[in]     read     Brings the bytes.
 * @param[in,out] context  Its context.
 * @param[out]    lifts    The lifts; free with dialarc_lifts_free().
 * @param[in,out] error    Place and reason when the table is refused, or NULL.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_FILE, DIALARC_ERR_NO_MEMORY,
 *         DIALARC_ERR_TABLE, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SIZE (more engines or
 *         hands than DIALARC_GAUGE_LEVELS_MAX, or lifts than DIALARC_GAUGE_LIFTS_MAX).
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_lifts_read(dialarc_read read, void *context,
                                              dialarc_lifts **lifts,
                                              dialarc_error *error);

/**
 * @brief Reads a lifts table from a file.
 *
 * @param[in]     path   Name of the file.
 * @param[out]    lifts  As for dialarc_lifts_read().
 * @param[in,out] error  As for dialarc_lifts_read().
 * @return As dialarc_lifts_read().
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_lifts_load(const char *path, dialarc_lifts **lifts,
                                              dialarc_error *error);

/**
 * @brief Frees the lifts.
 *
 * @param[in] lifts  The lifts; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_lifts_free(dialarc_lifts *lifts);

/**
 * @brief How many lifts there are.
 *
 * @param[in] lifts  The lifts; NULL counts as none.
 * @return Their number.
 * @par Source
 * This project.
 */
DIALARC_API size_t dialarc_lifts_count(const dialarc_lifts *lifts);

/**
 * @brief One of the lifts, engines and hands numbered as they come.
 *
 * @param[in]  lifts  The lifts.
 * @param[in]  index  Which one, from 0 in the order of the table.
 * @param[out] lift   The lift; lift_mm is DIALARC_UNKNOWN when it was blank.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE (no such lift).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_lifts_get(const dialarc_lifts *lifts, size_t index,
                                             dialarc_gauge_lift *lift);

/**
 * @brief Name of the sweep of a lift.
 *
 * @param[in] lifts  The lifts.
 * @param[in] index  Which one, from 0 in the order of the table.
 * @return The name, as long as the lifts live; NULL when there is no such lift.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_lifts_sweep(const dialarc_lifts *lifts, size_t index);

/**
 * @brief Name of the engine of a lift.
 *
 * @param[in] lifts  The lifts.
 * @param[in] index  Which one, from 0 in the order of the table.
 * @return The name, as long as the lifts live; NULL when there is no such lift.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_lifts_setup(const dialarc_lifts *lifts, size_t index);

/**
 * @brief Name of the hand of a lift.
 *
 * @param[in] lifts  The lifts.
 * @param[in] index  Which one, from 0 in the order of the table.
 * @return The name, as long as the lifts live; NULL when there is no such lift.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_lifts_hand(const dialarc_lifts *lifts, size_t index);

DIALARC_END_DECLS
#endif
