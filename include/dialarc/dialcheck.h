/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Check of a dial against gauge blocks: its error curve, hysteresis and repeatability,
 * whether it keeps a limit, and the calibration that corrects it.
 *
 * Gauge blocks, or a micrometer head, set the travel of the stem; the dial is read with
 * the stem going in and, for hysteresis, coming out again, best several times.
 */
#ifndef DIALARC_DIALCHECK_H
#define DIALARC_DIALCHECK_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/dialcal.h>
#include <dialarc/status.h>

/** Most readings of a check. */
#define DIALARC_DIALCHECK_MAX 4096

/** Whether a measured value proves that a limit is kept. */
typedef enum dialarc_proof {
    DIALARC_PROOF_NONE = 0, /**< nothing was measured */
    DIALARC_PROOF_KEPT,     /**< below the limit by more than the guard band */
    DIALARC_PROOF_EXCEEDED, /**< above it by more than the guard band */
    DIALARC_PROOF_NEITHER   /**< the uncertainty spans the limit */
} dialarc_proof;

/** What readings of a dial at known travels say. What they do not show is quiet NaN. */
typedef struct dialarc_dialcheck {
    size_t travels;          /**< different travels that were set */
    double largest_error_mm; /**< largest error of indication from that at the lowest
                                  travel on, stem going in */
    double hysteresis_mm; /**< largest difference out minus in at one travel, absolute */
    double repeatability_mm; /**< largest span of readings of one travel, one way */
    double tenth_turn_mm; /**< span of errors within any tenth of a turn, stem going in */
    double half_turn_mm;  /**< ... within any half turn */
    double one_turn_mm;   /**< ... within any turn */
    double whole_range_mm;  /**< ... within all travels */
    double reading_sd_mm;   /**< sd of one reading, by the repeated ones */
    double reading_dof;     /**< its degrees of freedom */
    double error_u_mm;      /**< standard uncertainty of an error of indication */
    double span_u_mm;       /**< ... of the difference of two: of the spans */
    double hysteresis_u_mm; /**< ... of the hysteresis: the block does not count */
} dialarc_dialcheck;

DIALARC_BEGIN_DECLS

/**
 * @brief What readings of a dial at known travels say of it.
 *
 * Errors are means of the repeated readings of a travel. Spans and the largest of many
 * differences come out too large by what the readings scatter, never too small on
 * average: a dial is not passed by that.
 *
 * @param[in]  n           Readings, 2 to DIALARC_DIALCHECK_MAX, of two travels at least.
 * @param[in]  block_mm    n travels that were set, mm, at most 1e9 either way; the same
 *                         number each time for the same block.
 * @param[in]  shown_mm    n readings of the dial, mm, likewise.
 * @param[in]  way         n ways of the stem: 1 going in, -1 coming out, 0 not said,
 *                         taken as in.
 * @param[in]  step_mm     Graduation to which it was read, mm, >= 0.
 * @param[in]  turn_mm     Travel of one turn of the needle, mm, > 0.
 * @param[in]  block_u_mm  Standard uncertainty of a travel, mm, >= 0.
 * @param[out] check       What they say.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE (readings, or travels with the
 *         stem going in, are fewer than 2, or more than DIALARC_DIALCHECK_MAX),
 *         DIALARC_ERR_NOT_FINITE, DIALARC_ERR_READING (too large), DIALARC_ERR_DIRECTION
 *         (a way that is none), DIALARC_ERR_DIAL (step or turn), DIALARC_ERR_SD.
 * @par Equation
 * error_u^2 = sd^2/m + step^2/12 + block_u^2, m the fewest readings of a travel, one way;
 * span_u^2 = 2 error_u^2; sd^2 = sum (x - mean)^2 / sum (m - 1)
 * @par Source
 * JIS B 7503:2011 for what is measured, as reproduced in an instrument maker's catalogue;
 * JCGM 100:2008, 4.2 and 4.3.7 for the uncertainty.
 */
DIALARC_API dialarc_status dialarc_dialcheck_assess(size_t n, const double *block_mm,
                                                    const double *shown_mm,
                                                    const double *way, double step_mm,
                                                    double turn_mm, double block_u_mm,
                                                    dialarc_dialcheck *check);

/**
 * @brief The calibration that such readings make: the mean reading of each travel.
 *
 * Where a travel was read both ways, its reading is half-way between the means of both:
 * hysteresis is treated by itself.
 *
 * @param[in]  n         As for dialarc_dialcheck_assess().
 * @param[in]  block_mm  As for dialarc_dialcheck_assess().
 * @param[in]  shown_mm  As for dialarc_dialcheck_assess().
 * @param[in]  way       As for dialarc_dialcheck_assess().
 * @param[in]  u_mm      Standard uncertainty of an error, as in error_u_mm, mm, >= 0.
 * @param[out] dialcal   The calibration; free with dialarc_dialcal_free().
 * @return As dialarc_dialcheck_assess(); DIALARC_ERR_ORDER also where the mean readings
 * do not rise from travel to travel, DIALARC_ERR_NO_MEMORY.
 * @par Equation
 * shown = (mean in + mean out)/2
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_dialcheck_calibration(size_t n, const double *block_mm,
                                                         const double *shown_mm,
                                                         const double *way, double u_mm,
                                                         dialarc_dialcal **dialcal);

/**
 * @brief Whether a measured value proves that an upper limit is kept, or exceeded.
 *
 * @param[in]  value_mm     What was measured, mm; not known: DIALARC_PROOF_NONE.
 * @param[in]  u_mm         Its standard uncertainty, mm, >= 0.
 * @param[in]  limit_mm     The limit, mm.
 * @param[in]  probability  How sure a proof is to be, 1/2 to below 1; 0.95 where the
 *                          standard leaves it open.
 * @param[out] proof        What is proven.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE (uncertainty or limit),
 *         DIALARC_ERR_SD, DIALARC_ERR_PROBABILITY.
 * @par Equation
 * kept: value <= limit - g; exceeded: value > limit + g; g = z(probability) u
 * @par Source
 * ISO 14253-1:2017, from memory; JCGM 106:2012, 8.3.2 for the guard band.
 */
DIALARC_API dialarc_status dialarc_dialcheck_proof(double value_mm, double u_mm,
                                                   double limit_mm, double probability,
                                                   dialarc_proof *proof);

DIALARC_END_DECLS
#endif
