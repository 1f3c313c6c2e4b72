/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cam/motion.h"

#include <math.h>

#include "numeric/root.h"

/* Below this argument x - sin x is summed as a series, in which nothing cancels. */
#define SERIES_BELOW 0.5

/* x - sin x for 0 <= x < SERIES_BELOW. */
static double less_sine(double x)
{
    double z = x * x;
    double sum = 1.0 - z / 156.0;
    sum = 1.0 - z / 110.0 * sum;
    sum = 1.0 - z / 72.0 * sum;
    sum = 1.0 - z / 42.0 * sum;
    sum = 1.0 - z / 20.0 * sum;
    return x * z / 6.0 * sum;
}

/* 1 - cos x without cancellation. */
static double less_cosine(double x)
{
    double s = sin(0.5 * x);
    return 2.0 * s * s;
}

/*
 * Where a law begins as scale * (x - sin x) with x = w u: w and scale; 0 for other laws.
 */
static double sine_foot(dialarc_law law, double blend, double *scale)
{
    const double pi = DARC_PI;
    switch (law) {
    case DIALARC_LAW_CYCLOIDAL:
        *scale = 0.5 / pi;
        return 2.0 * pi;
    case DIALARC_LAW_MODIFIED_SINE:
        *scale = 0.25 / (4.0 + pi);
        return 4.0 * pi;
    case DIALARC_LAW_MODIFIED_TRAPEZOID:
        *scale = 0.5 / (pi * (2.0 + pi));
        return 4.0 * pi;
    case DIALARC_LAW_CONSTANT_RATE_CYCLOIDAL:
        *scale = 0.5 * blend / (pi * (1.0 - blend));
        return pi / blend;
    default:
        *scale = 0.0;
        return 0.0;
    }
}

/* Lower half of a law, 0 <= u <= 1/2. */
static darc_motion half_motion(dialarc_law law, double blend, double u)
{
    darc_motion m = darc_law_half(law, blend, u);
    double scale, w = sine_foot(law, blend, &scale);
    if (w * u < SERIES_BELOW && w > 0.0) {
        m.s = scale * less_sine(w * u);
        m.v = scale * w * less_cosine(w * u);
    } else if (law == DIALARC_LAW_HARMONIC) {
        m.s = 0.5 * less_cosine(DARC_PI * u);
    } else if (law == DIALARC_LAW_CONSTANT_RATE_HARMONIC && u < blend) {
        double rate = 1.0 / (1.0 - 2.0 * blend + 4.0 * blend / DARC_PI);
        m.s = rate * 2.0 * blend / DARC_PI * less_cosine(0.5 * DARC_PI * u / blend);
    }
    return m;
}

darc_motion darc_flank_motion(dialarc_law law, double blend, double u)
{
    if (!(u > 0.0))
        return (darc_motion){0.0, 0.0, 0.0};
    if (!(u < 1.0))
        return (darc_motion){1.0, 0.0, 0.0};
    if (u <= 0.5)
        return half_motion(law, blend, u);
    darc_motion m = half_motion(law, blend, 1.0 - u);
    m.s = 1.0 - m.s;
    m.a = -m.a;
    return m;
}

typedef struct target {
    dialarc_law law;
    double blend;
    double s;
} target;

static void excess(double u, const void *context, double *value, double *slope)
{
    const target *t = context;
    darc_motion m = half_motion(t->law, t->blend, u);
    *value = m.s - t->s;
    *slope = m.v;
}

/* First guess: the leading term of the law at its foot, an overestimate of s. */
static double first_guess(const target *t)
{
    double scale, w = sine_foot(t->law, t->blend, &scale);
    if (w > 0.0)
        return cbrt(6.0 * t->s / scale) / w;
    switch (t->law) {
    case DIALARC_LAW_HARMONIC:
        return asin(sqrt(t->s)) * 2.0 / DARC_PI;
    case DIALARC_LAW_POLY345:
        return cbrt(t->s / 10.0);
    case DIALARC_LAW_POLY4567:
        return sqrt(sqrt(t->s / 35.0));
    default: { /* constant rate, blended as a parabola or as a cosine */
        double a = darc_law_half(t->law, t->blend, 0.0).a;
        return sqrt(2.0 * t->s / a);
    }
    }
}

/* The u, 0..1/2, for 0 < s <= 1/2. */
static double half_inverse(dialarc_law law, double blend, double s)
{
    target t = {law, blend, s};
    double guess = first_guess(&t);
    return darc_root(excess, &t, 0.0, 0.5, guess < 0.5 ? guess : 0.5);
}

double darc_flank_inverse(dialarc_law law, double blend, double s)
{
    if (!(s > 0.0))
        return 0.0;
    if (!(s < 1.0))
        return 1.0;
    if (s <= 0.5)
        return half_inverse(law, blend, s);
    return 1.0 - half_inverse(law, blend, 1.0 - s);
}
