/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "belt/span.h"

#include <math.h>

#include <gsl/gsl_math.h>

#include "core/finite.h"

dialarc_status darc_span_check(const dialarc_span *s)
{
    if (!s)
        return DIALARC_ERR_NULL;
    if (!isfinite(s->length_mm) || !isfinite(s->bending_n_mm2) ||
        !isfinite(s->length_sd_mm) || !isfinite(s->bending_sd_n_mm2) ||
        !isfinite(s->stretch_n) || !isfinite(s->stretch_sd_n))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(s->length_mm))
        return DIALARC_ERR_LENGTH;
    if (!(s->bending_n_mm2 >= 0.0 && s->bending_n_mm2 <= DARC_LARGEST) ||
        !darc_not_negative(s->stretch_n))
        return DIALARC_ERR_STIFFNESS;
    if (!darc_not_negative(s->length_sd_mm) || !darc_not_negative(s->bending_sd_n_mm2) ||
        !darc_not_negative(s->stretch_sd_n))
        return DIALARC_ERR_SD;
    return DIALARC_OK;
}

dialarc_status darc_span_check_mass(const dialarc_span *s)
{
    dialarc_status status = darc_span_check(s);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(s->mass_kg_per_m) || !isfinite(s->mass_sd_kg_per_m))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(s->mass_kg_per_m))
        return DIALARC_ERR_POSITIVE;
    if (!darc_not_negative(s->mass_sd_kg_per_m))
        return DIALARC_ERR_SD;
    return DIALARC_OK;
}

double darc_span_bending_n(const dialarc_span *s)
{
    return M_PI * M_PI * s->bending_n_mm2 / (s->length_mm * s->length_mm);
}
