/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Fuel: density, speed of sound and bulk modulus, and what they cost in stroke and time.
 *
 * Pressures are above that of the air. Density and speed of sound are taken as linear in
 * temperature and pressure: good to a few parts in a hundred for liquid fuels within the
 * range allowed, which is enough for a delay.
 */
#ifndef DIALARC_FUEL_H
#define DIALARC_FUEL_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** Lowest temperature of the fuel, degrees Celsius. */
#define DIALARC_FUEL_COLDEST_C (-40.0)
/** Highest temperature of the fuel, degrees Celsius. */
#define DIALARC_FUEL_HOTTEST_C 120.0
/** Highest pressure of the fuel above that of the air, MPa; the lowest is 0. */
#define DIALARC_FUEL_PRESSURE_MAX_MPA 100.0

/** A fuel: values at a reference temperature and no pressure, and their linear changes.
 */
typedef struct dialarc_fuel {
    double reference_c;           /**< reference temperature, degrees Celsius */
    double density_kg_per_m3;     /**< kg/m^3, > 0 */
    double density_kg_per_m3_k;   /**< change of density per kelvin, kg/(m^3 K) */
    double density_kg_per_m3_mpa; /**< change of density per MPa, kg/(m^3 MPa) */
    double sound_m_per_s;         /**< speed of sound, m/s, > 0 */
    double sound_m_per_s_k;       /**< change of it per kelvin, m/(s K) */
    double sound_m_per_s_mpa;     /**< change of it per MPa, m/(s MPa) */
} dialarc_fuel;

DIALARC_BEGIN_DECLS

/**
 * @brief Middling road diesel fuel.
 *
 * 835 kg/m^3 and 1360 m/s at 20 degrees Celsius; density -0.7 kg/m^3 per K and
 * +0.6 kg/m^3 per MPa; sound -3.5 m/s per K and +4.5 m/s per MPa.
 *
 * @return The fuel. Batches differ by some 2 % in density and in speed of sound.
 * @par Source
 * From memory. Measurements to compare with: Tat and Van Gerpen, JAOCS 80 (2003) 1127;
 * Dzida and Prusakiewicz, Fuel 87 (2008) 1941; Nikolic et al., Thermal Science 16
 * supplement 2 (2012) S505.
 */
DIALARC_API dialarc_fuel dialarc_fuel_diesel(void);

/**
 * @brief Density of a fuel at temperature and pressure.
 *
 * @param[in]  fuel               The fuel.
 * @param[in]  temperature_c      Degrees Celsius, -40..120.
 * @param[in]  pressure_mpa       MPa above that of the air, 0..100.
 * @param[out] density_kg_per_m3  Density, kg/m^3.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_POSITIVE
 *         (reference density or speed of sound not above 0), DIALARC_ERR_TEMPERATURE,
 *         DIALARC_ERR_PRESSURE, DIALARC_ERR_NO_SOLUTION (the line falls to 0 or below).
 * @par Equation
 * rho = rho0 + a (T - T0) + b p
 * @par Source
 * First terms of a series; coefficients as for dialarc_fuel_diesel().
 */
DIALARC_API dialarc_status dialarc_fuel_density(const dialarc_fuel *fuel,
                                                double temperature_c, double pressure_mpa,
                                                double *density_kg_per_m3);

/**
 * @brief Speed of sound in a fuel at temperature and pressure, in a rigid pipe.
 *
 * @param[in]  fuel           The fuel.
 * @param[in]  temperature_c  Degrees Celsius, -40..120.
 * @param[in]  pressure_mpa   MPa above that of the air, 0..100.
 * @param[out] sound_m_per_s  Speed of sound, m/s.
 * @return As dialarc_fuel_density().
 * @par Equation
 * c = c0 + a (T - T0) + b p
 * @par Source
 * First terms of a series; coefficients as for dialarc_fuel_diesel().
 */
DIALARC_API dialarc_status dialarc_fuel_sound(const dialarc_fuel *fuel,
                                              double temperature_c, double pressure_mpa,
                                              double *sound_m_per_s);

/**
 * @brief Bulk modulus of a fuel at temperature and pressure.
 *
 * @param[in]  fuel           The fuel.
 * @param[in]  temperature_c  Degrees Celsius, -40..120.
 * @param[in]  pressure_mpa   MPa above that of the air, 0..100.
 * @param[out] modulus_mpa    Isentropic bulk modulus, MPa.
 * @return As dialarc_fuel_density().
 * @par Equation
 * K = rho c^2
 * @par Source
 * Newton and Laplace; any textbook of acoustics.
 */
DIALARC_API dialarc_status dialarc_fuel_modulus(const dialarc_fuel *fuel,
                                                double temperature_c, double pressure_mpa,
                                                double *modulus_mpa);

/**
 * @brief Mean bulk modulus of a fuel over a rise of pressure.
 *
 * Fuel grows stiffer as it is compressed: to 80 MPa its mean modulus is a third above
 * that at no pressure. This is the one with which dialarc_fuel_compression() is exact.
 *
 * @param[in]  fuel           The fuel.
 * @param[in]  temperature_c  Degrees Celsius at the start, -40..120.
 * @param[in]  from_mpa       Pressure at the start, MPa above that of the air, 0..100.
 * @param[in]  to_mpa         Pressure at the end, above from_mpa, to 100.
 * @param[out] modulus_mpa    Mean (secant) isentropic bulk modulus, MPa.
 * @return As dialarc_fuel_density(); DIALARC_ERR_PRESSURE also when there is no rise.
 * @note The warming of the fuel by its compression is left out.
 * @par Equation
 * (to - from) / (1 - exp(-integral of dp/K)), K = rho c^2
 * @par Source
 * Definition of the bulk modulus, K = -V dp/dV, integrated.
 */
DIALARC_API dialarc_status dialarc_fuel_mean_modulus(const dialarc_fuel *fuel,
                                                     double temperature_c,
                                                     double from_mpa, double to_mpa,
                                                     double *modulus_mpa);

/**
 * @brief Speed of sound from bulk modulus and density.
 *
 * @param[in]  modulus_mpa        Bulk modulus, MPa, > 0; the reciprocal of
 * compressibility.
 * @param[in]  density_kg_per_m3  Density, kg/m^3, > 0.
 * @param[out] sound_m_per_s      Speed of sound, m/s.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_POSITIVE.
 * @par Equation
 * c = sqrt(K / rho)
 * @par Source
 * Newton and Laplace; any textbook of acoustics.
 */
DIALARC_API dialarc_status dialarc_fuel_sound_from_modulus(double modulus_mpa,
                                                           double density_kg_per_m3,
                                                           double *sound_m_per_s);

/**
 * @brief Volume by which trapped fuel shrinks under pressure: what the plunger must
 * push before the line is at pressure.
 *
 * @param[in]  volume_mm3       Trapped volume (barrel, line, valve holder), mm^3, > 0.
 * @param[in]  modulus_mpa      Mean bulk modulus over the rise, MPa, > 0: that of
 *                              dialarc_fuel_mean_modulus(). With the modulus at no
 *                              pressure 80 MPa come out a third too large.
 * @param[in]  rise_mpa         Rise of pressure, MPa, 0..100.
 * @param[out] compression_mm3  Loss of volume, mm^3.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_POSITIVE,
 *         DIALARC_ERR_PRESSURE.
 * @par Equation
 * dV = V dp / K
 * @par Source
 * Definition of the bulk modulus; worked examples 9.6 and 9.7 of an engine textbook
 * (Scilab Textbook Companion no. 443).
 */
DIALARC_API dialarc_status dialarc_fuel_compression(double volume_mm3, double modulus_mpa,
                                                    double rise_mpa,
                                                    double *compression_mm3);

DIALARC_END_DECLS
#endif
