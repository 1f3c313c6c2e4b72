/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Dial: what a dial indicator shows against the travel of the plunger it stands on.
 *
 * A reading is what pointer and turn counter show together, mm. Hysteresis is treated in
 * play.h, a calibration table in dialcal.h, permissible errors in diallimit.h, and the
 * uncertainty from the graduation by dialarc_uncertainty_rounding().
 */
#ifndef DIALARC_DIAL_H
#define DIALARC_DIAL_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** How a tilted spindle meets the plunger: it decides the sign of the cosine error. */
typedef enum dialarc_contact {
    DIALARC_CONTACT_FLAT =
        0,                /**< the tip slides on a face square to the travel, or a
                               lever swings about a pivot: travel = reading cos tilt */
    DIALARC_CONTACT_POINT /**< the tip is held by one point: reading = travel cos tilt */
} dialarc_contact;

/** A dial indicator as it is set up. */
typedef struct dialarc_dial {
    double step_mm;  /**< graduation to which it is read, mm, >= 0; 0: exactly */
    double turn_mm;  /**< travel of one turn of the needle, mm, > step_mm */
    int sense;       /**< 1: reading rises with travel; -1: it falls */
    double tilt_deg; /**< angle between spindle and travel, degrees, 0 to below 90 */
    dialarc_contact contact; /**< kind of contact */
} dialarc_dial;

DIALARC_BEGIN_DECLS

/**
 * @brief Whether a dial is described completely.
 *
 * @param[in] dial  The dial.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_DIAL (step,
 *         turn, sense or contact), DIALARC_ERR_ANGLE (tilt outside 0 to below 90).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dial_check(const dialarc_dial *dial);

/**
 * @brief Travel that a change of reading stands for: sense and cosine error removed.
 *
 * @param[in]  dial        The dial.
 * @param[in]  reading_mm  Reading, or difference of readings, mm.
 * @param[out] travel_mm   Travel of the plunger, mm, rising with lift.
 * @return As dialarc_dial_check(); DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE.
 * @par Equation
 * flat: travel = sense * reading * cos(tilt); point: travel = sense * reading / cos(tilt)
 * @par Source
 * Geometry, recomputed; for lever types as in instrument makers' tables.
 */
DIALARC_API dialarc_status dialarc_dial_travel(const dialarc_dial *dial,
                                               double reading_mm, double *travel_mm);

/**
 * @brief Travels for an array of readings; the dial is checked once.
 *
 * @param[in]  dial        The dial.
 * @param[in]  n           Number of readings; 0 is allowed, the arrays may then be NULL.
 * @param[in]  reading_mm  n readings, mm.
 * @param[out] travel_mm   n travels, mm; may be the same array.
 * @return As dialarc_dial_travel(); nothing is written unless every reading is finite.
 * @par Equation
 * As dialarc_dial_travel().
 * @par Source
 * As dialarc_dial_travel().
 */
DIALARC_API dialarc_status dialarc_dial_travel_array(const dialarc_dial *dial, size_t n,
                                                     const double *reading_mm,
                                                     double *travel_mm);

/**
 * @brief Reading for a travel: the inverse of dialarc_dial_travel(), not rounded.
 *
 * @param[in]  dial        The dial.
 * @param[in]  travel_mm   Travel of the plunger, mm.
 * @param[out] reading_mm  Reading, mm.
 * @return As dialarc_dial_travel().
 * @par Equation
 * As dialarc_dial_travel().
 * @par Source
 * As dialarc_dial_travel().
 */
DIALARC_API dialarc_status dialarc_dial_reading(const dialarc_dial *dial,
                                                double travel_mm, double *reading_mm);

/**
 * @brief Reading rounded to the nearest graduation.
 *
 * @param[in]  dial        The dial.
 * @param[in]  reading_mm  Reading, mm.
 * @param[out] rounded_mm  Whole number of graduations; half-way is rounded from 0.
 * @return As dialarc_dial_travel().
 * @par Equation
 * rounded = step * round(reading/step)
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dial_round(const dialarc_dial *dial, double reading_mm,
                                              double *rounded_mm);

/**
 * @brief Reading nearest to what is expected that has the needle at its place.
 *
 * @param[in]  turn_mm      Travel of one turn of the needle, mm, > 0.
 * @param[in]  needle_mm    Place of the needle, mm; whole turns in it do not matter.
 * @param[in]  expected_mm  Reading expected, mm, to better than half a turn.
 * @param[out] reading_mm   Reading with its whole turns, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_DIAL.
 * @par Equation
 * reading = needle + turn * round((expected - needle)/turn)
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dial_unwrap(double turn_mm, double needle_mm,
                                               double expected_mm, double *reading_mm);

/**
 * @brief Whole turns of a record in which only the needle was noted.
 *
 * Each reading is taken nearest to the one before, so consecutive readings must be less
 * than half a turn apart.
 *
 * @param[in]  turn_mm     Travel of one turn of the needle, mm, > 0.
 * @param[in]  start_mm    Reading expected at the first entry, mm.
 * @param[in]  n           Entries; 0 is allowed, the arrays may then be NULL.
 * @param[in]  needle_mm   n places of the needle in the order taken, mm.
 * @param[out] reading_mm  n readings with their whole turns, mm; may be the same array.
 * @return As dialarc_dial_unwrap(); nothing is written unless every number is good.
 * @par Equation
 * As dialarc_dial_unwrap(), entry by entry.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dial_unwrap_array(double turn_mm, double start_mm,
                                                     size_t n, const double *needle_mm,
                                                     double *reading_mm);

DIALARC_END_DECLS
#endif
