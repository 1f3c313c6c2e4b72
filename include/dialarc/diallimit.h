/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Permissible errors of dial indicators, and the uncertainty to claim for a dial of which
 * no more is known than that it keeps them.
 *
 * The limits of indication are taken as spans: the highest minus the lowest error within
 * the stated part of the range. So the error of one reading about the middle of the span
 * lies within half the limit. Read as plus-or-minus values they would give twice the
 * uncertainty.
 *
 * The figures are those of the edition of 2011. JIS B 7503 was revised in 2017, and a
 * maker may state other limits: where the dial's own certificate is at hand, use that.
 */
#ifndef DIALARC_DIALLIMIT_H
#define DIALARC_DIALLIMIT_H

#include <dialarc/api.h>
#include <dialarc/status.h>

/** Types of dial for which limits are laid down. */
typedef enum dialarc_bezel {
    DIALARC_BEZEL_STANDARD = 0, /**< bezel of 50 mm or more, plunger at the edge */
    DIALARC_BEZEL_SMALL         /**< smaller bezel, or plunger at the back */
} dialarc_bezel;

/** What is limited. */
typedef enum dialarc_dial_item {
    DIALARC_DIAL_HYSTERESIS = 0, /**< difference between rising and falling readings */
    DIALARC_DIAL_REPEATABILITY,  /**< span of repeated readings of one travel */
    DIALARC_DIAL_TENTH_TURN,     /**< span of errors within any tenth of a turn */
    DIALARC_DIAL_HALF_TURN,      /**< ... within any half turn */
    DIALARC_DIAL_ONE_TURN,       /**< ... within any whole turn */
    DIALARC_DIAL_WHOLE_RANGE,    /**< ... within the whole range */
    DIALARC_DIAL_ITEM_COUNT
} dialarc_dial_item;

DIALARC_BEGIN_DECLS

/**
 * @brief Permissible error of a dial indicator.
 *
 * @param[in]  bezel          Type of the dial.
 * @param[in]  graduation_mm  Graduation of the dial, mm: 0.01, 0.005, 0.002 or 0.001.
 * @param[in]  range_mm       Measuring range of the dial, mm, > 0.
 * @param[in]  item           What is limited.
 * @param[out] limit_mm       The limit, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_DIAL (no
 * limit is laid down for such a dial).
 * @par Source
 * JIS B 7503:2011, as reproduced in an instrument maker's catalogue.
 */
DIALARC_API dialarc_status dialarc_diallimit_mm(dialarc_bezel bezel, double graduation_mm,
                                                double range_mm, dialarc_dial_item item,
                                                double *limit_mm);

/**
 * @brief Standard uncertainty of one reading of a dial that keeps a limit of indication.
 *
 * @param[in]  limit_mm  Limit, a span, mm, >= 0.
 * @param[out] sd_mm     Standard uncertainty, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_DIAL.
 * @par Equation
 * sd = limit/sqrt(12): rectangular, half-width limit/2
 * @par Source
 * JCGM 100:2008 4.3.7.
 */
DIALARC_API dialarc_status dialarc_diallimit_reading_sd(double limit_mm, double *sd_mm);

/**
 * @brief Standard uncertainty of a lift, the difference of two such readings.
 *
 * @param[in]  limit_mm  Limit for a part of the range that holds both readings, mm, >= 0.
 * @param[out] sd_mm     Standard uncertainty, mm.
 * @return As dialarc_diallimit_reading_sd().
 * @par Equation
 * sd = limit/sqrt(6): triangular, half-width limit
 * @par Source
 * JCGM 100:2008 4.3.9.
 */
DIALARC_API dialarc_status dialarc_diallimit_lift_sd(double limit_mm, double *sd_mm);

DIALARC_END_DECLS
#endif
