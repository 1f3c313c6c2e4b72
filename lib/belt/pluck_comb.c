/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "belt/pluck_comb.h"

#include <math.h>

#define DIVISORS    4     /* highest partial from which a fundamental is inferred */
#define TOP_PARTIAL 8     /* highest partial that supports a fundamental */
#define TUNED       0.01  /* how far a partial may be off, relative ... */
#define STIFF       0.004 /* ... and more for a stiff string, by order^2 - 1 */
#define APART       0.3   /* ... but by no more than this part of the fundamental */
#define CERTAIN     20.0  /* energy over the floor from which on a tone counts */
#define SUPPORT     0.8 /* support, relative to the best, with which a higher one wins */

/* The clearest tone near a partial of a fundamental, or -1. */
static int match(int n, const darc_peak *tone, double hz, int order)
{
    int best = -1;
    double reach =
        (order == 1 ? TUNED : STIFF * (order * order - 1) + TUNED) * order * hz;
    for (int i = 0; i < n; i++)
        if (fabs(tone[i].tone.hz - order * hz) <=
                fmin(reach + 3.0 * tone[i].hz_sd, APART * hz) &&
            (best < 0 || tone[i].over_floor > tone[best].over_floor))
            best = i;
    return best;
}

/* How much the tones speak for a fundamental. */
static double support(int n, const darc_peak *tone, double hz)
{
    double sum = 0.0;
    for (int k = 1; k <= TOP_PARTIAL; k++) {
        int i = match(n, tone, hz, k);
        sum += i >= 0 ? log(tone[i].over_floor / CERTAIN) : 0.0;
    }
    return sum;
}

/*
 * Partials of a fundamental among the tones; 0 unless their orders have no common factor,
 * and unless the more of them are heard the higher the lowest is.
 */
static int partials_of(int n, const darc_peak *tone, double hz, darc_partial *partial)
{
    int found = 0, common = 0;
    for (int k = 1; k <= DARC_PARTIALS; k++) {
        int i = match(n, tone, hz, k), a = k;
        if (i < 0)
            continue;
        partial[found] = tone[i].tone;
        partial[found++].order = k;
        while (common != 0) { /* Euclid */
            int rest = a % common;
            a = common;
            common = rest;
        }
        common = a;
    }
    return common == 1 && found >= partial[0].order ? found : 0;
}

int darc_peaks_comb(int n, const darc_peak *tone, double low_hz, double high_hz,
                    darc_partial *partial)
{
    double candidate[DARC_PEAKS * DIVISORS], weight[DARC_PEAKS * DIVISORS];
    double best = 0.0, chosen = 0.0;
    int m = 0;
    for (int i = 0; i < n; i++)
        for (int d = 1; d <= DIVISORS; d++) {
            double hz = tone[i].tone.hz / d;
            if (!(hz >= low_hz) || !(hz <= high_hz) ||
                partials_of(n, tone, hz, partial) == 0)
                continue;
            candidate[m] = hz;
            weight[m] = support(n, tone, hz);
            best = fmax(best, weight[m++]);
        }
    for (int i = 0; i < m; i++)
        if (weight[i] >= SUPPORT * best && candidate[i] > chosen)
            chosen = candidate[i];
    return chosen > 0.0 ? partials_of(n, tone, chosen, partial) : 0;
}
