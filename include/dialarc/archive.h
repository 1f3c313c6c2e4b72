/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Archive: what the recorded sweeps of a shop tell of how well it reads dial and angle.
 *
 * Where the plunger stands still, in the base dwell and at the top, an error of the angle
 * does not show and readings scatter by the dial alone; on the flanks by both. So many
 * sweeps, each with its own cam, foot and slack, tell the two apart.
 */
#ifndef DIALARC_ARCHIVE_H
#define DIALARC_ARCHIVE_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/sweep.h>
#include <dialarc/workspace.h>

/** Sweeps of one shop. One thread at a time may use an archive. */
typedef struct dialarc_archive dialarc_archive;

/** Errors of reading, as the columns dial_sd_mm and angle_sd_deg of the setups table have
 * them. Fields that cannot be given are DIALARC_UNKNOWN. */
typedef struct dialarc_reading_errors {
    size_t sweeps;          /**< sweeps that tell of it */
    size_t left_out;        /**< sweeps that cannot be used, and do not */
    size_t flat_readings;   /**< readings of these sweeps that show the dial alone */
    size_t flank_readings;  /**< readings that the angle moves by more than the dial */
    double dial_sd_mm;      /**< sd of one dial reading without rounding, mm */
    double dial_sd_low_mm;  /**< lower end of its interval of 95 %; 0: the readings do not
                                 tell it from nothing */
    double dial_sd_high_mm; /**< upper end, mm */
    double angle_sd_deg;    /**< sd of one angle reading, crank degrees */
    double angle_sd_low_deg;  /**< lower end of its interval of 95 %, likewise */
    double angle_sd_high_deg; /**< upper end, crank degrees */
} dialarc_reading_errors;

DIALARC_BEGIN_DECLS

/**
 * @brief An archive without a sweep.
 *
 * @param[out] archive  The archive; free with dialarc_archive_free().
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NO_MEMORY.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_archive_new(dialarc_archive **archive);

/**
 * @brief Frees an archive.
 *
 * @param[in] archive  The archive; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_archive_free(dialarc_archive *archive);

/**
 * @brief Adds a sweep to an archive; nothing of it is kept but what it tells.
 *
 * @param[in,out] archive    The archive.
 * @param[in,out] workspace  Workspace of this thread.
 * @param[in]     setup      What is known; its dial_sd_mm and angle_sd_deg do not matter
 *                           much.
 * @param[in]     sweep      The readings in the order taken. One that cannot be used is
 *                           counted as left out.
 * @return The codes of dialarc_timing_estimate(); the sweep is added when they are 0 or
 *         positive.
 * @par Equation
 * evidence of the readings for each pair of errors on a grid, cam, foot, slack,
 * hysteresis and errors of indication integrated over about the fit (Laplace)
 * @par Source
 * D. A. Harville, Bayesian inference for variance components using only error contrasts,
 * Biometrika 61, 1974 (from memory).
 */
DIALARC_API dialarc_status dialarc_archive_add(dialarc_archive *archive,
                                               dialarc_workspace *workspace,
                                               const dialarc_setup *setup,
                                               const dialarc_sweep *sweep);

/**
 * @brief The errors of reading for which all sweeps of an archive speak together.
 *
 * All sweeps are taken to be read equally well. Errors below 0.0005 mm or 0.02 degrees,
 * and above 0.05 mm or 2 degrees, are not looked for.
 *
 * @param[in]  archive  The archive.
 * @param[out] errors   The errors, the mean of their logarithms; all UNKNOWN when there
 * is no sweep.
 * @return DIALARC_OK, DIALARC_ERR_NULL.
 * @par Equation
 * density of both logarithms in proportion to the product of the evidences
 * @par Source
 * Empirical Bayes: A. Gelman et al., Bayesian Data Analysis, chapter 5 (from memory).
 */
DIALARC_API dialarc_status dialarc_archive_errors(const dialarc_archive *archive,
                                                  dialarc_reading_errors *errors);

DIALARC_END_DECLS
#endif
