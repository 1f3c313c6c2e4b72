/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Units: exact conversion factors and the functions that apply them.
 *
 * The functions take any number: NaN stays NaN, infinity stays infinite. Each constant
 * has a function of the same name in lower case, for languages that cannot read macros.
 */
#ifndef DIALARC_UNITS_H
#define DIALARC_UNITS_H

#include <dialarc/api.h>

#define DIALARC_MM_PER_IN 25.4            /**< millimetres in one inch */
#define DIALARC_N_PER_LBF 4.4482216152605 /**< newtons in one pound-force */
/** newton metres in one pound-force foot */
#define DIALARC_NM_PER_LBF_FT 1.3558179483314004
/** newton metres in one pound-force inch */
#define DIALARC_NM_PER_LBF_IN  0.1129848290276167
#define DIALARC_PA_PER_BAR     1e5    /**< pascals in one bar */
#define DIALARC_K_AT_0_CELSIUS 273.15 /**< kelvins at 0 degrees Celsius */

DIALARC_BEGIN_DECLS

/**
 * @brief Millimetres in one inch.
 * @return DIALARC_MM_PER_IN.
 * @par Source
 * Exact by definition: 1 in = 25.4 mm.
 */
DIALARC_API double dialarc_mm_per_in(void);

/**
 * @brief Newtons in one pound-force.
 * @return DIALARC_N_PER_LBF.
 * @par Source
 * Exact by definition: 0.45359237 kg times 9.80665 m/s2.
 */
DIALARC_API double dialarc_n_per_lbf(void);

/**
 * @brief Newton metres in one pound-force foot.
 * @return DIALARC_NM_PER_LBF_FT.
 * @par Source
 * Exact by definition: 1 lbf times 0.3048 m.
 */
DIALARC_API double dialarc_nm_per_lbf_ft(void);

/**
 * @brief Newton metres in one pound-force inch.
 * @return DIALARC_NM_PER_LBF_IN.
 * @par Source
 * Exact by definition: 1 lbf times 0.0254 m.
 */
DIALARC_API double dialarc_nm_per_lbf_in(void);

/**
 * @brief Pascals in one bar.
 * @return DIALARC_PA_PER_BAR.
 * @par Source
 * Exact by definition.
 */
DIALARC_API double dialarc_pa_per_bar(void);

/**
 * @brief Kelvins at 0 degrees Celsius.
 * @return DIALARC_K_AT_0_CELSIUS.
 * @par Source
 * Exact by definition.
 */
DIALARC_API double dialarc_k_at_0_celsius(void);

/**
 * @brief Length in millimetres.
 * @param[in] length_in  Length, inches.
 * @return Length, mm.
 * @par Source
 * DIALARC_MM_PER_IN.
 */
DIALARC_API double dialarc_mm_from_in(double length_in);

/**
 * @brief Length in inches.
 * @param[in] length_mm  Length, mm.
 * @return Length, inches.
 * @par Source
 * DIALARC_MM_PER_IN.
 */
DIALARC_API double dialarc_in_from_mm(double length_mm);

/**
 * @brief Force in newtons.
 * @param[in] force_lbf  Force, pounds-force.
 * @return Force, N.
 * @par Source
 * DIALARC_N_PER_LBF.
 */
DIALARC_API double dialarc_n_from_lbf(double force_lbf);

/**
 * @brief Force in pounds-force.
 * @param[in] force_n  Force, N.
 * @return Force, pounds-force.
 * @par Source
 * DIALARC_N_PER_LBF.
 */
DIALARC_API double dialarc_lbf_from_n(double force_n);

/**
 * @brief Torque in newton metres.
 * @param[in] torque_lbf_ft  Torque, pound-force feet.
 * @return Torque, N m.
 * @par Source
 * DIALARC_NM_PER_LBF_FT.
 */
DIALARC_API double dialarc_nm_from_lbf_ft(double torque_lbf_ft);

/**
 * @brief Torque in pound-force feet.
 * @param[in] torque_nm  Torque, N m.
 * @return Torque, pound-force feet.
 * @par Source
 * DIALARC_NM_PER_LBF_FT.
 */
DIALARC_API double dialarc_lbf_ft_from_nm(double torque_nm);

/**
 * @brief Torque in newton metres.
 * @param[in] torque_lbf_in  Torque, pound-force inches.
 * @return Torque, N m.
 * @par Source
 * DIALARC_NM_PER_LBF_IN.
 */
DIALARC_API double dialarc_nm_from_lbf_in(double torque_lbf_in);

/**
 * @brief Torque in pound-force inches.
 * @param[in] torque_nm  Torque, N m.
 * @return Torque, pound-force inches.
 * @par Source
 * DIALARC_NM_PER_LBF_IN.
 */
DIALARC_API double dialarc_lbf_in_from_nm(double torque_nm);

/**
 * @brief Pressure in pascals.
 * @param[in] pressure_bar  Pressure, bar.
 * @return Pressure, Pa.
 * @par Source
 * DIALARC_PA_PER_BAR.
 */
DIALARC_API double dialarc_pa_from_bar(double pressure_bar);

/**
 * @brief Pressure in bar.
 * @param[in] pressure_pa  Pressure, Pa.
 * @return Pressure, bar.
 * @par Source
 * DIALARC_PA_PER_BAR.
 */
DIALARC_API double dialarc_bar_from_pa(double pressure_pa);

/**
 * @brief Temperature in kelvins.
 * @param[in] temperature_celsius  Temperature, degrees Celsius.
 * @return Temperature, K.
 * @par Source
 * DIALARC_K_AT_0_CELSIUS.
 */
DIALARC_API double dialarc_k_from_celsius(double temperature_celsius);

/**
 * @brief Temperature in degrees Celsius.
 * @param[in] temperature_k  Temperature, K.
 * @return Temperature, degrees Celsius.
 * @par Source
 * DIALARC_K_AT_0_CELSIUS.
 */
DIALARC_API double dialarc_celsius_from_k(double temperature_k);

/**
 * @brief Angle in radians.
 * @param[in] angle_deg  Angle, degrees.
 * @return Angle, radians.
 * @par Source
 * 180 degrees are pi radians.
 */
DIALARC_API double dialarc_rad_from_deg(double angle_deg);

/**
 * @brief Angle in degrees.
 * @param[in] angle_rad  Angle, radians.
 * @return Angle, degrees.
 * @par Source
 * 180 degrees are pi radians.
 */
DIALARC_API double dialarc_deg_from_rad(double angle_rad);

DIALARC_END_DECLS
#endif
