/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Calibration of a dial: readings and the true travels found for them, piecewise linear
 * in between, with the uncertainty that remains. A calibration never changes after it was
 * made: threads may share it.
 */
#ifndef DIALARC_DIALCAL_H
#define DIALARC_DIALCAL_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** Most points of a calibration. */
#define DIALARC_DIALCAL_MAX 100000

/** A calibration of a dial. */
typedef struct dialarc_dialcal dialarc_dialcal;

DIALARC_BEGIN_DECLS

/**
 * @brief Makes a calibration from its points.
 *
 * @param[in]  n         Points, 2..DIALARC_DIALCAL_MAX.
 * @param[in]  shown_mm  n readings of the dial, mm, increasing, at most 1e9 either way;
 *                       copied.
 * @param[in]  true_mm   n true travels of the stem, mm, likewise.
 * @param[in]  u_mm      Standard uncertainty of the travels, mm, 0..1e9.
 * @param[out] dialcal   The calibration; free with dialarc_dialcal_free().
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, DIALARC_ERR_NOT_FINITE,
 *         DIALARC_ERR_READING (too large), DIALARC_ERR_ORDER (a column does not
 *         increase), DIALARC_ERR_SD (u_mm), DIALARC_ERR_NO_MEMORY.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dialcal_new(size_t n, const double *shown_mm,
                                               const double *true_mm, double u_mm,
                                               dialarc_dialcal **dialcal);

/**
 * @brief Makes one more owner of a calibration.
 *
 * @param[in]  dialcal  The calibration.
 * @param[out] shared   The same one; free it too, once for each owner.
 * @return DIALARC_OK, DIALARC_ERR_NULL.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dialcal_share(const dialarc_dialcal *dialcal,
                                                 dialarc_dialcal **shared);

/**
 * @brief Frees a calibration, or gives up one of its shares.
 *
 * @param[in] dialcal  The calibration; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_dialcal_free(dialarc_dialcal *dialcal);

/**
 * @brief What a calibration covers, and how well.
 *
 * @param[in]  dialcal  The calibration.
 * @param[out] low_mm   Its lowest reading, mm.
 * @param[out] high_mm  Its highest reading, mm.
 * @param[out] u_mm     Standard uncertainty of its travels, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dialcal_range(const dialarc_dialcal *dialcal,
                                                 double *low_mm, double *high_mm,
                                                 double *u_mm);

/**
 * @brief How many points a calibration has.
 *
 * @param[in] dialcal  The calibration; NULL counts as none.
 * @return Their number.
 * @par Source
 * This project.
 */
DIALARC_API size_t dialarc_dialcal_count(const dialarc_dialcal *dialcal);

/**
 * @brief One of the points.
 *
 * @param[in]  dialcal   The calibration.
 * @param[in]  which     Which one, from 0 in rising order.
 * @param[out] shown_mm  Its reading, mm.
 * @param[out] true_mm   The true travel there, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE (no such point).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dialcal_point(const dialarc_dialcal *dialcal,
                                                 size_t which, double *shown_mm,
                                                 double *true_mm);

/**
 * @brief True travels for readings.
 *
 * @param[in]  dialcal   The calibration.
 * @param[in]  n         Number of readings; 0 is allowed, the arrays may then be NULL.
 * @param[in]  shown_mm  n readings, mm, within the calibration.
 * @param[out] true_mm   n travels, mm; may be the same array.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_READING (a
 *         reading that the calibration does not cover). Nothing is written unless every
 *         reading is good.
 * @par Equation
 * linear interpolation between neighbouring points
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dialcal_true(const dialarc_dialcal *dialcal, size_t n,
                                                const double *shown_mm, double *true_mm);

/**
 * @brief Readings for true travels: the inverse of dialarc_dialcal_true().
 *
 * @param[in]  dialcal   The calibration.
 * @param[in]  n         Number of travels; 0 is allowed, the arrays may then be NULL.
 * @param[in]  true_mm   n true travels, mm, within the calibration.
 * @param[out] shown_mm  n readings, mm; may be the same array.
 * @return As dialarc_dialcal_true().
 * @par Equation
 * As dialarc_dialcal_true().
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dialcal_shown(const dialarc_dialcal *dialcal, size_t n,
                                                 const double *true_mm, double *shown_mm);

DIALARC_END_DECLS
#endif
