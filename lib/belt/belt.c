/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include <dialarc/belt.h>
#include <dialarc/uncertainty.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_sf_bessel.h>

#include "belt/span.h"
#include "core/finite.h"
#include "core/normal.h"
#include "numeric/root.h"

#define MM_PER_M 1000.0

/* A tension with its uncertainty from n independent inputs that passed their checks. */
static dialarc_tension budget(double tension_n, size_t n, const double *sensitivity,
                              const double *sd)
{
    double combined = 0.0;
    dialarc_uncertainty_combine(n, sensitivity, sd, NULL, &combined);
    return (dialarc_tension){tension_n, combined, DARC_NORMAL_975 * combined};
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
    if (!darc_positive(frequency_hz))
        return DIALARC_ERR_FREQUENCY;
    if (darc_span_bending_n(s) > DIALARC_BENDING_MAX * string_n(s, frequency_hz))
        return DIALARC_ERR_BENDING;
    return DIALARC_OK;
}

dialarc_status dialarc_belt_tension_from_frequency(const dialarc_span *span,
                                                   double frequency_hz,
                                                   double frequency_sd_hz,
                                                   dialarc_tension *tension)
{
    dialarc_status status = darc_span_check_mass(span);
    if (status != DIALARC_OK)
        return status;
    if (!tension)
        return DIALARC_ERR_NULL;
    status = check_frequency(span, frequency_hz);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(frequency_sd_hz))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_not_negative(frequency_sd_hz))
        return DIALARC_ERR_SD;
    double string = string_n(span, frequency_hz), bending = darc_span_bending_n(span);
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
    dialarc_status status = darc_span_check_mass(span);
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
        tension_n[i] = string_n(span, frequency_hz[i]) - darc_span_bending_n(span);
    return DIALARC_OK;
}

dialarc_status dialarc_belt_frequency_from_tension(const dialarc_span *span,
                                                   double tension_n, double *frequency_hz)
{
    dialarc_status status = darc_span_check_mass(span);
    if (status != DIALARC_OK)
        return status;
    if (!frequency_hz)
        return DIALARC_ERR_NULL;
    if (!isfinite(tension_n))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(tension_n))
        return DIALARC_ERR_POSITIVE;
    double total = tension_n + darc_span_bending_n(span);
    if (darc_span_bending_n(span) > DIALARC_BENDING_MAX * total)
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
    if (!darc_positive(deflection_mm) ||
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

/* A span pushed aside: what follows from force and deflection. */
typedef struct push {
    double tension_n; /* while pushed */
    double u;         /* as in slack_share(); infinite for a flexible belt */
    double slope;     /* of slack_share() there */
    double strain;    /* of the span by the push */
} push;

/* Length of the two straight halves of a flexible belt over the span. */
static double longer(double deflection_mm, double length_mm)
{
    return sqrt(1.0 + gsl_pow_2(2.0 * deflection_mm / length_mm));
}

/*
 * c of the length that the push adds to the span, c d^2 / L: half the integral of the
 * slope's square. It goes from 2.4 for a beam without tension to 2 for a flexible belt.
 */
static double lengthening(double u)
{
    if (!(u < 300.0))
        return isinf(u) ? 2.0 : 2.0 * u * (u - 1.5) / gsl_pow_2(u - 1.0);
    double t = tanh(u), sech = 1.0 / cosh(u);
    return 2.0 * u * (u - 1.5 * t + 0.5 * u * sech * sech) / gsl_pow_2(u - t);
}

static double strain(double u, double deflection_mm, double length_mm)
{
    double part = deflection_mm / length_mm, grown = 2.0 * lengthening(u) * part * part;
    return grown / (1.0 + sqrt(1.0 + grown)); /* sqrt(1 + grown) - 1 */
}

/* Force by small slopes, as in handbooks, over that by the slopes of straight halves,
 * which count only beside the stretch: both grow with the deflection's square. */
static double upright(const dialarc_span *s, double deflection_mm)
{
    return s->stretch_n > 0.0 ? longer(deflection_mm, s->length_mm) : 1.0;
}

static dialarc_status find_push(const dialarc_span *s, double force_n,
                                double deflection_mm, push *p)
{
    double l = s->length_mm, force = force_n * upright(s, deflection_mm);
    double share = beam_n(s, deflection_mm) / force;
    if (share > DIALARC_BENDING_MAX)
        return DIALARC_ERR_BENDING;
    *p = (push){0.25 * force * l / deflection_mm, INFINITY, -2.0, 0.0};
    if (share > BENDING_MIN) {
        p->u = solve_share(share);
        p->tension_n = 4.0 * s->bending_n_mm2 * (p->u / l) * (p->u / l);
        p->slope = slack_slope(p->u);
    }
    p->strain = strain(p->u, deflection_mm, l);
    return s->stretch_n * p->strain <= DIALARC_STRETCH_MAX * p->tension_n
               ? DIALARC_OK
               : DIALARC_ERR_STRETCH;
}

/* Derivative of the lengthening by the logarithm of u. */
static double lengthening_slope(double u)
{
    const double step = 1e-4; /* a quotient is enough: this part is small */
    if (isinf(u))
        return 0.0;
    return (lengthening(u * exp(step)) - lengthening(u * exp(-step))) / (2.0 * step);
}

/*
 * Derivatives of the tension at rest by the logarithms of force, deflection, length and
 * bending, and by the stretch: the pushed tension's by implicit differentiation of
 * slack_share(), less those of the rise by the stretch.
 */
static void find_gradient(const dialarc_span *s, const push *p, double deflection_mm,
                          double *by)
{
    double part2 = gsl_pow_2(deflection_mm / s->length_mm), gain = 2.0 / p->slope;
    double turn = s->stretch_n > 0.0 ? 4.0 * part2 / (1.0 + 4.0 * part2) : 0.0;
    double tension[4] = {-gain, gain * (1.0 - turn), -2.0 - gain * (3.0 - turn),
                         1.0 + gain};
    double rise = s->stretch_n * part2 / (1.0 + p->strain);
    double even = 2.0 * lengthening(p->u), uneven = 0.5 * lengthening_slope(p->u);
    const double rest_of_u[4] = {0.0, 0.0, 2.0,
                                 -1.0}; /* 2 ln u = ln T + 2 ln L - ln EI */
    const double straight[4] = {0.0, even, -even, 0.0};
    for (int i = 0; i < 4; i++)
        by[i] = p->tension_n * tension[i] -
                rise * (straight[i] + uneven * (tension[i] + rest_of_u[i]));
    by[4] = -p->strain;
}

dialarc_status dialarc_belt_tension_from_deflection(const dialarc_span *span,
                                                    double force_n, double force_sd_n,
                                                    double deflection_mm,
                                                    double deflection_sd_mm,
                                                    dialarc_tension *tension)
{
    dialarc_status status = darc_span_check(span);
    if (status != DIALARC_OK)
        return status;
    if (!tension)
        return DIALARC_ERR_NULL;
    if (!isfinite(force_n) || !isfinite(force_sd_n) || !isfinite(deflection_sd_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(force_n))
        return DIALARC_ERR_POSITIVE;
    status = check_deflection(span, deflection_mm);
    if (status != DIALARC_OK)
        return status;
    if (!darc_not_negative(force_sd_n) || !darc_not_negative(deflection_sd_mm))
        return DIALARC_ERR_SD;
    push p;
    status = find_push(span, force_n, deflection_mm, &p);
    if (status != DIALARC_OK)
        return status;
    double by[5], bending = span->bending_n_mm2;
    find_gradient(span, &p, deflection_mm, by);
    const double sensitivity[] = {by[0] / force_n, by[1] / deflection_mm,
                                  by[2] / span->length_mm,
                                  isinf(p.u) ? 0.0 : by[3] / bending, by[4]};
    const double sd[] = {force_sd_n, deflection_sd_mm, span->length_sd_mm,
                         span->bending_sd_n_mm2, span->stretch_sd_n};
    *tension = budget(p.tension_n - span->stretch_n * p.strain, 5, sensitivity, sd);
    return DIALARC_OK;
}

/* Of a stiff belt, u at a tension; infinite where bending is lost in rounding. */
static double stiff_u(const dialarc_span *s, double tension_n, double deflection_mm)
{
    double force = 4.0 * tension_n * deflection_mm / s->length_mm;
    if (!(beam_n(s, deflection_mm) > BENDING_MIN * force))
        return INFINITY;
    return 0.5 * s->length_mm * sqrt(tension_n / s->bending_n_mm2);
}

typedef struct pushed {
    const dialarc_span *span;
    double tension_n, deflection_mm; /* at rest; of the push */
} pushed;

/* Tension while pushed, less what tension at rest and stretch make of it. */
static void rise_error(double tension_n, const void *context, double *value,
                       double *slope)
{
    const pushed *c = context;
    double u = stiff_u(c->span, tension_n, c->deflection_mm);
    *value = tension_n - c->tension_n -
             c->span->stretch_n * strain(u, c->deflection_mm, c->span->length_mm);
    *slope = 1.0; /* nearly: the strain hardly depends on the tension */
}

/* Tension while the middle is held aside. */
static double raised_n(const dialarc_span *s, double tension_n, double deflection_mm)
{
    if (!(s->stretch_n > 0.0))
        return tension_n;
    const pushed c = {s, tension_n, deflection_mm};
    double least = s->stretch_n * strain(INFINITY, deflection_mm, s->length_mm);
    double most = tension_n + 1.3 * least; /* c is at most 2.4, 1.2 times its least */
    return darc_root(rise_error, &c, tension_n, most, tension_n + least);
}

dialarc_status dialarc_belt_force_from_tension(const dialarc_span *span, double tension_n,
                                               double deflection_mm, double *force_n)
{
    dialarc_status status = darc_span_check(span);
    if (status != DIALARC_OK)
        return status;
    if (!force_n)
        return DIALARC_ERR_NULL;
    if (!isfinite(tension_n))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(tension_n))
        return DIALARC_ERR_POSITIVE;
    status = check_deflection(span, deflection_mm);
    if (status != DIALARC_OK)
        return status;
    double raised = raised_n(span, tension_n, deflection_mm);
    if (raised - tension_n > DIALARC_STRETCH_MAX * raised)
        return DIALARC_ERR_STRETCH;
    double u = stiff_u(span, raised, deflection_mm);
    double force = 4.0 * raised * deflection_mm / span->length_mm;
    if (!isinf(u)) {
        double share = slack_share(u);
        if (share > DIALARC_BENDING_MAX)
            return DIALARC_ERR_BENDING;
        force = beam_n(span, deflection_mm) / share;
    }
    *force_n = force / upright(span, deflection_mm);
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
    return darc_positive(pitch_mm) ? DIALARC_OK : DIALARC_ERR_LENGTH;
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
    if (!darc_positive(centre_mm) || !darc_positive(first_mm) ||
        !darc_positive(second_mm))
        return DIALARC_ERR_LENGTH;
    double sum = 0.5 * (first_mm + second_mm);
    if (!(centre_mm > sum))
        return DIALARC_ERR_CENTRES;
    double step = crossed ? sum : 0.5 * (first_mm - second_mm);
    *length_mm = sqrt((centre_mm - step) * (centre_mm + step));
    return DIALARC_OK;
}
