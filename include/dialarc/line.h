/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Line: the injection pipe between pump and nozzle, its volume and its delay.
 *
 * Injection pipes are thick-walled; the correction for the wall's elasticity holds for
 * any thickness and turns into Korteweg's for a thin wall.
 */
#ifndef DIALARC_LINE_H
#define DIALARC_LINE_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** An injection pipe. */
typedef struct dialarc_line {
    double length_mm; /**< mm, > 0 */
    double bore_mm;   /**< inner diameter, mm, > 0 */
    double outer_mm; /**< outer diameter, mm, > bore_mm; not looked at for a rigid wall */
    double
        young_mpa; /**< Young's modulus of the wall, MPa (steel about 206000); 0: rigid */
    double poisson; /**< Poisson's ratio of the wall, 0..0.5 (steel about 0.3) */
} dialarc_line;

DIALARC_BEGIN_DECLS

/**
 * @brief Volume that the pipe holds.
 *
 * @param[in]  line        The pipe.
 * @param[out] volume_mm3  Volume, mm^3.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH
 * (length or bore not above 0, outer diameter not above the bore), DIALARC_ERR_STIFFNESS.
 * @par Equation
 * V = pi d^2 L / 4
 * @par Source
 * Volume of a cylinder.
 */
DIALARC_API dialarc_status dialarc_line_volume(const dialarc_line *line,
                                               double *volume_mm3);

/**
 * @brief Bulk modulus that fuel seems to have in an elastic pipe.
 *
 * @param[in]  line           The pipe, free to move lengthwise.
 * @param[in]  modulus_mpa    Bulk modulus of the fuel, MPa, > 0.
 * @param[out] effective_mpa  Bulk modulus of fuel and wall together, MPa.
 * @return DIALARC_OK, DIALARC_ERR_POSITIVE (modulus not above 0), or a code of
 *         dialarc_line_volume().
 * @par Equation
 * 1/K' = 1/K + (2/E) ((D^2 + d^2) / (D^2 - d^2) + nu); thin wall e: 1/K + d / (E e)
 * @par Source
 * Widening of a thick-walled tube after Lame (from memory); thin limit: Korteweg's
 * formula for a pipe without axial stress.
 */
DIALARC_API dialarc_status dialarc_line_modulus(const dialarc_line *line,
                                                double modulus_mpa,
                                                double *effective_mpa);

/**
 * @brief Speed of a pressure wave in an elastic pipe full of fuel.
 *
 * @param[in]  line               The pipe, free to move lengthwise.
 * @param[in]  modulus_mpa        Bulk modulus of the fuel, MPa, > 0.
 * @param[in]  density_kg_per_m3  Density of the fuel, kg/m^3, > 0.
 * @param[out] sound_m_per_s      Wave speed, m/s.
 * @return DIALARC_OK, DIALARC_ERR_POSITIVE (modulus or density not above 0), or a code of
 *         dialarc_line_volume().
 * @par Equation
 * c = sqrt(K' / rho), K' of dialarc_line_modulus()
 * @par Source
 * Korteweg's formula, extended to thick walls as dialarc_line_modulus().
 */
DIALARC_API dialarc_status dialarc_line_sound(const dialarc_line *line,
                                              double modulus_mpa,
                                              double density_kg_per_m3,
                                              double *sound_m_per_s);

/**
 * @brief Time that a pressure wave takes along a pipe.
 *
 * @param[in]  length_mm      Length, mm, > 0: to the nozzle, or to the clamp of a pickup.
 * @param[in]  sound_m_per_s  Wave speed, m/s, > 0.
 * @param[out] delay_ms       Delay, milliseconds.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH,
 *         DIALARC_ERR_POSITIVE (speed not above 0).
 * @par Equation
 * t = L / c
 * @par Source
 * Definition of speed.
 */
DIALARC_API dialarc_status dialarc_line_delay(double length_mm, double sound_m_per_s,
                                              double *delay_ms);

DIALARC_END_DECLS
#endif
