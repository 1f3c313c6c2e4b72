/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Law: motion laws of a cam flank, on the unit flank s(0) = 0, s(1) = 1.
 */
#ifndef DIALARC_LAW_H
#define DIALARC_LAW_H

#include <dialarc/api.h>
#include <dialarc/status.h>

/** Motion laws of a cam flank, by their usual names in cam design. */
typedef enum dialarc_law {
    DIALARC_LAW_UNKNOWN = 0,
    DIALARC_LAW_HARMONIC,
    DIALARC_LAW_CYCLOIDAL,
    DIALARC_LAW_POLY345,
    DIALARC_LAW_POLY4567,
    DIALARC_LAW_MODIFIED_SINE,
    DIALARC_LAW_MODIFIED_TRAPEZOID,
    DIALARC_LAW_CONSTANT_RATE,           /**< parabolic blends */
    DIALARC_LAW_CONSTANT_RATE_HARMONIC,  /**< harmonic blends */
    DIALARC_LAW_CONSTANT_RATE_CYCLOIDAL, /**< half-cycloid blends */
    DIALARC_LAW_COUNT
} dialarc_law;

/** Motion on the unit flank, without units; u runs from 0 to 1 over the flank. */
typedef struct dialarc_unit_motion {
    double displacement; /**< s, 0..1 */
    double rate;         /**< ds/du */
    double acceleration; /**< d2s/du2 */
} dialarc_unit_motion;

/**
 * Peak factors on the unit flank, without units. With lift h and flank angle beta: rate
 * h/beta * rate, acceleration h/beta^2 * acceleration, jerk h/beta^3 * jerk.
 */
typedef struct dialarc_law_peaks {
    double rate;         /**< largest ds/du */
    double acceleration; /**< largest d2s/du2 */
    double jerk;         /**< largest absolute d3s/du3; HUGE_VAL where the law jumps */
} dialarc_law_peaks;

DIALARC_BEGIN_DECLS

/**
 * @brief Name of a law as it stands in the setups table, such as "modified_sine".
 *
 * @param[in] law  A law.
 * @return A constant string; "unknown" for DIALARC_LAW_UNKNOWN and other values.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_law_name(dialarc_law law);

/**
 * @brief Law of a name as it stands in the setups table.
 *
 * @param[in]  name  A name of dialarc_law_name(), spelt exactly; not "unknown".
 * @param[out] law   The law.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_LAW (no such name).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_law_from_name(const char *name, dialarc_law *law);

/**
 * @brief Motion of a law on the unit flank.
 *
 * @param[in]  law     A law, not DIALARC_LAW_UNKNOWN.
 * @param[in]  blend   Constant-rate laws: blend fraction at each end, (0, 0.5], 0: 0.25;
 *                     other laws: any finite value, not used.
 * @param[in]  u       Place on the flank, 0..1.
 * @param[out] motion  Displacement, rate and acceleration; at u = 0 and 1 the
 *                     acceleration is that of the dwell, 0.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LAW,
 *         DIALARC_ERR_BLEND, DIALARC_ERR_ANGLE (u outside 0..1).
 * @par Equation
 * harmonic s = (1 - cos pi u)/2; cycloidal s = u - sin(2 pi u)/(2 pi);
 * poly345 s = 10 u^3 - 15 u^4 + 6 u^5; poly4567 s = 35 u^4 - 84 u^5 + 70 u^6 - 20 u^7
 * @par Source
 * VDI 2143; R. L. Norton, Cam Design and Manufacturing Handbook (from memory); checked
 * by quadrature.
 */
DIALARC_API dialarc_status dialarc_law_motion(dialarc_law law, double blend, double u,
                                              dialarc_unit_motion *motion);

/**
 * @brief Peak factors of a law.
 *
 * @param[in]  law    A law, not DIALARC_LAW_UNKNOWN.
 * @param[in]  blend  As dialarc_law_motion().
 * @param[out] peaks  The factors.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LAW,
 *         DIALARC_ERR_BLEND.
 * @par Equation
 * harmonic pi/2, pi^2/2; cycloidal 2, 2 pi, 4 pi^2; poly345 15/8, 10/sqrt 3, 60;
 * poly4567 35/16, 84 sqrt 5/25, 105/2
 * @par Source
 * As dialarc_law_motion().
 */
DIALARC_API dialarc_status dialarc_law_peak_factors(dialarc_law law, double blend,
                                                    dialarc_law_peaks *peaks);

DIALARC_END_DECLS
#endif
