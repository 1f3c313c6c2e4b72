/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "belt/pluck_sound.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_fft_halfcomplex.h>
#include <gsl/gsl_fft_real.h>
#include <gsl/gsl_math.h>

#define OVERSAMPLING 5.0   /* least new rate over the upper limit of the band */
#define LISTEN_S     0.15  /* window in which loudness is measured */
#define SKIP_S       0.015 /* of the blow of the pluck itself */
#define LONGEST_S    2.5   /* longest stretch that is used */
#define NEXT_PLUCK   4.0   /* rise of energy over the least so far that is a new pluck */

double complex darc_line(const darc_sound *sound, double hz)
{
    double complex turn = cexp(-I * 2.0 * M_PI * hz / sound->rate_hz);
    double complex at = 1.0, sum = 0.0;
    for (size_t i = 0; i < sound->n; i++) {
        sum += sound->sample[i] * at;
        at *= turn;
    }
    return sum;
}

static size_t power_of_two(size_t n)
{
    size_t size = 1;
    while (size < n)
        size *= 2;
    return size;
}

/* Rises from 0 at `from` to 1 at `to` as a half cosine. */
static double ramp(double x, double from, double to)
{
    double part = fmin(1.0, fmax(0.0, (x - from) / (to - from)));
    return 0.5 * (1.0 - cos(M_PI * part));
}

/*
 * Half-complex spectrum of `size` points cut down to its first `small`. Both ends of the
 * band fade, so that the start of a pluck does not ring in the filter.
 */
static void limit_band(double *x, size_t size, size_t small, double low)
{
    double top = (double)(small / 2);
    for (size_t k = 1; k < small / 2; k++) {
        double gain = ramp((double)k, 0.2 * low, 0.7 * low) *
                      ramp(top - (double)k, 0.0, 0.3 * top) * (double)small /
                      (double)size;
        x[k] *= gain;
        x[size - k] *= gain;
    }
    x[0] = 0.0;
    x[small / 2] = 0.0;
    if (small < size)
        memmove(x + small / 2 + 1, x + size - small / 2 + 1, (small / 2 - 1) * sizeof *x);
}

dialarc_status darc_sound_condition(size_t n, const double *sample, double rate_hz,
                                    double low_hz, double high_hz, darc_sound *sound)
{
    size_t size = power_of_two(n), small = size, ratio = 1;
    while (rate_hz / (double)(2 * ratio) >= OVERSAMPLING * high_hz && small > 64) {
        ratio *= 2;
        small /= 2;
    }
    double *x = calloc(size, sizeof *x), mean = 0.0;
    if (!x)
        return DIALARC_ERR_NO_MEMORY;
    for (size_t i = 0; i < n; i++)
        mean += (sample[i] - mean) / (double)(i + 1);
    for (size_t i = 0; i < n; i++)
        x[i] = sample[i] - mean;
    gsl_fft_real_radix2_transform(x, 1, size);
    limit_band(x, size, small, low_hz / rate_hz * (double)size);
    gsl_fft_halfcomplex_radix2_inverse(x, 1, small);
    *sound = (darc_sound){n / ratio, rate_hz / (double)ratio, x};
    return DIALARC_OK;
}

/* Start of the loudest window: where a pluck begins, as its sound only fades. */
static size_t loudest(const darc_sound *s, size_t window)
{
    double energy = 0.0, most = 0.0;
    size_t best = 0;
    for (size_t i = 0; i < window; i++)
        energy += s->sample[i] * s->sample[i];
    most = energy;
    size_t i = 0;
    for (; i + window < s->n; i++) {
        double in = s->sample[i + window], out = s->sample[i];
        energy += in * in - out * out;
        if (energy > most) {
            most = energy;
            best = i + 1;
        }
    }
    /* A short sound fills many windows alike: go on to the last that holds most of it. */
    energy = most;
    for (i = best; i + window < s->n && energy > 0.9 * most; i++) {
        double in = s->sample[i + window], out = s->sample[i];
        energy += in * in - out * out;
    }
    return i > best ? i - 1 : best;
}

/* Samples from `start` to just before a new pluck. */
static size_t until_next(const darc_sound *s, size_t start, size_t window)
{
    size_t end = s->n, hop = window / 4;
    double least = INFINITY;
    if (end > start + (size_t)(LONGEST_S * s->rate_hz))
        end = start + (size_t)(LONGEST_S * s->rate_hz);
    for (size_t i = start; i + window <= end; i += hop) {
        double energy = 0.0;
        for (size_t k = i; k < i + window; k++)
            energy += s->sample[k] * s->sample[k];
        if (energy > NEXT_PLUCK * least)
            return i + window / 2 - start;
        least = fmin(least, energy);
    }
    return end - start;
}

darc_sound darc_sound_pluck(const darc_sound *sound)
{
    size_t window = (size_t)(LISTEN_S * sound->rate_hz);
    size_t start = loudest(sound, window) + (size_t)(SKIP_S * sound->rate_hz);
    return (darc_sound){until_next(sound, start, window), sound->rate_hz,
                        sound->sample + start};
}
