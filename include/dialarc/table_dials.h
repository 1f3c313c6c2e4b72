/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Dials table: calibrations of dial indicators, point by point.
 *
 * Columns: dial (its name), shown_mm (what it shows) and true_mm (travel of its stem
 * then), which are needed; u_mm (standard uncertainty of that travel, mm), needed too;
 * calibrated_on (a date, as ISO 8601 writes it) and certificate, which may be blank. The
 * rows of a dial stand together, readings and travels rising; of the uncertainties the
 * largest counts, and of date and certificate what the first row says.
 *
 * A setup names its dial in the column dial; dialarc_setups_use_dials() then corrects its
 * readings. shown_mm are counted from where the stem is out; dial_preload_mm of the setup
 * tells how far it is in when the dial, set to zero at the pump's minimum, shows 0.
 */
#ifndef DIALARC_TABLE_DIALS_H
#define DIALARC_TABLE_DIALS_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/dialcal.h>
#include <dialarc/status.h>
#include <dialarc/table.h>
#include <dialarc/table_setups.h>

/** The dials of a table; may be read by several threads at once. */
typedef struct dialarc_dials dialarc_dials;

DIALARC_BEGIN_DECLS

/**
 * @brief Reads a dials table.
 *
 * @param[in]     read     Brings the bytes.
 * @param[in,out] context  Its context.
 * @param[out]    dials    The dials, at least one; free with dialarc_dials_free().
 * @param[in,out] error    Place and reason when the table is refused, or NULL.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_FILE, DIALARC_ERR_NO_MEMORY,
 *         DIALARC_ERR_TABLE, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SIZE (fewer than 2
 *         points or more than DIALARC_DIALCAL_MAX), DIALARC_ERR_ORDER, DIALARC_ERR_SD.
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_dials_read(dialarc_read read, void *context,
                                              dialarc_dials **dials,
                                              dialarc_error *error);

/**
 * @brief Reads a dials table from a file.
 *
 * @param[in]     path   Name of the file.
 * @param[out]    dials  As for dialarc_dials_read().
 * @param[in,out] error  As for dialarc_dials_read().
 * @return As dialarc_dials_read().
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_dials_load(const char *path, dialarc_dials **dials,
                                              dialarc_error *error);

/**
 * @brief Frees the dials.
 *
 * @param[in] dials  The dials; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_dials_free(dialarc_dials *dials);

/**
 * @brief How many dials there are.
 *
 * @param[in] dials  The dials; NULL counts as none.
 * @return Their number.
 * @par Source
 * This project.
 */
DIALARC_API size_t dialarc_dials_count(const dialarc_dials *dials);

/**
 * @brief Name of a dial.
 *
 * @param[in] dials  The dials.
 * @param[in] index  Which one, from 0 in the order of the table.
 * @return The name, as long as the dials live; NULL when there is no such dial.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_dials_name(const dialarc_dials *dials, size_t index);

/**
 * @brief When a dial was calibrated.
 *
 * @param[in] dials  The dials.
 * @param[in] index  Which one, from 0 in the order of the table.
 * @return The date, YYYY-MM-DD, "" where the table has none, as long as the dials live;
 *         NULL when there is no such dial.
 * @par Source
 * ISO 8601.
 */
DIALARC_API const char *dialarc_dials_calibrated_on(const dialarc_dials *dials,
                                                    size_t index);

/**
 * @brief Certificate of a dial's calibration.
 *
 * @param[in] dials  The dials.
 * @param[in] index  Which one, from 0 in the order of the table.
 * @return What the table calls it, "" where it has none, as long as the dials live; NULL
 *         when there is no such dial.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_dials_certificate(const dialarc_dials *dials,
                                                  size_t index);

/**
 * @brief Finds a dial by its name.
 *
 * @param[in]  dials  The dials.
 * @param[in]  name   The name.
 * @param[out] index  Which one it is.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NO_SOLUTION (no such dial).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dials_find(const dialarc_dials *dials,
                                              const char *name, size_t *index);

/**
 * @brief A share of a dial's calibration.
 *
 * @param[in]  dials    The dials.
 * @param[in]  index    Which one, from 0 in the order of the table.
 * @param[out] dialcal  The calibration; free with dialarc_dialcal_free(), before or after
 *                      the dials.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NO_SOLUTION (no such dial).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dials_share(const dialarc_dials *dials, size_t index,
                                               dialarc_dialcal **dialcal);

/**
 * @brief Gives each setup that names a dial its calibration.
 *
 * @param[in,out] setups  The setups; they keep a share of the calibrations.
 * @param[in]     dials   The dials; may be freed afterwards.
 * @param[in,out] error   Which setup names a dial that there is not, or NULL.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NO_SOLUTION (a setup names a dial
 *         that the table does not have; no setup is changed then).
 * @note Not while another thread reads the setups.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_setups_use_dials(dialarc_setups *setups,
                                                    const dialarc_dials *dials,
                                                    dialarc_error *error);

DIALARC_END_DECLS
#endif
