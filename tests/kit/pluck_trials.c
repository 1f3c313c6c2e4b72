/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit/pluck_trials.h"

#include <math.h>
#include <stdio.h>

#include <dialarc/pluck.h>

#define ALLOWED 0.002 /* beside the stated uncertainty, relative */

static double between(uint64_t *state, double low, double high)
{
    return low + (high - low) * pluck_uniform(state);
}

pluck_sim pluck_draw(uint64_t *state)
{
    pluck_sim s = {.rate_hz = PLUCK_TRIAL_RATE_HZ, .seconds = PLUCK_TRIAL_SECONDS};
    s.seed = (uint64_t)(1e15 * pluck_uniform(state));
    s.onset_s = between(state, 0.1, 0.4);
    s.hz = 35.0 * pow(10.0, pluck_uniform(state));
    s.decay_s = between(state, 15.0, 60.0) / (acos(-1.0) * s.hz);
    s.place = between(state, 0.15, 0.5);
    s.stiffness = between(state, 0.0, 0.2);
    s.snr_db = between(state, 0.0, 30.0);
    s.noise = pluck_uniform(state) < 0.5 ? NOISE_WHITE : NOISE_PINK;
    s.hum = fmax(0.0, between(state, -2.0, 2.0));
    s.mains_hz =
        (pluck_uniform(state) < 0.5 ? 50.0 : 60.0) * between(state, 0.998, 1.002);
    return s;
}

static void any(pluck_sim *s, uint64_t *state)
{
    (void)s;
    (void)state;
}

static void flexible(pluck_sim *s, uint64_t *state)
{
    s->stiffness = between(state, 0.0, 0.01);
}

static void faint(pluck_sim *s, uint64_t *state)
{
    s->snr_db = between(state, 0.0, 6.0);
}

static void hum_beside(pluck_sim *s, uint64_t *state)
{
    int order = 1 + (int)(4.0 * pluck_uniform(state));
    double ringing = s->hz * s->decay_s;
    s->hum = 1.0;
    s->hz = order * s->mains_hz + between(state, -3.0, 3.0);
    s->decay_s = ringing / s->hz;
}

static void blow(pluck_sim *s, uint64_t *state)
{
    s->thump = between(state, 0.0, 3.0);
}

static void deaf(pluck_sim *s, uint64_t *state)
{
    s->drop_first = between(state, 0.1, 0.5);
}

const pluck_kind pluck_kinds[] = {
    {"any", any},     {"flexible", flexible},
    {"faint", faint}, {"hum within 3 Hz", hum_beside},
    {"blow", blow},   {"deaf to the fundamental", deaf},
};
const size_t pluck_kinds_n = sizeof pluck_kinds / sizeof pluck_kinds[0];

static void detuned(pluck_sim *s, uint64_t *state)
{
    s->detune = between(state, 0.002, 0.02);
}

static void some_missing(pluck_sim *s, uint64_t *state)
{
    for (unsigned k = 1; k < 12; k++)
        s->missing |= pluck_uniform(state) < 0.4 ? 1u << k : 0;
}

static void first_missing(pluck_sim *s, uint64_t *state)
{
    (void)state;
    s->missing = 1;
}

static void odd_missing(pluck_sim *s, uint64_t *state)
{
    (void)state;
    s->missing = 0x554; /* 3, 5, 7, 9, 11 */
}

static void plucked_twice(pluck_sim *s, uint64_t *state)
{
    s->again_s = between(state, 0.02, 0.4);
    s->again_loud = between(state, 0.3, 1.2);
}

static void split(pluck_sim *s, uint64_t *state)
{
    s->split = between(state, -0.02, 0.02);
}

static void damped(pluck_sim *s, uint64_t *state)
{
    s->damping = between(state, 0.0, 0.5);
}

static void two_decays(pluck_sim *s, uint64_t *state)
{
    s->slow_decay = between(state, 0.1, 0.5);
}

static void gliding(pluck_sim *s, uint64_t *state)
{
    s->glide = between(state, 0.002, 0.02);
}

static void another_span(pluck_sim *s, uint64_t *state)
{
    s->other_hz = s->hz * between(state, 0.4, 2.5);
    s->other_loud = between(state, 0.03, 0.3);
}

static void everything(pluck_sim *s, uint64_t *state)
{
    detuned(s, state);
    some_missing(s, state);
    blow(s, state);
    damped(s, state);
}

const pluck_kind pluck_strange_kinds[] = {
    {"partials detuned", detuned},
    {"higher partials missing", some_missing},
    {"fundamental missing", first_missing},
    {"odd partials missing", odd_missing},
    {"plucked twice", plucked_twice},
    {"split partials", split},
    {"damped by k^2", damped},
    {"two decays", two_decays},
    {"gliding", gliding},
    {"another span rings along", another_span},
    {"several at once", everything},
};
const size_t pluck_strange_kinds_n =
    sizeof pluck_strange_kinds / sizeof pluck_strange_kinds[0];

pluck_count pluck_try(const pluck_kind *kind, uint64_t seed, int n)
{
    static double sample[PLUCK_TRIAL_SAMPLES];
    pluck_count count = {0};
    for (int i = 0; i < n; i++) {
        pluck_sim s = pluck_draw(&seed);
        dialarc_pluck p;
        kind->change(&s, &seed);
        pluck_simulate(&s, PLUCK_TRIAL_SAMPLES, sample);
        if (dialarc_pluck_frequency(PLUCK_TRIAL_SAMPLES, sample, s.rate_hz,
                                    DIALARC_PLUCK_LOW_HZ, DIALARC_PLUCK_HIGH_HZ,
                                    &p) != DIALARC_OK) {
            count.refused++;
            continue;
        }
        double error = fabs(p.frequency_hz - s.hz);
        if (error > p.frequency_u_hz + ALLOWED * s.hz)
            count.wrong++;
        else
            count.right++;
        count.another += error > 0.05 * s.hz;
        count.covered += error <= p.frequency_u_hz;
        count.farthest = fmax(count.farthest, error / s.hz);
    }
    return count;
}
