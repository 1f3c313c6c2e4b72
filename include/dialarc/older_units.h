/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Older units: those of workshop literature that is no longer printed, and of gauges that
 * still hang on the wall. The functions take any number, as those of units.h.
 */
#ifndef DIALARC_OLDER_UNITS_H
#define DIALARC_OLDER_UNITS_H

#include <dialarc/api.h>

#define DIALARC_NM_PER_KGF_M  9.80665   /**< newton metres in one kilogram-force metre */
#define DIALARC_NM_PER_KGF_CM 0.0980665 /**< newton metres in one kilogram-force cm */
/** pascals in one pound-force per square inch */
#define DIALARC_PA_PER_PSI 6894.757293168361

DIALARC_BEGIN_DECLS

/**
 * @brief Newton metres in one kilogram-force metre.
 * @return DIALARC_NM_PER_KGF_M.
 * @par Source
 * Exact by definition: 1 kgf = 9.80665 N.
 */
DIALARC_API double dialarc_nm_per_kgf_m(void);

/**
 * @brief Newton metres in one kilogram-force centimetre.
 * @return DIALARC_NM_PER_KGF_CM.
 * @par Source
 * Exact by definition: 1 kgf = 9.80665 N.
 */
DIALARC_API double dialarc_nm_per_kgf_cm(void);

/**
 * @brief Pascals in one pound-force per square inch.
 * @return DIALARC_PA_PER_PSI.
 * @par Source
 * One pound-force over (25.4 mm)^2, rounded to a double.
 */
DIALARC_API double dialarc_pa_per_psi(void);

/**
 * @brief Torque in newton metres.
 * @param[in] torque_kgf_m  Torque, kgf m.
 * @return Torque, N m.
 * @par Source
 * DIALARC_NM_PER_KGF_M.
 */
DIALARC_API double dialarc_nm_from_kgf_m(double torque_kgf_m);

/**
 * @brief Torque in kilogram-force metres.
 * @param[in] torque_nm  Torque, N m.
 * @return Torque, kgf m.
 * @par Source
 * DIALARC_NM_PER_KGF_M.
 */
DIALARC_API double dialarc_kgf_m_from_nm(double torque_nm);

/**
 * @brief Torque in newton metres.
 * @param[in] torque_kgf_cm  Torque, kgf cm.
 * @return Torque, N m.
 * @par Source
 * DIALARC_NM_PER_KGF_CM.
 */
DIALARC_API double dialarc_nm_from_kgf_cm(double torque_kgf_cm);

/**
 * @brief Torque in kilogram-force centimetres.
 * @param[in] torque_nm  Torque, N m.
 * @return Torque, kgf cm.
 * @par Source
 * DIALARC_NM_PER_KGF_CM.
 */
DIALARC_API double dialarc_kgf_cm_from_nm(double torque_nm);

/**
 * @brief Pressure in pascals.
 * @param[in] pressure_psi  Pressure, psi.
 * @return Pressure, Pa.
 * @par Source
 * DIALARC_PA_PER_PSI.
 */
DIALARC_API double dialarc_pa_from_psi(double pressure_psi);

/**
 * @brief Pressure in pounds-force per square inch.
 * @param[in] pressure_pa  Pressure, Pa.
 * @return Pressure, psi.
 * @par Source
 * DIALARC_PA_PER_PSI.
 */
DIALARC_API double dialarc_psi_from_pa(double pressure_pa);

/**
 * @brief Temperature in degrees Celsius.
 * @param[in] temperature_f  Temperature, degrees Fahrenheit.
 * @return Temperature, degrees Celsius.
 * @par Equation
 * C = (F - 32) / 1.8
 * @par Source
 * Exact by definition.
 */
DIALARC_API double dialarc_celsius_from_fahrenheit(double temperature_f);

/**
 * @brief Temperature in degrees Fahrenheit.
 * @param[in] temperature_c  Temperature, degrees Celsius.
 * @return Temperature, degrees Fahrenheit.
 * @par Equation
 * F = 1.8 C + 32
 * @par Source
 * Exact by definition.
 */
DIALARC_API double dialarc_fahrenheit_from_celsius(double temperature_c);

DIALARC_END_DECLS
#endif
