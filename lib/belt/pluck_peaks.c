/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tones of a pluck, the clearest first: the highest peak of the spectrum over the noise
 * is fitted and taken out, and so on. What is left of a broad tone's skirts is then no
 * peak.
 */
#include "belt/pluck_peaks.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_fft_real.h>
#include <gsl/gsl_interp.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

#define PADDING        2    /* points of the spectrum per sample, at least */
#define FLOOR_HZ       60.0 /* narrowest stretch of spectrum that gives the floor ... */
#define FLOOR_BINS     40.0 /* ... not fewer resolved lines than these ... */
#define FLOOR_WIDTH    0.3  /* ... and this share of the frequency */
#define FLOORS         64   /* most stretches */
#define PEAK_CLEAR     12.0 /* power over the floor of a peak that is tried */
#define KEPT_CLEAR     30.0 /* energy over the floor of a tone that is kept */
#define ROUNDS         20   /* most peaks that are tried */
#define FADING         4.0  /* decay of a tone over its uncertainty; else it is steady */
#define RINGING_ENERGY 0.8  /* share of the energy ... */
#define RINGING_TIMES  5.0  /* ... multiples of the time that holds it */
#define RINGING_S      0.15 /* ... and the least that is listened to */

typedef struct spectrum {
    size_t size; /* points of the transform */
    size_t n;    /* points from 0 to half the rate */
    double step_hz;
    double *power; /* size; the first n count */
    int floors;
    double middle[FLOORS]; /* of each stretch of noise, in points */
    double floor[FLOORS];  /* logarithm of the noise there */
} spectrum;

/* Power of n samples under a window, over the window's energy. */
static void transform(const spectrum *s, size_t n, const double *sample, bool fading,
                      double *power)
{
    double energy = 0.0;
    memset(power, 0, s->size * sizeof *power);
    for (size_t i = 0; i < n; i++) {
        double at = M_PI * ((double)i + 0.5) / (double)n;
        double w = fading ? cos(0.5 * at) : sin(at); /* dies away as a pluck does */
        energy += w * w * w * w;
        power[i] = w * w * sample[i];
    }
    gsl_fft_real_radix2_transform(power, 1, s->size);
    for (size_t k = 0; k < s->n; k++) {
        double re = power[k], im = k > 0 ? power[s->size - k] : 0.0;
        power[k] = (re * re + im * im) / energy;
    }
}

/*
 * Noise by stretches, from the later half of the sound. Their median is used, which tones
 * hardly reach; the median of exponential noise is ln(2) of its mean.
 */
static void find_floor(spectrum *s, const darc_sound *clean, double *power)
{
    size_t half = clean->n / 2;
    double least =
        fmax(FLOOR_HZ, FLOOR_BINS * clean->rate_hz / (double)half) / s->step_hz;
    transform(s, half, clean->sample + clean->n - half, false, power);
    for (size_t from = 0; from < s->n && s->floors < FLOORS;) {
        size_t m = (size_t)fmax(least, FLOOR_WIDTH * (double)from);
        if (from + 2 * m > s->n || s->floors == FLOORS - 1)
            m = s->n - from;
        gsl_sort(power + from, 1, m);
        double median = gsl_stats_median_from_sorted_data(power + from, 1, m);
        s->middle[s->floors] = (double)from + 0.5 * (double)m;
        s->floor[s->floors++] = log(median / M_LN2 + DBL_MIN);
        from += m;
    }
}

/* Floor at a point, between the middles of the stretches. */
static double floor_at(const spectrum *s, double at)
{
    int last = s->floors - 1;
    if (at <= s->middle[0] || last == 0)
        return exp(s->floor[0]);
    if (at >= s->middle[last])
        return exp(s->floor[last]);
    size_t j = gsl_interp_bsearch(s->middle, at, 0, (size_t)last);
    double part = (at - s->middle[j]) / (s->middle[j + 1] - s->middle[j]);
    return exp((1.0 - part) * s->floor[j] + part * s->floor[j + 1]);
}

/* Whether a frequency was tried before. */
static bool is_tried(int n, const darc_peak *tried, double hz)
{
    for (int i = 0; i < n; i++)
        if (fabs(hz - tried[i].tone.hz) < tried[i].width_hz)
            return true;
    return false;
}

/* Vertex of the parabola through the logarithms of three powers. */
static double vertex_hz(const spectrum *s, size_t k)
{
    double a = log(s->power[k - 1] + DBL_MIN), b = log(s->power[k] + DBL_MIN);
    double c = log(s->power[k + 1] + DBL_MIN), bend = a - 2.0 * b + c;
    double shift = bend < 0.0 ? 0.5 * (a - c) / bend : 0.0;
    return ((double)k + shift) * s->step_hz;
}

/* The highest peak over the floor that was not tried; over_floor is 0 when there is none.
 */
static darc_peak highest(const spectrum *s, double low_hz, double high_hz, int n,
                         const darc_peak *tried)
{
    darc_peak best = {0};
    size_t from = (size_t)(low_hz / s->step_hz) + 1, to = (size_t)(high_hz / s->step_hz);
    for (size_t k = from; k <= to && k + 1 < s->n; k++) {
        if (!(s->power[k] > s->power[k - 1]) || !(s->power[k] >= s->power[k + 1]))
            continue;
        double over = s->power[k] / floor_at(s, (double)k);
        if (over > best.over_floor && !is_tried(n, tried, vertex_hz(s, k)))
            best = (darc_peak){.tone.hz = vertex_hz(s, k), .over_floor = over};
    }
    return best;
}

/*
 * Fits a tone at a peak and takes it out of the sound. Its width is left in the peak;
 * over_floor becomes that of the tone's energy, or 0 when it does not die away.
 */
static void take_out(const spectrum *s, const darc_sound *clean, double *scratch,
                     double bin_hz, darc_peak *peak)
{
    darc_string one = {.partials = 1, .partial = {{.hz = peak->tone.hz}}};
    const darc_partial *p = &one.partial[0];
    peak->width_hz = 2.0 * bin_hz;
    peak->over_floor = 0.0;
    if (!darc_string_fit(clean, scratch, &one))
        return;
    double width = fmax(peak->width_hz, fabs(p->decay) / M_PI);
    double growth = -p->decay * (double)clean->n / clean->rate_hz;
    if (!(fabs(p->hz - peak->tone.hz) < width) || !(growth < 1.0))
        return;
    darc_partial_subtract(p, clean);
    *peak = (darc_peak){.tone = *p, .width_hz = width};
    double over = one.lowest_energy / floor_at(s, p->hz / s->step_hz);
    if (over > KEPT_CLEAR && p->decay > FADING * one.decay_sd &&
        M_PI * p->hz > DARC_QUALITY_MIN * p->decay)
        peak->over_floor = over;
}

/* Length worth listening to: a few times what holds most of the energy over the noise. */
static size_t ringing(const darc_sound *clean)
{
    double noise = 0.0, sum = 0.0, most = 0.0;
    size_t quarter = clean->n / 4, end = clean->n;
    for (size_t i = end - quarter; i < end; i++)
        noise += clean->sample[i] * clean->sample[i] / (double)quarter;
    for (size_t i = 0; i < end; i++) {
        sum += clean->sample[i] * clean->sample[i] - noise;
        most = fmax(most, sum);
    }
    sum = 0.0;
    for (size_t i = 0; i < end; i++) {
        sum += clean->sample[i] * clean->sample[i] - noise;
        if (sum >= RINGING_ENERGY * most)
            return (size_t)fmin(
                (double)end, fmax(RINGING_TIMES * (double)i, RINGING_S * clean->rate_hz));
    }
    return end;
}

/* Tones that stand out and die away, in the order found; their number. */
static int pursue(const spectrum *s, const darc_sound *clean, double low_hz,
                  double high_hz, double *scratch, darc_peak *tone)
{
    darc_peak tried[ROUNDS];
    size_t length = ringing(clean);
    double bin_hz = clean->rate_hz / (double)length;
    int n = 0;
    for (int i = 0; i < ROUNDS && n < DARC_PEAKS; i++) {
        transform(s, length, clean->sample, true, s->power);
        tried[i] = highest(s, low_hz, high_hz, i, tried);
        if (!(tried[i].over_floor > PEAK_CLEAR))
            break;
        take_out(s, clean, scratch, bin_hz, &tried[i]);
        if (tried[i].over_floor > 0.0)
            tone[n++] = tried[i];
    }
    return n;
}

dialarc_status darc_peaks_find(const darc_sound *clean, double low_hz, double high_hz,
                               darc_peak *tone, int *n)
{
    spectrum s = {.size = 1};
    while (s.size < PADDING * clean->n)
        s.size *= 2;
    s.n = s.size / 2;
    s.step_hz = clean->rate_hz / (double)s.size;
    size_t room = GSL_MAX(s.size, darc_fit_scratch(clean->n));
    s.power = malloc((s.size + room) * sizeof *s.power);
    if (!s.power)
        return DIALARC_ERR_NO_MEMORY;
    double *scratch = s.power + s.size;
    find_floor(&s, clean, scratch);
    high_hz = fmin(0.45 * clean->rate_hz, 5.0 * high_hz);
    *n = pursue(&s, clean, 0.7 * low_hz, high_hz, scratch, tone);
    free(s.power);
    return DIALARC_OK;
}
