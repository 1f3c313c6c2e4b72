/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "belt/pluck_hum.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_math.h>

#define MAINS_RANGE 0.004 /* how far the mains frequency may be off, relative */
#define MAINS_STEPS 10    /* of the search, on either side */
#define LINE_CLEAR  10.0  /* power of a line over that of its surroundings */

/* Power around a line, off its main lobe in a Hann window. */
static double surroundings(const darc_sound *tail, double hz)
{
    double bin = tail->rate_hz / (double)tail->n, power = 0.0;
    for (int k = 3; k <= 5; k++) {
        double complex below = darc_line(tail, hz - k * bin);
        double complex above = darc_line(tail, hz + k * bin);
        power += creal(below * conj(below)) + creal(above * conj(above));
    }
    return power / 6.0;
}

static double comb_power(const darc_sound *tail, double mains_hz, int lines)
{
    double power = 0.0;
    for (int k = 1; k <= lines; k++) {
        double complex line = darc_line(tail, k * mains_hz);
        power += creal(line * conj(line));
    }
    return power;
}

/* Best frequency near a nominal one: a search on a grid, then a parabola. */
static double tune(const darc_sound *tail, double nominal_hz, int lines)
{
    double power[2 * MAINS_STEPS + 1], step = nominal_hz * MAINS_RANGE / MAINS_STEPS;
    int best = 0;
    for (int i = 0; i <= 2 * MAINS_STEPS; i++) {
        power[i] = comb_power(tail, nominal_hz + (i - MAINS_STEPS) * step, lines);
        if (power[i] > power[best])
            best = i;
    }
    double shift = 0.0;
    if (best > 0 && best < 2 * MAINS_STEPS) {
        double bend = power[best - 1] - 2.0 * power[best] + power[best + 1];
        if (bend < 0.0)
            shift = 0.5 * (power[best - 1] - power[best + 1]) / bend; /* within 1/2 */
    }
    return nominal_hz + (best - MAINS_STEPS + shift) * step;
}

/* Lines of one mains frequency that stand out, and their power. */
static double lines_of(const darc_sound *tail, double gain, double nominal_hz,
                       double offset_s, darc_hum *hum)
{
    int most = (int)fmin(DARC_HUM_LINES, 0.45 * tail->rate_hz / nominal_hz);
    double total = 0.0;
    hum->mains_hz = tune(tail, nominal_hz, most);
    hum->lines = 0;
    for (int k = 1; k <= most; k++) {
        double hz = k * hum->mains_hz;
        double complex line = darc_line(tail, hz);
        double power = creal(line * conj(line));
        if (!(power > LINE_CLEAR * surroundings(tail, hz)))
            continue;
        hum->order[hum->lines] = k;
        hum->amplitude[hum->lines++] =
            gain * line * cexp(-I * 2.0 * M_PI * hz * offset_s);
        total += power;
    }
    return total;
}

void darc_hum_find(const darc_sound *sound, size_t from, double *scratch, darc_hum *hum)
{
    darc_sound tail = {sound->n - from, sound->rate_hz, scratch};
    double sum = 0.0, offset_s = (double)from / sound->rate_hz;
    for (size_t i = 0; i < tail.n; i++) {
        double s = sin(M_PI * ((double)i + 0.5) / (double)tail.n);
        scratch[i] = s * s * sound->sample[from + i];
        sum += s * s;
    }
    darc_hum other;
    double at_50 = lines_of(&tail, 2.0 / sum, 50.0, offset_s, hum);
    double at_60 = lines_of(&tail, 2.0 / sum, 60.0, offset_s, &other);
    if (at_60 > at_50)
        *hum = other;
    if (hum->lines == 0)
        hum->mains_hz = 0.0;
}

void darc_hum_subtract(const darc_hum *hum, darc_sound *sound)
{
    for (int k = 0; k < hum->lines; k++) {
        double complex at = hum->amplitude[k];
        double complex turn =
            cexp(I * 2.0 * M_PI * hum->order[k] * hum->mains_hz / sound->rate_hz);
        for (size_t i = 0; i < sound->n; i++) {
            sound->sample[i] -= creal(at);
            at *= turn;
        }
    }
}
