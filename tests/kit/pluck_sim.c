/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "kit/pluck_sim.h"

#define TWO_PI   6.283185307179586
#define PARTIALS 12

const pluck_sim pluck_clear = {.seed = 5,
                               .rate_hz = PLUCK_CLEAR_N,
                               .seconds = 1.0,
                               .onset_s = 0.2,
                               .hz = 120.0,
                               .decay_s = 0.1,
                               .place = 0.3,
                               .snr_db = 20.0,
                               .hum = 0.3,
                               .mains_hz = 50.0};

/* splitmix64 */
double pluck_uniform(uint64_t *state)
{
    uint64_t z = (*state += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    z ^= z >> 31;
    return ((double)(z >> 11) + 0.5) / 9007199254740992.0;
}

static double gauss(uint64_t *state)
{
    double r = sqrt(-2.0 * log(pluck_uniform(state)));
    return r * cos(TWO_PI * pluck_uniform(state));
}

static double rms(size_t n, const double *x)
{
    double sum = 0.0;
    for (size_t i = 0; i < n; i++)
        sum += x[i] * x[i];
    return n > 0 ? sqrt(sum / (double)n) : 0.0;
}

/* One wave of amplitude 1 at the onset; glide is the rise of its frequency there. */
static void add_wave(const pluck_sim *s, double onset_s, double hz, double rate,
                     double amplitude, double phase, size_t n, double *x)
{
    for (size_t i = (size_t)(onset_s * s->rate_hz); i < n; i++) {
        double t = (double)i / s->rate_hz - onset_s, loss = 2.0 / s->decay_s;
        double turns = hz * (t + s->glide * (1.0 - exp(-loss * t)) / loss);
        x[i] += amplitude * exp(-rate * t) * cos(TWO_PI * turns + phase);
    }
}

/* A partial with what else may swing beside it. */
static void add_partial(const pluck_sim *s, double onset_s, double hz, double rate,
                        double amplitude, double phase, size_t n, double *x)
{
    double slow = s->slow_decay * amplitude;
    add_wave(s, onset_s, hz, rate, amplitude - slow, phase, n, x);
    if (slow != 0.0)
        add_wave(s, onset_s, hz, rate / 3.0, slow, phase, n, x);
    if (s->split != 0.0)
        add_wave(s, onset_s, hz * (1.0 + s->split), rate, 0.5 * amplitude, 2.0 * phase, n,
                 x);
}

/* Partials of an ideal pluck: amplitude sin(k pi place) / k^2, damping rising with k. */
static void add_string(const pluck_sim *s, double onset_s, double loud, double lowest_hz,
                       uint64_t *state, size_t n, double *x)
{
    for (int k = 1; k <= PARTIALS; k++) {
        double stretch = sqrt((1.0 + s->stiffness * k * k) / (1.0 + s->stiffness));
        double hz = k * lowest_hz * stretch, phase = TWO_PI * pluck_uniform(state);
        double amplitude = loud * sin(k * TWO_PI / 2.0 * s->place) / (k * k);
        double rate = (1.0 + 0.3 * (k - 1) + s->damping * (k * k - 1)) / s->decay_s;
        if (s->detune > 0.0 && k > 1)
            hz *= 1.0 + s->detune * gauss(state);
        if (hz > 0.45 * s->rate_hz)
            break;
        if (k == 1 && s->drop_first > 0.0)
            amplitude *= s->drop_first;
        if (!(s->missing >> (k - 1) & 1))
            add_partial(s, onset_s, hz, rate, amplitude, phase, n, x);
    }
}

static void add_thump(const pluck_sim *s, uint64_t *state, size_t n, double *x)
{
    size_t from = (size_t)(s->onset_s * s->rate_hz);
    for (size_t i = from; i < n; i++) {
        double t = (double)i / s->rate_hz - s->onset_s;
        if (t > 0.05)
            break;
        x[i] += s->thump * exp(-t / 0.004) * gauss(state);
    }
}

/* Noise of rms 1 over the recording. */
static void add_noise(const pluck_sim *s, double scale, uint64_t *state, size_t n,
                      double *x)
{
    double slow[8] = {0.0}, last = 0.0, sum = 0.0;
    uint64_t again = *state;
    for (int pass = 0; pass < 2; pass++) { /* the first finds the rms, the second adds */
        *state = again;
        memset(slow, 0, sizeof slow);
        last = 0.0;
        for (size_t i = 0; i < n; i++) {
            double value = gauss(state);
            if (s->noise == NOISE_BROWN) {
                last = 0.995 * last + value;
                value = last;
            } else if (s->noise == NOISE_PINK) {
                for (int j = 0; j < 8; j++)
                    if (i % ((size_t)1 << j) == 0)
                        slow[j] = gauss(state);
                for (int j = 0; j < 8; j++)
                    value += slow[j];
            }
            if (pass == 0)
                sum += value * value;
            else
                x[i] += scale * value / sqrt(sum / (double)n);
        }
    }
}

static void add_hum(const pluck_sim *s, double scale, uint64_t *state, size_t n,
                    double *x)
{
    static const double level[] = {0.6, 1.0, 0.3, 0.5, 0.15, 0.3, 0.1, 0.1};
    double power = 0.0;
    for (size_t k = 0; k < sizeof level / sizeof level[0]; k++)
        power += 0.5 * level[k] * level[k];
    for (size_t k = 0; k < sizeof level / sizeof level[0]; k++) {
        double hz = (double)(k + 1) * s->mains_hz, phase = TWO_PI * pluck_uniform(state);
        for (size_t i = 0; i < n; i++)
            x[i] += scale * level[k] / sqrt(power) *
                    cos(TWO_PI * hz * (double)i / s->rate_hz + phase);
    }
}

void pluck_simulate(const pluck_sim *sim, size_t n, double *sample)
{
    uint64_t state = sim->seed;
    size_t from = (size_t)(sim->onset_s * sim->rate_hz);
    memset(sample, 0, n * sizeof *sample);
    if (sim->hz > 0.0)
        add_string(sim, sim->onset_s, 1.0, sim->hz, &state, n, sample);
    if (sim->again_loud > 0.0)
        add_string(sim, sim->onset_s + sim->again_s, sim->again_loud, sim->hz, &state, n,
                   sample);
    double string = sim->hz > 0.0 ? rms(n - from, sample + from) : 1.0;
    if (sim->other_loud > 0.0)
        add_string(sim, sim->onset_s, sim->other_loud, sim->other_hz, &state, n, sample);
    if (sim->thump > 0.0)
        add_thump(sim, &state, n, sample);
    add_noise(sim, string * pow(10.0, -sim->snr_db / 20.0), &state, n, sample);
    if (sim->hum > 0.0)
        add_hum(sim, string * sim->hum, &state, n, sample);
}
