/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every two tones, taken for two partials, make a string; of these the one that explains
 * the tones best is chosen, unless a string of another fundamental does nearly as well.
 */
#include "belt/pluck_comb.h"

#include <math.h>
#include <stdbool.h>

#define LOWEST_MOST 4    /* highest order that the lowest tone is tried as */
#define LOWEST_SURE 2    /* highest from which a fundamental is inferred */
#define TUNED       0.01 /* how far a partial may be off, relative */
#define LOOSE       0.01 /* sd of s beside what is known of it: partials are off too */
#define CERTAIN     20.0 /* energy over the floor from which on a tone counts */
#define MISSING     0.7  /* what a partial not heard below others that are costs */
#define HEADLESS    2.0  /* ... and the fundamental */
#define RIVAL       0.8  /* share of the best support that makes another string a rival */
#define STRANGE     0.5  /* most support, relative, that tones not its own may have */
#define BESIDE      0.1  /* how far from a partial its own traces may lie, in f */
#define ORDERS      16   /* partials whose tones are no strangers */
#define SAME_TONE   0.03 /* how far fundamentals of one string may differ, relative */

typedef struct spaced {
    double hz, stiffness;
    int heard, lowest;       /* partials, and the lowest of them */
    int tone[DARC_PARTIALS]; /* of each order, from 1; -1: not heard */
    double support;
} spaced;

static double partial_hz(const spaced *s, int order)
{
    double k2 = (double)order * order;
    return order * s->hz * sqrt((1.0 + s->stiffness * k2) / (1.0 + s->stiffness));
}

/* The string whose partials of two orders lie at two frequencies, as nearly as the
 * limits of stiffness allow. */
static spaced string_of(double low_hz, int low, double high_hz, int high)
{
    double a2 = (double)low * low, b2 = (double)high * high;
    double stretch = pow(high_hz * low / (low_hz * high), 2.0);
    double s = stretch < b2 / a2 ? (stretch - 1.0) / (b2 - stretch * a2) : INFINITY;
    s = fmin(DARC_STIFFNESS_MAX, fmax(0.0, s));
    return (spaced){.hz = low_hz / low * sqrt((1.0 + s) / (1.0 + s * a2)),
                    .stiffness = s};
}

/* The clearest tone at a partial, or -1. */
static int match(int n, const darc_peak *tone, double hz)
{
    int best = -1;
    for (int i = 0; i < n; i++)
        if (fabs(tone[i].tone.hz - hz) <= TUNED * hz + 3.0 * tone[i].tone.hz_sd &&
            (best < 0 || tone[i].over_floor > tone[best].over_floor))
            best = i;
    return best;
}

/* Finds the partials of a string among the tones, and how much they speak for it. */
static void listen_for(int n, const darc_peak *tone, const darc_bending *known, spaced *s)
{
    double missing = 0.0;
    s->heard = s->lowest = 0;
    s->support = 0.0;
    for (int k = 1; k <= DARC_PARTIALS; k++) {
        int i = match(n, tone, partial_hz(s, k));
        s->tone[k - 1] = i;
        if (i < 0) {
            missing += k == 1 ? HEADLESS : MISSING;
            continue;
        }
        if (s->heard++ == 0)
            s->lowest = k;
        s->support += log(tone[i].over_floor / CERTAIN) - missing;
        missing = 0.0;
    }
    if (known) {
        double hz2 = s->hz * s->hz, sd = hypot(known->hz2_sd, LOOSE * hz2);
        double off = (hz2 * s->stiffness / (1.0 + s->stiffness) - known->hz2) / sd;
        s->support -= 0.5 * off * off;
    }
}

/* Whether the orders heard have no common factor, and the more of them are heard the
 * higher the lowest is. Else a multiple of the fundamental explains the same tones. */
static bool is_string(const spaced *s)
{
    int common = 0;
    for (int k = 1; k <= DARC_PARTIALS; k++) {
        int a = s->tone[k - 1] >= 0 ? k : 0;
        while (a != 0) { /* Euclid */
            int rest = common % a;
            common = a;
            a = rest;
        }
    }
    return common == 1 && (s->lowest == 1 || s->heard > s->lowest);
}

/* How much those tones speak that are not the string's, but for what noise is left
 * beside a partial that was taken out. */
static double strange(int n, const darc_peak *tone, const spaced *s)
{
    double sum = 0.0;
    for (int i = 0; i < n; i++) {
        bool own = false;
        for (int k = 1; k <= ORDERS; k++)
            own = own || fabs(tone[i].tone.hz - partial_hz(s, k)) <= BESIDE * s->hz;
        sum += own ? 0.0 : log(tone[i].over_floor / CERTAIN);
    }
    return sum;
}

typedef struct choice {
    spaced best;
    double rival; /* support of the best with another fundamental */
} choice;

static void consider(const spaced *s, double low_hz, double high_hz, choice *c)
{
    if (!(s->hz >= low_hz) || !(s->hz <= high_hz) || !is_string(s) || !(s->support > 0.0))
        return;
    bool same = fabs(s->hz / c->best.hz - 1.0) < SAME_TONE;
    if (s->support > c->best.support) {
        if (!same)
            c->rival = c->best.support;
        c->best = *s;
    } else if (!same) {
        c->rival = fmax(c->rival, s->support);
    }
}

/* A string of which one tone alone is heard, its fundamental; where the bending is known,
 * one whose higher partials follow. */
static spaced alone(int n, const darc_peak *tone, int i, const darc_bending *known)
{
    double hz = tone[i].tone.hz, most = DARC_STIFFNESS_MAX / (1.0 + DARC_STIFFNESS_MAX);
    spaced lone = {.hz = hz, .tone = {i, -1, -1, -1, -1, -1, -1, -1}};
    if (!known) {
        lone.heard = lone.lowest = 1;
        lone.support = log(tone[i].over_floor / CERTAIN);
    } else if (known->hz2 <= most * hz * hz) {
        lone.stiffness = known->hz2 / (hz * hz - known->hz2);
        listen_for(n, tone, known, &lone);
    }
    return lone;
}

static void consider_pairs(int n, const darc_peak *tone, int i, double low_hz,
                           double high_hz, const darc_bending *known, choice *c)
{
    for (int j = 0; j < n; j++)
        for (int a = 1; a <= LOWEST_MOST; a++)
            for (int b = a + 1; b <= DARC_PARTIALS; b++) {
                spaced s = string_of(tone[i].tone.hz, a, tone[j].tone.hz, b);
                if (!(fabs(partial_hz(&s, b) - tone[j].tone.hz) <=
                      TUNED * tone[j].tone.hz))
                    continue;
                listen_for(n, tone, known, &s);
                consider(&s, low_hz, high_hz, c);
            }
}

dialarc_status darc_peaks_comb(int n, const darc_peak *tone, double low_hz,
                               double high_hz, const darc_bending *known,
                               darc_string *string)
{
    choice c = {.best = {.hz = INFINITY}};
    for (int i = 0; i < n; i++) {
        spaced lone = alone(n, tone, i, known);
        consider(&lone, low_hz, high_hz, &c);
        consider_pairs(n, tone, i, low_hz, high_hz, known, &c);
    }
    if (c.best.heard == 0)
        return DIALARC_ERR_NO_TONE;
    if (c.rival > RIVAL * c.best.support || c.best.lowest > LOWEST_SURE ||
        strange(n, tone, &c.best) > STRANGE * c.best.support)
        return DIALARC_ERR_AMBIGUOUS;
    string->partials = 0;
    for (int k = 1; k <= DARC_PARTIALS; k++)
        if (c.best.tone[k - 1] >= 0) {
            darc_partial *p = &string->partial[string->partials++];
            *p = tone[c.best.tone[k - 1]].tone;
            p->order = k;
        }
    return DIALARC_OK;
}
