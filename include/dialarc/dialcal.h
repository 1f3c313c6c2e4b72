/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Calibration of a dial: a table of readings and the true travels found for them,
 * piecewise linear in between.
 */
#ifndef DIALARC_DIALCAL_H
#define DIALARC_DIALCAL_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** A calibration table; the arrays belong to the caller and both increase. */
typedef struct dialarc_dialcal {
    size_t n;               /**< entries, at least 2 */
    const double *shown_mm; /**< n readings of the dial, mm */
    const double *true_mm;  /**< n true travels, mm */
} dialarc_dialcal;

DIALARC_BEGIN_DECLS

/**
 * @brief Whether a calibration table can be used both ways.
 *
 * @param[in] table  The table.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, DIALARC_ERR_NOT_FINITE,
 *         DIALARC_ERR_ORDER (a column does not increase).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dialcal_check(const dialarc_dialcal *table);

/**
 * @brief True travels for readings.
 *
 * @param[in]  table     The table.
 * @param[in]  n         Number of readings; 0 is allowed, the arrays may then be NULL.
 * @param[in]  shown_mm  n readings, mm, within the table.
 * @param[out] true_mm   n travels, mm; may be the same array.
 * @return As dialarc_dialcal_check(); DIALARC_ERR_READING (a reading outside the table).
 *         Nothing is written unless every reading is good.
 * @par Equation
 * linear interpolation between neighbouring entries
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dialcal_true(const dialarc_dialcal *table, size_t n,
                                                const double *shown_mm, double *true_mm);

/**
 * @brief Readings for true travels: the inverse of dialarc_dialcal_true().
 *
 * @param[in]  table     The table.
 * @param[in]  n         Number of travels; 0 is allowed, the arrays may then be NULL.
 * @param[in]  true_mm   n true travels, mm, within the table.
 * @param[out] shown_mm  n readings, mm; may be the same array.
 * @return As dialarc_dialcal_true().
 * @par Equation
 * As dialarc_dialcal_true().
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dialcal_shown(const dialarc_dialcal *table, size_t n,
                                                 const double *true_mm, double *shown_mm);

DIALARC_END_DECLS
#endif
