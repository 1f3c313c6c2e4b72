/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include <dialarc/belt.h>
#include <dialarc/uncertainty.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_sf_bessel.h>

#include "core/normal.h"
#include "numeric/root.h"

#define MM_PER_M 1000.0

/* Length, stiffness and their uncertainties: what every formula of a span needs. */
static dialarc_status check_span(const dialarc_span *s)
{
    if (!s)
        return DIALARC_ERR_NULL;
    if (!isfinite(s->length_mm) || !isfinite(s->bending_n_mm2) ||
        !isfinite(s->length_sd_mm) || !isfinite(s->bending_sd_n_mm2))
        return DIALARC_ERR_NOT_FINITE;
    if (!(s->length_mm > 0.0))
        return DIALARC_ERR_LENGTH;
    if (!(s->bending_n_mm2 >= 0.0))
        return DIALARC_ERR_STIFFNESS;
    if (!(s->length_sd_mm >= 0.0) || !(s->bending_sd_n_mm2 >= 0.0))
        return DIALARC_ERR_SD;
    return DIALARC_OK;
}

static dialarc_status check_mass(const dialarc_span *s)
{
    dialarc_status status = check_span(s);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(s->mass_kg_per_m) || !isfinite(s->mass_sd_kg_per_m))
        return DIALARC_ERR_NOT_FINITE;
    if (!(s->mass_kg_per_m > 0.0))
        return DIALARC_ERR_POSITIVE;
    if (!(s->mass_sd_kg_per_m >= 0.0))
        return DIALARC_ERR_SD;
    return DIALARC_OK;
}

/* A tension with its uncertainty from n independent inputs that passed their checks. */
static dialarc_tension budget(double tension_n, size_t n, const double *sensitivity,
                              const double *sd)
{
    double combined = 0.0;
    dialarc_uncertainty_combine(n, sensitivity, sd, NULL, &combined);
    return (dialarc_tension){tension_n, combined, DARC_NORMAL_975 * combined};
}

/* The tension that would give a flexible belt the stiff one's frequency without tension.
 */
static double bending_n(const dialarc_span *s)
{
    return M_PI * M_PI * s->bending_n_mm2 / (s->length_mm * s->length_mm);
}

/* 4 m L^2 f^2: tension of a flexible belt. */
static double string_n(const dialarc_span *s, double frequency_hz)
{
    double speed = 2.0 * s->length_mm / MM_PER_M * frequency_hz; /* of the wave, m/s */
    return s->mass_kg_per_m * speed * speed;
}

static dialarc_status check_frequency(const dialarc_span *s, double frequency_hz)
{
    if (!isfinite(frequency_hz))
        return DIALARC_ERR_NOT_FINITE;
    if (!(frequency_hz > 0.0))
        return DIALARC_ERR_FREQUENCY;
    if (bending_n(s) > DIALARC_BENDING_MAX * string_n(s, frequency_hz))
        return DIALARC_ERR_BENDING;
    return DIALARC_OK;
}

dialarc_status dialarc_belt_tension_from_frequency(const dialarc_span *span,
                                                   double frequency_hz,
                                                   double frequency_sd_hz,
                                                   dialarc_tension *tension)
{
    dialarc_status status = check_mass(span);
    if (status != DIALARC_OK)
        return status;
    if (!tension)
        return DIALARC_ERR_NULL;
    status = check_frequency(span, frequency_hz);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(frequency_sd_hz))
        return DIALARC_ERR_NOT_FINITE;
    if (!(frequency_sd_hz >= 0.0))
        return DIALARC_ERR_SD;
    double string = string_n(span, frequency_hz), bending = bending_n(span);
    double l = span->length_mm;
    const double sensitivity[] = {string / span->mass_kg_per_m,
                                  2.0 * (string + bending) / l,
                                  2.0 * string / frequency_hz, M_PI * M_PI / (l * l)};
    const double sd[] = {span->mass_sd_kg_per_m, span->length_sd_mm, frequency_sd_hz,
                         span->bending_sd_n_mm2};
    *tension = budget(string - bending, 4, sensitivity, sd);
    return DIALARC_OK;
}

dialarc_status dialarc_belt_tension_from_frequency_array(const dialarc_span *span,
                                                         size_t n,
                                                         const double *frequency_hz,
                                                         double *tension_n)
{
    dialarc_status status = check_mass(span);
    if (status != DIALARC_OK)
        return status;
    if (n > 0 && (!frequency_hz || !tension_n))
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < n; i++) {
        status = check_frequency(span, frequency_hz[i]);
        if (status != DIALARC_OK)
            return status;
    }
    for (size_t i = 0; i < n; i++)
        tension_n[i] = string_n(span, frequency_hz[i]) - bending_n(span);
    return DIALARC_OK;
}

dialarc_status dialarc_belt_frequency_from_tension(const dialarc_span *span,
                                                   double tension_n, double *frequency_hz)
{
    dialarc_status status = check_mass(span);
    if (status != DIALARC_OK)
        return status;
    if (!frequency_hz)
        return DIALARC_ERR_NULL;
    if (!isfinite(tension_n))
        return DIALARC_ERR_NOT_FINITE;
    if (!(tension_n > 0.0))
        return DIALARC_ERR_POSITIVE;
    double total = tension_n + bending_n(span);
    if (bending_n(span) > DIALARC_BENDING_MAX * total)
        return DIALARC_ERR_BENDING;
    *frequency_hz =
        sqrt(total / span->mass_kg_per_m) / (2.0 * span->length_mm / MM_PER_M);
    return DIALARC_OK;
}

/*
 * Share of a stiff belt's free deflection that tension leaves: 3 (u - tanh u) / u^3,
 * written with the spherical Bessel function i1, which does not cancel at small u.
 */
static double slack_share(double u)
{
    gsl_sf_result i1;
    gsl_sf_bessel_i1_scaled_e(u, &i1); /* u is far from the under- and overflow */
    return 6.0 * i1.val / (u * (1.0 + exp(-2.0 * u)));
}

/* Its slope on logarithmic scales, from 0 (stiff) to -2 (flexible). */
static double slack_slope(double u)
{
    double t = tanh(u);
    return 3.0 * t * t / (u * u * slack_share(u)) - 3.0;
}

/* Rises with the logarithm of u, as darc_root() wants it. */
static void share_error(double log_u, const void *context, double *value, double *slope)
{
    const double *log_share = context;
    double u = exp(log_u);
    *value = *log_share - log(slack_share(u));
    *slope = -slack_slope(u);
}

/* u for which slack_share(u) is `share`, within (0, DIALARC_BENDING_MAX]. */
static double solve_share(double share)
{
    /* Right for a flexible belt and up to a tenth too large for a stiff one. */
    double start = log(sqrt(3.0 * (1.0 / share - 1.0)));
    double log_share = log(share);
    return exp(darc_root(share_error, &log_share, start - 0.3, start + 0.1, start));
}

static dialarc_status check_deflection(const dialarc_span *s, double deflection_mm)
{
    if (!isfinite(deflection_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!(deflection_mm > 0.0) ||
        !(deflection_mm <= DIALARC_DEFLECTION_MAX * s->length_mm))
        return DIALARC_ERR_DEFLECTION;
    return DIALARC_OK;
}

/* Force that bending alone needs for a deflection. */
static double beam_n(const dialarc_span *s, double deflection_mm)
{
    double l = s->length_mm;
    return 48.0 * s->bending_n_mm2 / (l * l) * (deflection_mm / l);
}

/* Below this part of the force, bending is lost in the rounding of the flexible formula.
 */
#define BENDING_MIN 1e-30

dialarc_status dialarc_belt_tension_from_deflection(const dialarc_span *span,
                                                    double force_n, double force_sd_n,
                                                    double deflection_mm,
                                                    double deflection_sd_mm,
                                                    dialarc_tension *tension)
{
    dialarc_status status = check_span(span);
    if (status != DIALARC_OK)
        return status;
    if (!tension)
        return DIALARC_ERR_NULL;
    if (!isfinite(force_n) || !isfinite(force_sd_n) || !isfinite(deflection_sd_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!(force_n > 0.0))
        return DIALARC_ERR_POSITIVE;
    status = check_deflection(span, deflection_mm);
    if (status != DIALARC_OK)
        return status;
    if (!(force_sd_n >= 0.0) || !(deflection_sd_mm >= 0.0))
        return DIALARC_ERR_SD;
    double l = span->length_mm, share = beam_n(span, deflection_mm) / force_n;
    if (share > DIALARC_BENDING_MAX)
        return DIALARC_ERR_BENDING;
    double value = 0.25 * force_n * l / deflection_mm, slope = -2.0;
    if (share > BENDING_MIN) {
        double u = solve_share(share);
        value = 4.0 * span->bending_n_mm2 * (u / l) * (u / l);
        slope = slack_slope(u);
    }
    /* By implicit differentiation of the logarithms. */
    double gain = value * 2.0 / slope;
    const double sensitivity[] = {
        gain / force_n, gain / deflection_mm, gain * (3.0 + slope) / l,
        share > BENDING_MIN ? gain * (1.0 + 0.5 * slope) / span->bending_n_mm2 : 0.0};
    const double sd[] = {force_sd_n, deflection_sd_mm, span->length_sd_mm,
                         span->bending_sd_n_mm2};
    *tension = budget(value, 4, sensitivity, sd);
    return DIALARC_OK;
}

dialarc_status dialarc_belt_force_from_tension(const dialarc_span *span, double tension_n,
                                               double deflection_mm, double *force_n)
{
    dialarc_status status = check_span(span);
    if (status != DIALARC_OK)
        return status;
    if (!force_n)
        return DIALARC_ERR_NULL;
    if (!isfinite(tension_n))
        return DIALARC_ERR_NOT_FINITE;
    if (!(tension_n > 0.0))
        return DIALARC_ERR_POSITIVE;
    status = check_deflection(span, deflection_mm);
    if (status != DIALARC_OK)
        return status;
    double l = span->length_mm, beam = beam_n(span, deflection_mm);
    double force = 4.0 * tension_n * deflection_mm / l;
    if (beam > BENDING_MIN * force) {
        double share = slack_share(0.5 * l * sqrt(tension_n / span->bending_n_mm2));
        if (share > DIALARC_BENDING_MAX)
            return DIALARC_ERR_BENDING;
        force = beam / share;
    }
    *force_n = force;
    return DIALARC_OK;
}

static dialarc_status check_teeth(int teeth, double pitch_mm, const double *result)
{
    if (!result)
        return DIALARC_ERR_NULL;
    if (teeth < 1)
        return DIALARC_ERR_TEETH;
    if (!isfinite(pitch_mm))
        return DIALARC_ERR_NOT_FINITE;
    return pitch_mm > 0.0 ? DIALARC_OK : DIALARC_ERR_LENGTH;
}

dialarc_status dialarc_belt_pitch_diameter(int teeth, double pitch_mm,
                                           double *diameter_mm)
{
    dialarc_status status = check_teeth(teeth, pitch_mm, diameter_mm);
    if (status == DIALARC_OK)
        *diameter_mm = teeth * pitch_mm / M_PI;
    return status;
}

dialarc_status dialarc_belt_length(int teeth, double pitch_mm, double *length_mm)
{
    dialarc_status status = check_teeth(teeth, pitch_mm, length_mm);
    if (status == DIALARC_OK)
        *length_mm = teeth * pitch_mm;
    return status;
}

dialarc_status dialarc_belt_span_length(double centre_mm, double first_mm,
                                        double second_mm, int crossed, double *length_mm)
{
    if (!length_mm)
        return DIALARC_ERR_NULL;
    if (!isfinite(centre_mm) || !isfinite(first_mm) || !isfinite(second_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!(centre_mm > 0.0) || !(first_mm > 0.0) || !(second_mm > 0.0))
        return DIALARC_ERR_LENGTH;
    double sum = 0.5 * (first_mm + second_mm);
    if (!(centre_mm > sum))
        return DIALARC_ERR_CENTRES;
    double step = crossed ? sum : 0.5 * (first_mm - second_mm);
    *length_mm = sqrt((centre_mm - step) * (centre_mm + step));
    return DIALARC_OK;
}
