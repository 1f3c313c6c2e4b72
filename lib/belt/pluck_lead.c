/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "belt/pluck_lead.h"

#include <math.h>

#include <gsl/gsl_math.h>

/* blocks in which the samples before are looked at */
#define LEAD_S 0.002
/* largest power of a block's residuals, over that of the rest */
#define LEAD_MOST 9.0

/* Partials and hum at the start of the pluck, and their turn to the sample before it. */
static int waves_back(const darc_string *s, double rate_hz, double complex *at,
                      double complex *turn)
{
    double dt = 1.0 / rate_hz;
    int n = 0;
    for (int k = 0; k < s->partials; k++) {
        at[n] = s->partial[k].amplitude;
        turn[n++] = cexp((s->partial[k].decay - I * 2.0 * M_PI * s->partial[k].hz) * dt);
    }
    for (int k = 0; k < s->hum.lines; k++) {
        at[n] = s->hum.amplitude[k];
        turn[n++] = cexp(-I * 2.0 * M_PI * s->hum.order[k] * s->hum.mains_hz * dt);
    }
    return n;
}

size_t darc_string_lead(const darc_sound *pluck, const darc_string *string, size_t most)
{
    double complex at[DARC_PARTIALS + DARC_HUM_LINES];
    double complex turn[DARC_PARTIALS + DARC_HUM_LINES];
    int waves = waves_back(string, pluck->rate_hz, at, turn);
    size_t block = (size_t)ceil(LEAD_S * pluck->rate_hz), lead = 0;
    double limit = LEAD_MOST * string->rest_energy / (double)string->fitted;
    double energy = 0.0;
    for (size_t i = 1; i <= most; i++) {
        double r = pluck->sample[-(ptrdiff_t)i];
        for (int k = 0; k < waves; k++) {
            at[k] *= turn[k];
            r -= creal(at[k]);
        }
        energy += r * r;
        if (i % block == 0) {
            if (!(energy <= limit * (double)block))
                break;
            lead = i;
            energy = 0.0;
        }
    }
    /* The last block may already hold a bit of the blow. */
    return lead > block ? lead - block : 0;
}
