/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Levenberg-Marquardt on at most 4 * DARC_PARTIALS + 2 * DARC_HUM_LINES + 1 parameters,
 * held loosely to their starting values, so that a partial lost in the noise cannot run
 * away.
 *
 * Our own, because GSL's solvers report failed allocations and singular matrices to the
 * error handler of the host. Normal equations and factor are those of the sweep, the
 * steps are not: `estimate/step` takes a share of each whole step, for readings that
 * change their weight, and asks no energy whether it went down. Here weights stay, but
 * the energy has a valley for every cycle of the tone, and a whole step in frequency
 * easily leaves the one it began in; so steps are damped until the energy falls.
 */
#include "belt/pluck_fit.h"

#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_math.h>

#include "numeric/cholesky.h"
#include "numeric/normal_equations.h"

#define WAVES        (DARC_PARTIALS + DARC_HUM_LINES)
#define MOST_UNKNOWN (4 * DARC_PARTIALS + 2 * DARC_HUM_LINES + 1)
#define ITERATIONS   40
#define STEP_SETTLED 1e-9 /* last step of the frequency, relative */
#define HZ_BINS      2.0  /* sd of a frequency about its start, in resolved lines */
#define DECAY_SHARE  2.0  /* sd of a decay about its start, relative */
#define MAINS_SHARE  1e-3 /* sd of the mains frequency about its start, relative */
#define FROZEN       1e15 /* weight that keeps a parameter, relative to the energy */
#define NOISE_HZ     20.0 /* half width of the band that gives the noise at the note */
#define NOISE_BINS   8    /* least number of lines in it on either side */
#define FIT_DECAYS   8.0  /* decay times that are fitted ... */
#define FIT_S        0.4  /* ... but not less than this, to tell hum apart */
#define EARLY_DECAYS 2.0  /* in which a note tells nearly all about its frequency */

_Static_assert(MOST_UNKNOWN <= DARC_NORMAL_MAX, "rows fit the normal equations");

/* Parameters: each partial's hz, decay, real, imaginary; each line's real, imaginary;
 * mains. */
typedef struct solver {
    darc_sound sound;
    darc_string *string;
    double *residual; /* sound.n */
    int m;
    double x[MOST_UNKNOWN];
    double mean[MOST_UNKNOWN]; /* where a parameter is expected ... */
    double
        weight[MOST_UNKNOWN]; /* ... and how firmly, in units of energy; 0: not at all */
    double *normal;           /* m by m, the upper triangle */
    double *factor;           /* its Cholesky factor, damped */
    double pull[MOST_UNKNOWN];
    double energy; /* of the residuals, and of the distances from `mean` */
} solver;

static void pack(const darc_string *s, double *x)
{
    for (int k = 0; k < s->partials; k++) {
        *x++ = s->partial[k].hz;
        *x++ = s->partial[k].decay;
        *x++ = creal(s->partial[k].amplitude);
        *x++ = cimag(s->partial[k].amplitude);
    }
    for (int k = 0; k < s->hum.lines; k++) {
        *x++ = creal(s->hum.amplitude[k]);
        *x++ = cimag(s->hum.amplitude[k]);
    }
    if (s->hum.lines > 0)
        *x = s->hum.mains_hz;
}

static void unpack(const double *x, darc_string *s)
{
    for (int k = 0; k < s->partials; k++, x += 4) {
        s->partial[k].hz = x[0];
        s->partial[k].decay = x[1];
        s->partial[k].amplitude = x[2] + I * x[3];
    }
    for (int k = 0; k < s->hum.lines; k++, x += 2)
        s->hum.amplitude[k] = x[0] + I * x[1];
    if (s->hum.lines > 0)
        s->hum.mains_hz = *x;
}

/* The model and its derivatives at time t; `at` are the phasors without amplitude. */
static double model_row(const darc_string *s, double t, const double complex *at,
                        double *by)
{
    double sum = 0.0, mains = 0.0;
    for (int k = 0; k < s->partials; k++) {
        double complex z = s->partial[k].amplitude * at[k];
        sum += creal(z);
        *by++ = -2.0 * M_PI * t * cimag(z);
        *by++ = -t * creal(z);
        *by++ = creal(at[k]);
        *by++ = -cimag(at[k]);
    }
    for (int k = 0; k < s->hum.lines; k++) {
        double complex e = at[s->partials + k], z = s->hum.amplitude[k] * e;
        sum += creal(z);
        *by++ = creal(e);
        *by++ = -cimag(e);
        mains -= 2.0 * M_PI * t * s->hum.order[k] * cimag(z);
    }
    if (s->hum.lines > 0)
        *by = mains;
    return sum;
}

/* Phasors at time 0 and their turn in one sample; returns their number. */
static int phasors(const darc_string *s, double dt, double complex *turn,
                   double complex *at)
{
    int n = 0;
    for (int k = 0; k < s->partials; k++)
        turn[n++] = cexp((-s->partial[k].decay + I * 2.0 * M_PI * s->partial[k].hz) * dt);
    for (int k = 0; k < s->hum.lines; k++)
        turn[n++] = cexp(I * 2.0 * M_PI * s->hum.order[k] * s->hum.mains_hz * dt);
    for (int k = 0; k < n; k++)
        at[k] = 1.0;
    return n;
}

/* Residuals and energy at the present parameters; with `full` the normal equations too.
 */
static void evaluate(solver *v, bool full)
{
    double complex turn[WAVES], at[WAVES];
    double by[MOST_UNKNOWN], dt = 1.0 / v->sound.rate_hz;
    int waves = phasors(v->string, dt, turn, at);
    if (full)
        darc_normal_clear(v->m, v->m, v->normal, v->pull);
    v->energy = 0.0;
    for (size_t i = 0; i < v->sound.n; i++) {
        double r = v->sound.sample[i] - model_row(v->string, (double)i * dt, at, by);
        v->residual[i] = r;
        v->energy += r * r;
        if (full)
            darc_normal_add(v->m, v->m, by, r, 1.0, v->normal, v->pull);
        for (int k = 0; k < waves; k++)
            at[k] *= turn[k];
    }
    for (int p = 0; p < v->m; p++) {
        double off = v->mean[p] - v->x[p];
        v->energy += v->weight[p] * off * off;
        if (full) {
            v->pull[p] += v->weight[p] * off;
            v->normal[p * v->m + p] += v->weight[p];
        }
    }
}

/* Factor of the damped normal matrix; false when it is not positive definite. */
static bool factorise(solver *v, double damping)
{
    double diagonal[MOST_UNKNOWN];
    for (int p = 0; p < v->m; p++)
        diagonal[p] = damping * v->normal[p * v->m + p];
    return darc_cholesky(v->m, v->m, v->normal, diagonal, v->factor, NULL);
}

/* One step that lowers the energy; false when no damping finds any. */
static bool improve(solver *v, double *damping)
{
    double energy = v->energy, before[MOST_UNKNOWN], step[MOST_UNKNOWN];
    memcpy(before, v->x, sizeof before);
    for (; *damping < 1e8; *damping *= 10.0) {
        if (!factorise(v, *damping))
            continue;
        memcpy(step, v->pull, sizeof step);
        darc_cholesky_solve(v->m, v->m, v->factor, step);
        for (int p = 0; p < v->m; p++)
            v->x[p] = before[p] + step[p];
        unpack(v->x, v->string);
        evaluate(v, false);
        if (v->energy <= energy) { /* NaN is refused */
            *damping = fmax(0.1 * *damping, 1e-12);
            return true;
        }
    }
    memcpy(v->x, before, sizeof before);
    unpack(v->x, v->string);
    return false;
}

/* Decay, on a coarse scale, that gathers most of a tone's energy. */
static double start_decay(const darc_sound *sound, double hz)
{
    double best = 1.0, most = -1.0;
    for (double decay = 0.5; decay < 100.0; decay *= 2.0) {
        double complex sum = 0.0, at = 1.0;
        double complex turn = cexp((-decay - I * 2.0 * M_PI * hz) / sound->rate_hz);
        double weight = 0.0;
        for (size_t i = 0; i < sound->n; i++) {
            sum += sound->sample[i] * at;
            weight += creal(at * conj(at));
            at *= turn;
        }
        double power = creal(sum * conj(sum)) / weight;
        if (power > most) {
            most = power;
            best = decay;
        }
    }
    return best;
}

/* Starting values, and the stretch that is worth fitting. */
static void prepare(solver *v, const darc_sound *pluck)
{
    darc_string *s = v->string;
    double slowest = INFINITY;
    for (int k = 0; k < s->partials; k++) {
        darc_partial *p = &s->partial[k];
        if (!(p->decay > 0.0))
            p->decay = start_decay(pluck, p->hz);
        p->amplitude = 0.0;
        slowest = fmin(slowest, p->decay);
    }
    double length = fmax(FIT_S, FIT_DECAYS / slowest) * pluck->rate_hz;
    v->sound = *pluck;
    if (length < (double)pluck->n)
        v->sound.n = (size_t)length;
    v->m = 4 * s->partials + (s->hum.lines > 0 ? 2 * s->hum.lines + 1 : 0);
    pack(s, v->x);
    memcpy(v->mean, v->x, sizeof v->mean);
}

/* How firmly frequencies and decays are held: `scale` is the noise per sample. */
static void hold(solver *v, double scale)
{
    double bin_hz = v->sound.rate_hz / (double)v->sound.n;
    memset(v->weight, 0, sizeof v->weight);
    for (int p = 0; p < 4 * v->string->partials; p += 4) {
        double hz = HZ_BINS * bin_hz + v->mean[p + 1] / M_PI;
        double decay = DECAY_SHARE * v->mean[p + 1];
        v->weight[p] = scale / (hz * hz);
        v->weight[p + 1] = scale / (decay * decay);
    }
    if (v->string->hum.lines > 0) {
        double hz = MAINS_SHARE * v->mean[v->m - 1];
        v->weight[v->m - 1] = scale / (hz * hz);
    }
}

/* Amplitudes for the starting frequencies and decays: a linear problem. */
static bool start_amplitudes(solver *v)
{
    double damping = 1e-12;
    hold(v, FROZEN * v->energy);
    evaluate(v, true);
    return improve(v, &damping);
}

/* Power of the residuals around the note, per sample, the note's own lines left out. */
static double noise_around(const solver *v, double hz)
{
    const darc_sound residual = {v->sound.n, v->sound.rate_hz, v->residual};
    double bin = residual.rate_hz / (double)residual.n, power = 0.0;
    int reach = (int)fmax(NOISE_BINS, NOISE_HZ / bin), n = 0;
    for (int k = -reach; k <= reach; k++) {
        double at = hz + k * bin;
        if (abs(k) < 2 || at < bin)
            continue;
        double complex line = darc_line(&residual, at);
        power += creal(line * conj(line));
        n++;
    }
    return power / ((double)n * (double)residual.n);
}

/*
 * Power of the residuals while the note lives, over that of all of them; at least 1. The
 * blow and partials that die at once weigh on the note although they are soon over.
 */
static double early_share(const solver *v)
{
    double early = 0.0, all = 0.0, n = (double)v->sound.n;
    double life = EARLY_DECAYS / v->string->partial[0].decay * v->sound.rate_hz;
    for (size_t i = 0; i < v->sound.n; i++) {
        double power = v->residual[i] * v->residual[i];
        all += power;
        if ((double)i < life)
            early += power;
    }
    return life < n && all > 0.0 ? fmax(1.0, early / ceil(life) / (all / n)) : 1.0;
}

/* Variance of a parameter at the solution, in noise of unit power per sample. */
static double variance(const solver *v, int p)
{
    double column[MOST_UNKNOWN] = {0.0};
    column[p] = 1.0;
    darc_cholesky_solve(v->m, v->m, v->factor, column);
    return column[p];
}

/*
 * Uncertainties and energies at the solution. Of higher partials too with the noise
 * around the lowest: there is mostly less of it higher up.
 */
static bool assess(solver *v)
{
    darc_string *s = v->string;
    s->noise = noise_around(v, s->partial[0].hz);
    if (!factorise(v, 0.0))
        return false;
    double share = early_share(v);
    for (int k = 0; k < s->partials; k++)
        s->partial[k].hz_sd = sqrt(s->noise * share * variance(v, 4 * k));
    s->decay_sd = sqrt(s->noise * variance(v, 1));
    if (!(s->partial[0].hz_sd > 0.0) || !(s->decay_sd > 0.0))
        return false;
    s->rest_energy = v->energy;
    s->fitted = v->sound.n;
    s->string_energy = 0.0;
    for (int k = s->partials - 1; k >= 0; k--) {
        const darc_partial *p = &s->partial[k];
        double loss = 2.0 * p->decay / v->sound.rate_hz, a = cabs(p->amplitude);
        double n = (double)v->sound.n,
               length = loss == 0.0 ? n : expm1(-loss * n) / expm1(-loss);
        s->lowest_energy = 0.5 * a * a * length;
        s->string_energy += s->lowest_energy;
    }
    return true;
}

size_t darc_fit_scratch(size_t n)
{
    return n + 2 * (size_t)MOST_UNKNOWN * MOST_UNKNOWN;
}

bool darc_string_fit(const darc_sound *pluck, double *scratch, darc_string *string)
{
    solver v = {.string = string,
                .residual = scratch,
                .normal = scratch + pluck->n,
                .factor = scratch + pluck->n + (size_t)MOST_UNKNOWN * MOST_UNKNOWN};
    double damping = 1e-3;
    prepare(&v, pluck);
    evaluate(&v, false);
    if (!start_amplitudes(&v))
        return false;
    hold(&v, v.energy / (double)v.sound.n);
    for (int i = 0; i < ITERATIONS; i++) {
        double before = string->partial[0].hz;
        evaluate(&v, true);
        if (!improve(&v, &damping))
            break; /* rounding: as low as it gets */
        if (fabs(string->partial[0].hz - before) < STEP_SETTLED * before &&
            damping < 1e-3)
            break;
    }
    evaluate(&v, true);
    return assess(&v);
}

void darc_partial_subtract(const darc_partial *partial, const darc_sound *sound)
{
    double dt = 1.0 / sound->rate_hz;
    double complex at = partial->amplitude;
    double complex turn = cexp((-partial->decay + I * 2.0 * M_PI * partial->hz) * dt);
    for (size_t i = 0; i < sound->n; i++) {
        sound->sample[i] -= creal(at);
        at *= turn;
    }
}
