/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include <dialarc/fuel.h>

#include "core/finite.h"

#define PA_PER_MPA 1e6

dialarc_fuel dialarc_fuel_diesel(void)
{
    return (dialarc_fuel){.reference_c = 20.0,
                          .density_kg_per_m3 = 835.0,
                          .density_kg_per_m3_k = -0.7,
                          .density_kg_per_m3_mpa = 0.6,
                          .sound_m_per_s = 1360.0,
                          .sound_m_per_s_k = -3.5,
                          .sound_m_per_s_mpa = 4.5};
}

static dialarc_status check_fuel(const dialarc_fuel *f, double temperature_c,
                                 double pressure_mpa)
{
    if (!f)
        return DIALARC_ERR_NULL;
    if (!isfinite(f->reference_c) || !isfinite(f->density_kg_per_m3) ||
        !isfinite(f->density_kg_per_m3_k) || !isfinite(f->density_kg_per_m3_mpa) ||
        !isfinite(f->sound_m_per_s) || !isfinite(f->sound_m_per_s_k) ||
        !isfinite(f->sound_m_per_s_mpa))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(f->density_kg_per_m3) || !darc_positive(f->sound_m_per_s))
        return DIALARC_ERR_POSITIVE;
    if (!darc_all_within(5, (const double[]){f->reference_c, f->density_kg_per_m3_k,
                                             f->density_kg_per_m3_mpa, f->sound_m_per_s_k,
                                             f->sound_m_per_s_mpa}))
        return DIALARC_ERR_RANGE;
    if (!isfinite(temperature_c) || !isfinite(pressure_mpa))
        return DIALARC_ERR_NOT_FINITE;
    if (!(temperature_c >= DIALARC_FUEL_COLDEST_C) ||
        !(temperature_c <= DIALARC_FUEL_HOTTEST_C))
        return DIALARC_ERR_TEMPERATURE;
    if (!(pressure_mpa >= 0.0) || !(pressure_mpa <= DIALARC_FUEL_PRESSURE_MAX_MPA))
        return DIALARC_ERR_PRESSURE;
    return DIALARC_OK;
}

/* Density and speed of sound together; every caller needs the checks of both. */
static dialarc_status state(const dialarc_fuel *f, double temperature_c,
                            double pressure_mpa, double *density, double *sound)
{
    dialarc_status status = check_fuel(f, temperature_c, pressure_mpa);
    if (status != DIALARC_OK)
        return status;
    double warmer_k = temperature_c - f->reference_c;
    *density = f->density_kg_per_m3 + f->density_kg_per_m3_k * warmer_k +
               f->density_kg_per_m3_mpa * pressure_mpa;
    *sound = f->sound_m_per_s + f->sound_m_per_s_k * warmer_k +
             f->sound_m_per_s_mpa * pressure_mpa;
    return *density >= DARC_SMALLEST && *sound >= DARC_SMALLEST ? DIALARC_OK
                                                                : DIALARC_ERR_NO_SOLUTION;
}

dialarc_status dialarc_fuel_density(const dialarc_fuel *fuel, double temperature_c,
                                    double pressure_mpa, double *density_kg_per_m3)
{
    double density, sound;
    if (!density_kg_per_m3)
        return DIALARC_ERR_NULL;
    dialarc_status status = state(fuel, temperature_c, pressure_mpa, &density, &sound);
    if (status == DIALARC_OK)
        *density_kg_per_m3 = density;
    return status;
}

dialarc_status dialarc_fuel_sound(const dialarc_fuel *fuel, double temperature_c,
                                  double pressure_mpa, double *sound_m_per_s)
{
    double density, sound;
    if (!sound_m_per_s)
        return DIALARC_ERR_NULL;
    dialarc_status status = state(fuel, temperature_c, pressure_mpa, &density, &sound);
    if (status == DIALARC_OK)
        *sound_m_per_s = sound;
    return status;
}

dialarc_status dialarc_fuel_modulus(const dialarc_fuel *fuel, double temperature_c,
                                    double pressure_mpa, double *modulus_mpa)
{
    double density, sound;
    if (!modulus_mpa)
        return DIALARC_ERR_NULL;
    dialarc_status status = state(fuel, temperature_c, pressure_mpa, &density, &sound);
    if (status == DIALARC_OK)
        *modulus_mpa = density * sound * sound / PA_PER_MPA;
    return status;
}

/* Integral of dp/K over a rise both ends of which are good: Gauss and Legendre, 5 points,
 * for an integrand that hardly bends. */
static double relative_compression(const dialarc_fuel *f, double temperature_c,
                                   double from_mpa, double to_mpa)
{
    static const double x[] = {-0.90617984593866399, -0.53846931010568309, 0.0,
                               0.53846931010568309, 0.90617984593866399};
    static const double w[] = {0.23692688505618909, 0.47862867049936647,
                               0.56888888888888889, 0.47862867049936647,
                               0.23692688505618909};
    double half = 0.5 * (to_mpa - from_mpa), sum = 0.0;
    for (int k = 0; k < 5; k++) {
        double modulus = 0.0;
        dialarc_fuel_modulus(f, temperature_c, from_mpa + half * (1.0 + x[k]), &modulus);
        sum += w[k] / modulus;
    }
    return half * sum;
}

dialarc_status dialarc_fuel_mean_modulus(const dialarc_fuel *fuel, double temperature_c,
                                         double from_mpa, double to_mpa,
                                         double *modulus_mpa)
{
    double density, sound;
    if (!modulus_mpa)
        return DIALARC_ERR_NULL;
    dialarc_status status = state(fuel, temperature_c, from_mpa, &density, &sound);
    if (status == DIALARC_OK)
        status = state(fuel, temperature_c, to_mpa, &density, &sound);
    if (status != DIALARC_OK)
        return status;
    if (!(to_mpa > from_mpa))
        return DIALARC_ERR_PRESSURE;
    double share = -expm1(-relative_compression(fuel, temperature_c, from_mpa, to_mpa));
    return darc_give((to_mpa - from_mpa) / share, modulus_mpa);
}

dialarc_status dialarc_fuel_sound_from_modulus(double modulus_mpa,
                                               double density_kg_per_m3,
                                               double *sound_m_per_s)
{
    if (!sound_m_per_s)
        return DIALARC_ERR_NULL;
    if (!isfinite(modulus_mpa) || !isfinite(density_kg_per_m3))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(modulus_mpa) || !darc_positive(density_kg_per_m3))
        return DIALARC_ERR_POSITIVE;
    *sound_m_per_s = sqrt(modulus_mpa * PA_PER_MPA / density_kg_per_m3);
    return DIALARC_OK;
}

dialarc_status dialarc_fuel_compression(double volume_mm3, double modulus_mpa,
                                        double rise_mpa, double *compression_mm3)
{
    if (!compression_mm3)
        return DIALARC_ERR_NULL;
    if (!isfinite(volume_mm3) || !isfinite(modulus_mpa) || !isfinite(rise_mpa))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(volume_mm3) || !darc_positive(modulus_mpa))
        return DIALARC_ERR_POSITIVE;
    if (!(rise_mpa >= 0.0) || !(rise_mpa <= DIALARC_FUEL_PRESSURE_MAX_MPA))
        return DIALARC_ERR_PRESSURE;
    *compression_mm3 = volume_mm3 * rise_mpa / modulus_mpa;
    return DIALARC_OK;
}
