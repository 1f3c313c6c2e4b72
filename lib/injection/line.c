/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include <dialarc/fuel.h>
#include <dialarc/line.h>

#include "core/angle.h"
#include "core/finite.h"

static dialarc_status check_line(const dialarc_line *l)
{
    if (!l)
        return DIALARC_ERR_NULL;
    if (!isfinite(l->length_mm) || !isfinite(l->bore_mm) || !isfinite(l->young_mpa))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(l->length_mm) || !darc_positive(l->bore_mm))
        return DIALARC_ERR_LENGTH;
    if (!darc_not_negative(l->young_mpa))
        return DIALARC_ERR_STIFFNESS;
    if (l->young_mpa == 0.0)
        return DIALARC_OK;
    if (!isfinite(l->outer_mm) || !isfinite(l->poisson))
        return DIALARC_ERR_NOT_FINITE;
    if (!(l->outer_mm > l->bore_mm && l->outer_mm <= DARC_LARGEST))
        return DIALARC_ERR_LENGTH;
    if (!(l->poisson >= 0.0) || !(l->poisson <= 0.5))
        return DIALARC_ERR_STIFFNESS;
    return DIALARC_OK;
}

dialarc_status dialarc_line_volume(const dialarc_line *line, double *volume_mm3)
{
    dialarc_status status = check_line(line);
    if (status != DIALARC_OK)
        return status;
    if (!volume_mm3)
        return DIALARC_ERR_NULL;
    *volume_mm3 = 0.25 * DARC_PI * line->bore_mm * line->bore_mm * line->length_mm;
    return DIALARC_OK;
}

/* Relative growth of the bore's area per pressure, 1/MPa: Lame, no axial stress. */
static double wall_compliance(const dialarc_line *l)
{
    if (l->young_mpa == 0.0)
        return 0.0;
    double bore = l->bore_mm / l->outer_mm, square = bore * bore;
    double shape = (1.0 + square) / ((1.0 - bore) * (1.0 + bore));
    return 2.0 * (shape + l->poisson) / l->young_mpa;
}

dialarc_status dialarc_line_modulus(const dialarc_line *line, double modulus_mpa,
                                    double *effective_mpa)
{
    dialarc_status status = check_line(line);
    if (status != DIALARC_OK)
        return status;
    if (!effective_mpa)
        return DIALARC_ERR_NULL;
    if (!isfinite(modulus_mpa))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(modulus_mpa))
        return DIALARC_ERR_POSITIVE;
    *effective_mpa = modulus_mpa / (1.0 + modulus_mpa * wall_compliance(line));
    return DIALARC_OK;
}

dialarc_status dialarc_line_sound(const dialarc_line *line, double modulus_mpa,
                                  double density_kg_per_m3, double *sound_m_per_s)
{
    double effective_mpa;
    dialarc_status status = dialarc_line_modulus(line, modulus_mpa, &effective_mpa);
    if (status != DIALARC_OK)
        return status;
    return dialarc_fuel_sound_from_modulus(effective_mpa, density_kg_per_m3,
                                           sound_m_per_s);
}

dialarc_status dialarc_line_delay(double length_mm, double sound_m_per_s,
                                  double *delay_ms)
{
    if (!delay_ms)
        return DIALARC_ERR_NULL;
    if (!isfinite(length_mm) || !isfinite(sound_m_per_s))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(length_mm))
        return DIALARC_ERR_LENGTH;
    if (!darc_positive(sound_m_per_s))
        return DIALARC_ERR_POSITIVE;
    *delay_ms = length_mm / sound_m_per_s; /* mm over m/s is ms */
    return DIALARC_OK;
}
