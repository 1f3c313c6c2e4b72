/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Play: the backlash operator, for the slack of a drive and the hysteresis of a dial.
 *
 * What is driven stands still while the driver crosses the play, and follows it at either
 * end. Two ways of counting are used. For the slack of a drive, driver and driven agree
 * while running forward. For the hysteresis of a dial, the reading lies half the width
 * below the lift while rising and half above while falling.
 */
#ifndef DIALARC_PLAY_H
#define DIALARC_PLAY_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

DIALARC_BEGIN_DECLS

/**
 * @brief Angle of a driven shaft after one movement of its driver.
 *
 * @param[in]  slack_deg     Full play, degrees, >= 0.
 * @param[in]  driver_deg    Driver after the movement, degrees.
 * @param[in]  previous_deg  Driven shaft before it, degrees. To begin with the slack
 * taken up forward, give the driver's angle; backward, that + slack.
 * @param[out] driven_deg    Driven shaft after it, degrees.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SLACK.
 * @par Equation
 * driven = max(driver, min(driver + slack, previous))
 * @par Source
 * M. A. Krasnosel'skii and A. V. Pokrovskii, Systems with Hysteresis, 1989; M. Brokate
 * and J. Sprekels, Hysteresis and Phase Transitions, 1996 (from memory).
 */
DIALARC_API dialarc_status dialarc_play_driven(double slack_deg, double driver_deg,
                                               double previous_deg, double *driven_deg);

/**
 * @brief Angles of a driven shaft along a record of its driver.
 *
 * @param[in]  slack_deg   Full play, degrees, >= 0.
 * @param[in]  start_deg   Driven shaft before the first entry, as dialarc_play_driven().
 * @param[in]  n           Entries; 0 is allowed, the arrays may then be NULL.
 * @param[in]  driver_deg  n angles of the driver in the order taken, degrees.
 * @param[out] driven_deg  n angles of the driven shaft; may be the same array.
 * @return As dialarc_play_driven(); nothing is written unless every number is good.
 * @par Equation
 * As dialarc_play_driven(), entry by entry.
 * @par Source
 * As dialarc_play_driven().
 */
DIALARC_API dialarc_status dialarc_play_driven_array(double slack_deg, double start_deg,
                                                     size_t n, const double *driver_deg,
                                                     double *driven_deg);

/**
 * @brief Reading of a dial with hysteresis after one movement of its plunger.
 *
 * @param[in]  hysteresis_mm  Full difference between rising and falling readings, >= 0.
 * @param[in]  lift_mm        Lift after the movement, mm.
 * @param[in]  previous_mm    Reading before it, mm. To begin without a bias, give the
 * lift.
 * @param[out] reading_mm     Reading after it, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_DIAL
 *         (hysteresis below 0).
 * @par Equation
 * reading = max(lift - hysteresis/2, min(lift + hysteresis/2, previous))
 * @par Source
 * As dialarc_play_driven().
 */
DIALARC_API dialarc_status dialarc_play_reading(double hysteresis_mm, double lift_mm,
                                                double previous_mm, double *reading_mm);

/**
 * @brief Readings of a dial with hysteresis along a record of lifts.
 *
 * @param[in]  hysteresis_mm  Full difference between rising and falling readings, >= 0.
 * @param[in]  start_mm       Reading before the first entry, as dialarc_play_reading().
 * @param[in]  n              Entries; 0 is allowed, the arrays may then be NULL.
 * @param[in]  lift_mm        n lifts in the order taken, mm.
 * @param[out] reading_mm     n readings, mm; may be the same array.
 * @return As dialarc_play_reading(); nothing is written unless every number is good.
 * @par Equation
 * As dialarc_play_reading(), entry by entry.
 * @par Source
 * As dialarc_play_driven().
 */
DIALARC_API dialarc_status dialarc_play_reading_array(double hysteresis_mm,
                                                      double start_mm, size_t n,
                                                      const double *lift_mm,
                                                      double *reading_mm);

DIALARC_END_DECLS
#endif
