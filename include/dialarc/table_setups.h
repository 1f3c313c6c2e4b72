/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Setups table: one row per engine.
 *
 * Columns: setup, lobes (both needed), crank_per_pump, lift_low_mm, lift_high_mm,
 * window_at (tdc or mark), window_crank_deg, cam_law, cam_lift_mm, rise_deg,
 * top_dwell_deg, base_dwell_deg, cam_sd_mm, rise_sd_deg, angle_sd_deg, wheel_error_deg,
 * tdc_sd_deg, dial_sd_mm, dial_step_mm, dial_turn_mm, dial_sense, dial_hysteresis_mm,
 * dial_error_mm, dial_preload_mm, turned (shaft or body), turn_back (allowed or
 * forbidden), firing_tdc (seen or not_seen), body_radius_mm, sprocket_teeth,
 * sprocket_radius_mm, rotation (cw or ccw). They are the fields of dialarc_setup.
 *
 * Three more: lift_low_in and lift_high_in, inches of 25.4 mm, in the place of
 * lift_low_mm and lift_high_mm (a row that gives both is refused); and dial, the name of
 * the dial used, as in the dials table (table_dials.h).
 */
#ifndef DIALARC_TABLE_SETUPS_H
#define DIALARC_TABLE_SETUPS_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/table.h>

/** Most setups of a table: all of them stand in memory, some 400 bytes each. */
#define DIALARC_SETUPS_MAX 131072

/** The setups of a table; may be read by several threads at once. */
typedef struct dialarc_setups dialarc_setups;

DIALARC_BEGIN_DECLS

/**
 * @brief Reads a setups table.
 *
 * @param[in]     read     Brings the bytes.
 * @param[in,out] context  Its context.
 * @param[out]    setups   The setups, at least one, each accepted by
 *                         dialarc_setup_check(); free with dialarc_setups_free().
 * @param[in,out] error    Place and reason when the table is refused, or NULL.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_FILE, DIALARC_ERR_NO_MEMORY,
 *         DIALARC_ERR_TABLE, DIALARC_ERR_SIZE (more than DIALARC_SETUPS_MAX),
 *         DIALARC_ERR_NOT_FINITE or a code of dialarc_setup_check().
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_setups_read(dialarc_read read, void *context,
                                               dialarc_setups **setups,
                                               dialarc_error *error);

/**
 * @brief Reads a setups table from a file.
 *
 * @param[in]     path    Name of the file.
 * @param[out]    setups  As for dialarc_setups_read().
 * @param[in,out] error   As for dialarc_setups_read().
 * @return As dialarc_setups_read().
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_setups_load(const char *path, dialarc_setups **setups,
                                               dialarc_error *error);

/**
 * @brief Frees the setups.
 *
 * @param[in] setups  The setups; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_setups_free(dialarc_setups *setups);

/**
 * @brief How many setups there are.
 *
 * @param[in] setups  The setups; NULL counts as none.
 * @return Their number.
 * @par Source
 * This project.
 */
DIALARC_API size_t dialarc_setups_count(const dialarc_setups *setups);

/**
 * @brief Name of a setup.
 *
 * @param[in] setups  The setups.
 * @param[in] index   Which one, from 0 in the order of the table.
 * @return The name, as long as the setups live; NULL when there is no such setup.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_setups_name(const dialarc_setups *setups, size_t index);

/**
 * @brief One of the setups.
 *
 * @param[in] setups  The setups.
 * @param[in] index   Which one, from 0 in the order of the table.
 * @return The setup, as long as the setups live; NULL when there is no such setup.
 * @par Source
 * This project.
 */
DIALARC_API const dialarc_setup *dialarc_setups_get(const dialarc_setups *setups,
                                                    size_t index);

/**
 * @brief Name of the dial that a setup was measured with: the column dial.
 *
 * @param[in] setups  The setups.
 * @param[in] index   Which one, from 0 in the order of the table.
 * @return The name, "" where the table names none, as long as the setups live; NULL when
 *         there is no such setup.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_setups_dial(const dialarc_setups *setups, size_t index);

/**
 * @brief Finds a setup by its name.
 *
 * @param[in]  setups  The setups.
 * @param[in]  name    The name.
 * @param[out] index   Which one it is.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NO_SOLUTION (no such setup).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_setups_find(const dialarc_setups *setups,
                                               const char *name, size_t *index);

DIALARC_END_DECLS
#endif
