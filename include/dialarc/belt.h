/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Belt: tension of a span from its note or from force and deflection; tooth sums.
 *
 * The span is the free length between the points where the belt leaves its pulleys, taken
 * as pinned there. A bending stiffness of 0 is a perfectly flexible belt. A belt engine
 * can be wrecked by a wrong tension: the engine maker's figure counts.
 */
#ifndef DIALARC_BELT_H
#define DIALARC_BELT_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** Largest deflection as a part of the span: beyond it the formula errs by over 1 %. */
#define DIALARC_DEFLECTION_MAX 0.0625
/** Largest part of force, or of frequency squared, that bending may carry. */
#define DIALARC_BENDING_MAX 0.9
/** Largest part of the tension that the push may have added by stretching the belt. */
#define DIALARC_STRETCH_MAX 0.9

/** A free span. Uncertainties are standard uncertainties; 0 takes the value as exact. */
typedef struct dialarc_span {
    double mass_kg_per_m;    /**< mass of the belt per length, kg/m, > 0 */
    double length_mm;        /**< free length, mm, > 0 */
    double bending_n_mm2;    /**< bending stiffness E I, N mm^2, >= 0; 0: flexible */
    double mass_sd_kg_per_m; /**< of mass_kg_per_m, kg/m, >= 0 */
    double length_sd_mm;     /**< of length_mm, mm, >= 0 */
    double bending_sd_n_mm2; /**< of bending_n_mm2, N mm^2, >= 0 */
    double stretch_n;        /**< E A, N, >= 0; 0: the tension is kept by a spring */
    double stretch_sd_n;     /**< of stretch_n, N, >= 0 */
} dialarc_span;

/** A span tension and how far to trust it. */
typedef struct dialarc_tension {
    double tension_n;    /**< N */
    double tension_sd_n; /**< standard uncertainty, N */
    double tension_u_n;  /**< expanded uncertainty, 95 %, N */
} dialarc_tension;

DIALARC_BEGIN_DECLS

/**
 * @brief Tension of a span from its natural frequency.
 *
 * @param[in]  span            The span.
 * @param[in]  frequency_hz    Lowest natural frequency, Hz, > 0.
 * @param[in]  frequency_sd_hz Its standard uncertainty, Hz, >= 0.
 * @param[out] tension         The tension.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_POSITIVE
 *         (mass), DIALARC_ERR_LENGTH, DIALARC_ERR_STIFFNESS, DIALARC_ERR_SD,
 *         DIALARC_ERR_FREQUENCY, DIALARC_ERR_BENDING (bending makes over
 *         DIALARC_BENDING_MAX of the frequency squared).
 * @par Equation
 * T = 4 m L^2 f^2 - pi^2 E I / L^2; uncertainty by JCGM 100 clause 5.1.2
 * @par Source
 * R. D. Blevins, Formulas for Natural Frequency and Mode Shape, 1979, equation 8.20 (as
 * quoted in an open finite-element code's validation manual); JCGM 100:2008.
 */
DIALARC_API dialarc_status dialarc_belt_tension_from_frequency(const dialarc_span *span,
                                                               double frequency_hz,
                                                               double frequency_sd_hz,
                                                               dialarc_tension *tension);

/**
 * @brief Tensions of one span from many frequencies.
 *
 * @param[in]  span          The span; its uncertainties are not used.
 * @param[in]  n             Number of frequencies; 0 is allowed, with NULL arrays.
 * @param[in]  frequency_hz  n natural frequencies, Hz, > 0.
 * @param[out] tension_n     n tensions, N; may be frequency_hz itself.
 * @return As dialarc_belt_tension_from_frequency(); nothing is written unless all is
 * good.
 * @par Equation
 * T = 4 m L^2 f^2 - pi^2 E I / L^2
 * @par Source
 * As dialarc_belt_tension_from_frequency().
 */
DIALARC_API dialarc_status dialarc_belt_tension_from_frequency_array(
    const dialarc_span *span, size_t n, const double *frequency_hz, double *tension_n);

/**
 * @brief The note to aim at for a wanted tension.
 *
 * @param[in]  span          The span; its uncertainties are not used.
 * @param[in]  tension_n     Tension wanted, N, > 0.
 * @param[out] frequency_hz  Lowest natural frequency, Hz.
 * @return DIALARC_OK, DIALARC_ERR_POSITIVE (tension not above 0), or a code of
 *         dialarc_belt_tension_from_frequency().
 * @par Equation
 * f = sqrt((T + pi^2 E I / L^2) / m) / (2 L)
 * @par Source
 * As dialarc_belt_tension_from_frequency().
 */
DIALARC_API dialarc_status dialarc_belt_frequency_from_tension(const dialarc_span *span,
                                                               double tension_n,
                                                               double *frequency_hz);

/**
 * @brief Tension of a span from the force that pushes its middle aside.
 *
 * @param[in]  span              The span; its mass is not looked at.
 * @param[in]  force_n           Force at mid-span, square to it, N, > 0.
 * @param[in]  force_sd_n        Its standard uncertainty, N, >= 0.
 * @param[in]  deflection_mm     Its deflection, mm, > 0, to DIALARC_DEFLECTION_MAX of it.
 * @param[in]  deflection_sd_mm  Its standard uncertainty, mm, >= 0.
 * @param[out] tension           The tension before the push.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH,
 *         DIALARC_ERR_STIFFNESS, DIALARC_ERR_SD, DIALARC_ERR_POSITIVE (force),
 *         DIALARC_ERR_DEFLECTION, DIALARC_ERR_BENDING (bending makes over
 *         DIALARC_BENDING_MAX of the force), DIALARC_ERR_STRETCH (the push makes over
 *         DIALARC_STRETCH_MAX of the tension).
 * @par Equation
 * deflection = F L^3 / (48 E I) * 3 (u - tanh u) / u^3, u^2 = P L^2 / (4 E I), P the
 * tension while pushed; flexible: F = 4 P deflection / L. With stretch_n, F is smaller by
 * sqrt(1 + 4 q), q = (deflection / L)^2, and T = P - E A (sqrt(1 + 2 c q) - 1),
 * c = 2 u (u - 1.5 tanh u + 0.5 u / cosh^2 u) / (u - tanh u)^2, flexible: 2
 * @par Source
 * S. Timoshenko, Strength of Materials part II, beams under axial tension (from memory;
 * checked against a difference solution); stretch: Hooke's law on the deflected length,
 * derived and checked against elastic links in balance; the 64th: from memory.
 */
DIALARC_API dialarc_status dialarc_belt_tension_from_deflection(
    const dialarc_span *span, double force_n, double force_sd_n, double deflection_mm,
    double deflection_sd_mm, dialarc_tension *tension);

/**
 * @brief The force to expect at mid-span for a wanted tension and a given deflection.
 *
 * @param[in]  span           The span; its mass and uncertainties are not used.
 * @param[in]  tension_n      Tension wanted, N, > 0.
 * @param[in]  deflection_mm  Deflection, mm, > 0, at most DIALARC_DEFLECTION_MAX of it.
 * @param[out] force_n        Force at mid-span, N.
 * @return As dialarc_belt_tension_from_deflection(), tension in place of force.
 * @par Equation
 * As there, solved for F
 * @par Source
 * As dialarc_belt_tension_from_deflection().
 */
DIALARC_API dialarc_status dialarc_belt_force_from_tension(const dialarc_span *span,
                                                           double tension_n,
                                                           double deflection_mm,
                                                           double *force_n);

/**
 * @brief Pitch diameter of a toothed pulley.
 *
 * @param[in]  teeth        Number of teeth, >= 1.
 * @param[in]  pitch_mm     Tooth pitch, mm, > 0.
 * @param[out] diameter_mm  Pitch diameter, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_TEETH, DIALARC_ERR_NOT_FINITE,
 *         DIALARC_ERR_LENGTH (pitch not above 0).
 * @par Equation
 * d = z p / pi
 * @par Source
 * Definition of the pitch circle; pitches: ISO 5296:2012.
 */
DIALARC_API dialarc_status dialarc_belt_pitch_diameter(int teeth, double pitch_mm,
                                                       double *diameter_mm);

/**
 * @brief Pitch length of a toothed belt.
 *
 * @param[in]  teeth      Number of teeth, >= 1.
 * @param[in]  pitch_mm   Tooth pitch, mm, > 0.
 * @param[out] length_mm  Pitch length, mm.
 * @return As dialarc_belt_pitch_diameter().
 * @par Equation
 * l = z p
 * @par Source
 * Definition of the pitch; pitches: ISO 5296:2012.
 */
DIALARC_API dialarc_status dialarc_belt_length(int teeth, double pitch_mm,
                                               double *length_mm);

/**
 * @brief Free span between two pulleys from their centre distance and diameters.
 *
 * @param[in]  centre_mm   Distance of the centres, mm, > 0.
 * @param[in]  first_mm    Diameter of one pulley, mm, > 0: pitch diameter, or the outer
 *                         one of a roller on the back.
 * @param[in]  second_mm   Diameter of the other, mm, > 0.
 * @param[in]  crossed     0: belt on the same side of both; other: it changes sides.
 * @param[out] length_mm   Free length, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH,
 *         DIALARC_ERR_CENTRES (the pulleys overlap: 2 C must be above d1 + d2).
 * @par Equation
 * L = sqrt(C^2 - ((d1 -+ d2) / 2)^2)
 * @par Source
 * Tangent to two circles, plane geometry.
 */
DIALARC_API dialarc_status dialarc_belt_span_length(double centre_mm, double first_mm,
                                                    double second_mm, int crossed,
                                                    double *length_mm);

DIALARC_END_DECLS
#endif
