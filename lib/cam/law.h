/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Motion laws on the unit flank: s(0) = 0, s(1) = 1, with first and second derivative.
 * Inline, because this is the inner loop of everything.
 *
 * Sources: the closed forms are the standard ones of cam design (VDI 2143; R. L. Norton,
 * Cam Design and Manufacturing Handbook, from memory); all were checked by quadrature.
 */
#ifndef DARC_LAW_H
#define DARC_LAW_H

#include <math.h>
#include <stdbool.h>

#include <dialarc/cam.h>

#include "core/angle.h"
#include "core/sine.h"

#define DARC_DEFAULT_BLEND 0.25

typedef struct darc_motion {
    double s; /* displacement, 0..1 */
    double v; /* ds/du */
    double a; /* d2s/du2 */
} darc_motion;

/* Blend to be used for what the caller gave: 0 stands for the usual one. */
static inline double darc_blend(double blend)
{
    return blend == 0.0 ? DARC_DEFAULT_BLEND : blend;
}

/* Whether a law is one of the list, DIALARC_LAW_UNKNOWN excluded. */
bool darc_law_known(dialarc_law law);

/* DIALARC_OK, DIALARC_ERR_LAW, DIALARC_ERR_NOT_FINITE or DIALARC_ERR_BLEND. */
dialarc_status darc_law_check(dialarc_law law, double blend);

/* Constant rate between blends, 0 <= u <= 1/2. */
static inline darc_motion darc_law_blended(dialarc_law law, double blend, double u)
{
    const double pi = DARC_PI;
    darc_motion m = {0.0, 0.0, 0.0};
    if (law == DIALARC_LAW_CONSTANT_RATE) {
        double rate = 1.0 / (1.0 - blend);
        if (u < blend) {
            m.s = 0.5 * rate * u * u / blend;
            m.v = rate * u / blend;
            m.a = rate / blend;
        } else {
            m.s = rate * (u - 0.5 * blend);
            m.v = rate;
        }
    } else if (law == DIALARC_LAW_CONSTANT_RATE_HARMONIC) {
        double rate = 1.0 / (1.0 - 2.0 * blend + 4.0 * blend / pi);
        double w = 0.5 * pi / blend;
        if (u < blend) {
            m.s = rate / w * (1.0 - cos(w * u));
            m.v = rate * sin(w * u);
            m.a = rate * w * cos(w * u);
        } else {
            m.s = rate * (u - blend + 1.0 / w);
            m.v = rate;
        }
    } else {
        double rate = 1.0 / (1.0 - blend);
        double w = pi / blend;
        if (u < blend) {
            m.s = 0.5 * rate * (u - sin(w * u) / w);
            m.v = 0.5 * rate * (1.0 - cos(w * u));
            m.a = 0.5 * rate * w * sin(w * u);
        } else {
            m.s = rate * (u - 0.5 * blend);
            m.v = rate;
        }
    }
    return m;
}

/* Lower half of a symmetric law, 0 <= u <= 1/2. */
static inline darc_motion darc_law_half(dialarc_law law, double blend, double u)
{
    const double pi = DARC_PI;
    darc_motion m = {0.0, 0.0, 0.0};
    double s, c;
    switch (law) {
    case DIALARC_LAW_HARMONIC: {
        darc_sine_cosine(pi * u, &s, &c);
        m.s = 0.5 * (1.0 - c);
        m.v = 0.5 * pi * s;
        m.a = 0.5 * pi * pi * c;
        break;
    }
    case DIALARC_LAW_CYCLOIDAL: {
        darc_sine_cosine(2.0 * pi * u, &s, &c);
        m.s = u - s / (2.0 * pi);
        m.v = 1.0 - c;
        m.a = 2.0 * pi * s;
        break;
    }
    case DIALARC_LAW_POLY345:
        m.s = u * u * u * (10.0 + u * (-15.0 + 6.0 * u));
        m.v = 30.0 * u * u * (1.0 - u) * (1.0 - u);
        m.a = 60.0 * u * (1.0 - u) * (1.0 - 2.0 * u);
        break;
    case DIALARC_LAW_POLY4567:
        m.s = u * u * u * u * (35.0 + u * (-84.0 + u * (70.0 - 20.0 * u)));
        m.v = 140.0 * u * u * u * (1.0 - u) * (1.0 - u) * (1.0 - u);
        m.a = 420.0 * u * u * (1.0 - u) * (1.0 - u) * (1.0 - 2.0 * u);
        break;
    case DIALARC_LAW_MODIFIED_SINE: {
        const double k = 1.0 / (4.0 + pi);
        if (u <= 0.125) {
            double x = 4.0 * pi * u;
            darc_sine_cosine(x, &s, &c);
            m.s = k * (pi * u - 0.25 * s);
            m.v = k * pi * (1.0 - c);
            m.a = k * 4.0 * pi * pi * s;
        } else {
            double x = (pi + 4.0 * pi * u) / 3.0;
            darc_sine_cosine(x, &s, &c);
            m.s = k * (2.0 + pi * u - 2.25 * s);
            m.v = k * pi * (1.0 - 3.0 * c);
            m.a = k * 4.0 * pi * pi * s;
        }
        break;
    }
    case DIALARC_LAW_MODIFIED_TRAPEZOID: {
        const double k = 1.0 / (2.0 + pi);
        if (u <= 0.125) {
            double x = 4.0 * pi * u;
            darc_sine_cosine(x, &s, &c);
            m.s = k * (2.0 * u - s / (2.0 * pi));
            m.v = k * 2.0 * (1.0 - c);
            m.a = k * 8.0 * pi * s;
        } else if (u <= 0.375) {
            double w = u - 0.125;
            m.s = k * (0.25 - 0.5 / pi + 2.0 * w + 4.0 * pi * w * w);
            m.v = k * (2.0 + 8.0 * pi * w);
            m.a = k * 8.0 * pi;
        } else {
            double x = 4.0 * pi * (u - 0.25);
            darc_sine_cosine(x, &s, &c);
            m.s = k * (-0.5 * pi + 2.0 * (1.0 + pi) * u - s / (2.0 * pi));
            m.v = k * (2.0 * (1.0 + pi) - 2.0 * c);
            m.a = k * 8.0 * pi * s;
        }
        break;
    }
    case DIALARC_LAW_CONSTANT_RATE:
    case DIALARC_LAW_CONSTANT_RATE_HARMONIC:
    case DIALARC_LAW_CONSTANT_RATE_CYCLOIDAL:
        return darc_law_blended(law, blend, u);
    case DIALARC_LAW_UNKNOWN:
    case DIALARC_LAW_COUNT:
        break;
    }
    return m;
}

/* Whole flank; u outside 0..1 dwells. `blend` matters to constant-rate laws alone. */
static inline darc_motion darc_law(dialarc_law law, double blend, double u)
{
    if (!(u > 0.0))
        return (darc_motion){0.0, 0.0, 0.0};
    if (!(u < 1.0))
        return (darc_motion){1.0, 0.0, 0.0};
    if (u <= 0.5)
        return darc_law_half(law, blend, u);
    darc_motion m = darc_law_half(law, blend, 1.0 - u);
    m.s = 1.0 - m.s;
    m.a = -m.a;
    return m;
}

#endif
