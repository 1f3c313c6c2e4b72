/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Sine and cosine of one angle together, inline: the model of a reading asks for some at
 * every step of a fit, and the C library's, which guard the host's rounding mode first,
 * took a sixth of a fit. To 2 units in the last place of 1, and the same bits with every
 * C library.
 *
 * The polynomials have the least largest error on a quarter turn, 1.4e-17 and 7e-19,
 * found by Remez exchange in 50 digits; a right angle is taken off in two parts, the
 * first of 33 bits (W. J. Cody and W. Waite, Software Manual for the Elementary
 * Functions, 1980, from memory).
 */
#ifndef DARC_SINE_H
#define DARC_SINE_H

#include <math.h>

#define DARC_SINE_NEAR 1e5 /* radians within which right angles are taken off exactly */

/* The same for angles further out. */
void darc_sine_cosine_far(double x, double *sine, double *cosine);

/* 1.5 * 2^52 rounds what is added to the nearest integer. */
#define DARC_SINE_TO_INTEGER 6755399441055744.0

/* Sine and cosine of what is left when quarter turns are taken off, and how many are. */
static inline void darc_sine_cosine_quarter(double x, double *turns, double *sine,
                                            double *cosine)
{
    double t = (x * 0.63661977236758134308 + DARC_SINE_TO_INTEGER) - DARC_SINE_TO_INTEGER;
    double r = (x - t * 1.57079632673412561417) - t * 6.07710050650619224932e-11;
    double z = r * r;
    double s = 1.5912475587319865238e-10;
    s = s * z - 2.5051051812025638777e-8;
    s = s * z + 2.7557315710893097788e-6;
    s = s * z - 1.9841269835988444434e-4;
    s = s * z + 8.3333333333304292777e-3;
    s = s * z - 0.16666666666666664079;
    double c = -1.1379094451150915724e-11;
    c = c * z + 2.087609618387442835e-9;
    c = c * z - 2.7557317026620525695e-7;
    c = c * z + 2.4801587298283699464e-5;
    c = c * z - 1.3888888888887072267e-3;
    c = c * z + 4.1666666666666665048e-2;
    *turns = t;
    *sine = r + r * (z * s);
    *cosine = 1.0 + z * (z * c - 0.5);
}

static inline void darc_sine_cosine(double x, double *sine, double *cosine)
{
    double turns, s, c;
    if (!isless(fabs(x), DARC_SINE_NEAR)) { /* NaN too, without an exception */
        darc_sine_cosine_far(x, sine, cosine);
        return;
    }
    darc_sine_cosine_quarter(x, &turns, &s, &c);
    int quarter = (int)turns & 3;
    double odd = quarter & 1 ? c : s, even = quarter & 1 ? s : c;
    *sine = quarter & 2 ? -odd : odd;
    *cosine = (quarter + 1) & 2 ? -even : even;
}

#define DARC_SINE_BLOCK 8

/* The same of DARC_SINE_BLOCK angles at once, faster, to the same bits. */
void darc_sine_cosine_block(const double *x, double *sine, double *cosine);

#endif
