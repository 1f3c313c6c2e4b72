/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/older_units.h>

double dialarc_nm_per_kgf_m(void)
{
    return DIALARC_NM_PER_KGF_M;
}

double dialarc_nm_per_kgf_cm(void)
{
    return DIALARC_NM_PER_KGF_CM;
}

double dialarc_pa_per_psi(void)
{
    return DIALARC_PA_PER_PSI;
}

double dialarc_nm_from_kgf_m(double torque_kgf_m)
{
    return torque_kgf_m * DIALARC_NM_PER_KGF_M;
}

double dialarc_kgf_m_from_nm(double torque_nm)
{
    return torque_nm / DIALARC_NM_PER_KGF_M;
}

double dialarc_nm_from_kgf_cm(double torque_kgf_cm)
{
    return torque_kgf_cm * DIALARC_NM_PER_KGF_CM;
}

double dialarc_kgf_cm_from_nm(double torque_nm)
{
    return torque_nm / DIALARC_NM_PER_KGF_CM;
}

double dialarc_pa_from_psi(double pressure_psi)
{
    return pressure_psi * DIALARC_PA_PER_PSI;
}

double dialarc_psi_from_pa(double pressure_pa)
{
    return pressure_pa / DIALARC_PA_PER_PSI;
}

double dialarc_celsius_from_fahrenheit(double temperature_f)
{
    return (temperature_f - 32.0) / 1.8;
}

double dialarc_fahrenheit_from_celsius(double temperature_c)
{
    return 1.8 * temperature_c + 32.0;
}
