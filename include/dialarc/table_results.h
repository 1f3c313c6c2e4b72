/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Results table: one row per sweep.
 *
 * Columns: sweep, verdict (in, low, high, undecided, unusable; blank when no window was
 * given), lift_mm, lift_u_mm (expanded, 95 %; none of an unusable sweep), minimum_mm,
 * minimum_crank_deg, slack_crank_deg, slack_u_crank_deg, dial_hysteresis_mm,
 * advance_error_crank_deg, turn_pump_deg, probability_in, readings_used,
 * readings_rejected, findings (codes joined by ';'), severity (of the worst finding:
 * note, caution or stop), tdc_sd_needed_deg, lift_crank_deg (crank angle to which lift_mm
 * refers). What is not known is blank. Lengths have 4 decimals, angles 3,
 * probabilities 4.
 */
#ifndef DIALARC_TABLE_RESULTS_H
#define DIALARC_TABLE_RESULTS_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/decision.h>
#include <dialarc/status.h>
#include <dialarc/table.h>
#include <dialarc/timing.h>

/** Room for any row of the results table. */
#define DIALARC_RESULT_SIZE 2048

DIALARC_BEGIN_DECLS

/**
 * @brief Header row of the results table, with its newline.
 *
 * @return A constant string.
 * @par Source
 * RFC 4180.
 */
DIALARC_API const char *dialarc_results_header(void);

/**
 * @brief Writes a row of the results table into memory.
 *
 * @param[in]  name      Name of the sweep, quoted as needed; at most 127 bytes.
 * @param[in]  timing    What the sweep says.
 * @param[in]  decision  What follows from it.
 * @param[out] text      Room for the row, which ends with a newline and a zero.
 * @param[in]  size      Size of that room, bytes, at least DIALARC_RESULT_SIZE.
 * @param[out] length    Bytes of the row without the zero; NULL if not wanted.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE (room too small or name too
 * long).
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_result_format(const char *name,
                                                 const dialarc_timing *timing,
                                                 const dialarc_decision *decision,
                                                 char *text, size_t size, size_t *length);

DIALARC_END_DECLS
#endif
