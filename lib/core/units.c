/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/units.h>

#include "core/angle.h"

double dialarc_mm_per_in(void)
{
    return DIALARC_MM_PER_IN;
}

double dialarc_n_per_lbf(void)
{
    return DIALARC_N_PER_LBF;
}

double dialarc_nm_per_lbf_ft(void)
{
    return DIALARC_NM_PER_LBF_FT;
}

double dialarc_nm_per_lbf_in(void)
{
    return DIALARC_NM_PER_LBF_IN;
}

double dialarc_pa_per_bar(void)
{
    return DIALARC_PA_PER_BAR;
}

double dialarc_k_at_0_celsius(void)
{
    return DIALARC_K_AT_0_CELSIUS;
}

double dialarc_mm_from_in(double length_in)
{
    return length_in * DIALARC_MM_PER_IN;
}

double dialarc_in_from_mm(double length_mm)
{
    return length_mm / DIALARC_MM_PER_IN;
}

double dialarc_n_from_lbf(double force_lbf)
{
    return force_lbf * DIALARC_N_PER_LBF;
}

double dialarc_lbf_from_n(double force_n)
{
    return force_n / DIALARC_N_PER_LBF;
}

double dialarc_nm_from_lbf_ft(double torque_lbf_ft)
{
    return torque_lbf_ft * DIALARC_NM_PER_LBF_FT;
}

double dialarc_lbf_ft_from_nm(double torque_nm)
{
    return torque_nm / DIALARC_NM_PER_LBF_FT;
}

double dialarc_nm_from_lbf_in(double torque_lbf_in)
{
    return torque_lbf_in * DIALARC_NM_PER_LBF_IN;
}

double dialarc_lbf_in_from_nm(double torque_nm)
{
    return torque_nm / DIALARC_NM_PER_LBF_IN;
}

double dialarc_pa_from_bar(double pressure_bar)
{
    return pressure_bar * DIALARC_PA_PER_BAR;
}

double dialarc_bar_from_pa(double pressure_pa)
{
    return pressure_pa / DIALARC_PA_PER_BAR;
}

double dialarc_k_from_celsius(double temperature_celsius)
{
    return temperature_celsius + DIALARC_K_AT_0_CELSIUS;
}

double dialarc_celsius_from_k(double temperature_k)
{
    return temperature_k - DIALARC_K_AT_0_CELSIUS;
}

double dialarc_rad_from_deg(double angle_deg)
{
    return angle_deg * DARC_RAD_PER_DEG;
}

double dialarc_deg_from_rad(double angle_rad)
{
    return angle_rad / DARC_RAD_PER_DEG;
}
