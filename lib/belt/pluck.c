/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Steps from a recording to the note of a string:
 *
 *   sound   band-limited, resampled copy; the stretch from the pluck on
 *   hum     steady lines at multiples of the mains frequency
 *   peaks   spectrum, noise floor, tones that die away
 *   comb    the stiff string they belong to
 *   fit     damped partials and hum together, by least squares
 *   law     fundamental and stiffness from the fitted partials
 *   lead    what came before the stretch and agrees with the string
 */
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include <dialarc/pluck.h>
#include <gsl/gsl_math.h>

#include "belt/pluck_comb.h"
#include "belt/pluck_fit.h"
#include "belt/pluck_hum.h"
#include "belt/pluck_law.h"
#include "belt/pluck_lead.h"
#include "belt/pluck_peaks.h"
#include "belt/pluck_sound.h"
#include "belt/span.h"
#include "core/finite.h"
#include "core/normal.h"

#define PERIODS        2.0   /* least number of periods in the shortest recording */
#define TONE_CLEAR     200.0 /* energy of the tone over noise power per sample */
#define DECAY_CLEAR    5.0   /* decay over its uncertainty, or else the tone is steady */
#define FADE_MIN       0.3   /* least decay over the stretch, in nepers */
#define DECAY_MAX      67.0  /* 1/s; what dies sooner is a blow */
#define SNR_MIN        0.1   /* string over the rest, as energies */
#define HUM_S          0.4   /* stretch that tells hum apart */
#define REACH_S        0.04  /* farthest back that the onset is looked for again */
#define RELATIVE_MAX   0.01  /* largest relative uncertainty of a clear tone */
#define DRIFTED        2.0   /* drift over its uncertainty that is more than chance */
#define BENDING_SHARE  0.2   /* how well ends that are no pins let bending be known */
#define MODEL_RELATIVE 1e-4  /* no belt is an ideal string */

static dialarc_status check(size_t n, const double *sample, double rate_hz, double low_hz,
                            double high_hz)
{
    if (!isfinite(rate_hz) || !isfinite(low_hz) || !isfinite(high_hz))
        return DIALARC_ERR_NOT_FINITE;
    if (!(rate_hz > 0.0) || !(low_hz * DIALARC_PLUCK_SHORTEST_S >= PERIODS) ||
        !(high_hz > low_hz) || !(high_hz <= 0.4 * rate_hz))
        return DIALARC_ERR_FREQUENCY;
    if (!((double)n >= DIALARC_PLUCK_SHORTEST_S * rate_hz) || n > DIALARC_PLUCK_MAX)
        return DIALARC_ERR_SIZE;
    return darc_all_finite(n, sample) ? DIALARC_OK : DIALARC_ERR_NOT_FINITE;
}

static bool is_silent(const darc_sound *s)
{
    for (size_t i = 0; i < s->n; i++)
        if (s->sample[i] != 0.0)
            return false;
    return true;
}

/*
 * Whether a stretch is too short to tell the note from mains hum: one lone tone beside a
 * multiple of the mains, or a fundamental inferred from tones some of which may be hum.
 */
static bool may_be_hum(const darc_string *s, double seconds)
{
    double hz = s->partial[0].hz;
    double off_50 = fabs(remainder(hz, 50.0)), off_60 = fabs(remainder(hz, 60.0));
    bool beside = s->partials == 1 && fmin(off_50, off_60) < 1.0 / seconds;
    return seconds < HUM_S && (beside || s->partial[0].order > 1);
}

/* Whether the fitted partial is a clear tone that dies away, near where it was found. */
static bool is_clear(const darc_string *s, double found_hz, double seconds)
{
    const darc_partial *p = &s->partial[0];
    return s->lowest_energy > TONE_CLEAR * s->noise &&
           s->string_energy > SNR_MIN * s->rest_energy &&
           p->hz_sd < RELATIVE_MAX * p->hz && p->decay > DECAY_CLEAR * s->decay_sd &&
           p->decay * seconds > FADE_MIN && p->decay < DECAY_MAX &&
           M_PI * p->hz > DARC_QUALITY_MIN * p->decay &&
           fabs(p->hz - found_hz) < fmax(2.0 / seconds, p->decay / M_PI) &&
           !may_be_hum(s, seconds);
}

static dialarc_pluck describe(const darc_string *s, const darc_law *law, double drift_hz,
                              double onset_s)
{
    const darc_partial *p = &s->partial[0];
    double hz = p->order == 1 ? p->hz : law->hz;
    double sd = hypot(p->order == 1 ? p->hz_sd : law->hz_sd, MODEL_RELATIVE * hz);
    sd = hypot(sd, drift_hz / p->order);
    return (dialarc_pluck){.frequency_hz = hz,
                           .frequency_sd_hz = sd,
                           .frequency_u_hz = DARC_NORMAL_975 * sd,
                           .decay_s = 1.0 / p->decay,
                           .onset_s = onset_s,
                           .snr_db = 10.0 * log10(s->string_energy / s->rest_energy),
                           .mains_hz = s->hum.mains_hz,
                           .partials = s->partials,
                           .stiffness = law->stiffness,
                           .stiffness_sd = law->stiffness_sd};
}

/*
 * Tones and hum of a pluck. The hum is first taken from the later half, where the string
 * has mostly died away, and again from all of it once the string's tones are known.
 */
static dialarc_status tell_apart(const darc_sound *pluck, double low_hz, double high_hz,
                                 double *scratch, darc_hum *hum, darc_peak *tone, int *n)
{
    darc_sound work = {pluck->n, pluck->rate_hz, scratch};
    size_t bytes = pluck->n * sizeof *scratch;
    *n = 0;
    for (int round = 0; round < 2; round++) {
        memcpy(work.sample, pluck->sample, bytes);
        for (int i = 0; i < *n; i++)
            darc_partial_subtract(&tone[i].tone, &work);
        darc_hum_find(&work, round == 0 ? pluck->n / 2 : 0, scratch + pluck->n, hum);
        memcpy(work.sample, pluck->sample, bytes);
        darc_hum_subtract(hum, &work);
        dialarc_status status = darc_peaks_find(&work, low_hz, high_hz, tone, n);
        if (status != DIALARC_OK)
            return status;
        if (hum->lines == 0)
            break;
    }
    return DIALARC_OK;
}

/*
 * The pluck was taken to begin a little late, to be clear of the blow. A high note has
 * lost much by then: what came before is added as far as it agrees with the string.
 */
static void reach_back(const darc_sound *sound, double *scratch, darc_sound *pluck,
                       darc_string *string)
{
    size_t before = (size_t)(pluck->sample - sound->sample);
    size_t most = (size_t)(REACH_S * sound->rate_hz);
    size_t lead = darc_string_lead(pluck, string, before < most ? before : most);
    darc_sound longer = {pluck->n + lead, pluck->rate_hz, pluck->sample - lead};
    darc_string again = *string;
    if (lead == 0 || !darc_string_fit(&longer, scratch, &again) ||
        !(again.partial[0].hz_sd < string->partial[0].hz_sd))
        return;
    *pluck = longer;
    *string = again;
}

/*
 * How far the note moves while it dies away, as a standard uncertainty: the frequency
 * heard once the note has fallen to 1/e, beside that of the whole. It moves when the span
 * was pulled far aside, when two tones ring close together, or when it was touched again.
 */
static double drift_hz(const darc_sound *pluck, double *scratch,
                       const darc_string *string)
{
    const darc_partial *p = &string->partial[0];
    size_t skip = (size_t)(pluck->rate_hz / p->decay);
    darc_string late = *string;
    if (2 * skip > pluck->n)
        return 0.0;
    darc_sound rest = {pluck->n - skip, pluck->rate_hz, pluck->sample + skip};
    if (!darc_string_fit(&rest, scratch, &late))
        return 0.0;
    double off = late.partial[0].hz - p->hz, chance = DRIFTED * late.partial[0].hz_sd;
    return sqrt(fmax(0.0, off * off - chance * chance));
}

static dialarc_status listen(const darc_sound *sound, double low_hz, double high_hz,
                             const darc_bending *known, double *scratch,
                             dialarc_pluck *result)
{
    darc_string string = {0};
    darc_law law = {.stiffness = NAN, .stiffness_sd = NAN};
    darc_peak tone[DARC_PEAKS];
    int n = 0;
    if (is_silent(sound))
        return DIALARC_ERR_NO_TONE;
    darc_sound pluck = darc_sound_pluck(sound);
    dialarc_status status =
        tell_apart(&pluck, low_hz, high_hz, scratch, &string.hum, tone, &n);
    if (status != DIALARC_OK)
        return status;
    status = darc_peaks_comb(n, tone, low_hz, high_hz, known, &string);
    if (status != DIALARC_OK)
        return status;
    double found_hz = string.partial[0].hz, seconds = (double)pluck.n / pluck.rate_hz;
    if (!darc_string_fit(&pluck, scratch, &string) ||
        !is_clear(&string, found_hz, seconds))
        return DIALARC_ERR_NO_TONE;
    reach_back(sound, scratch, &pluck, &string);
    if (!darc_law_fit(&string, known, &law) && string.partial[0].order > 1)
        return DIALARC_ERR_AMBIGUOUS;
    double drift = drift_hz(&pluck, scratch, &string);
    *result = describe(&string, &law, drift,
                       (double)(pluck.sample - sound->sample) / sound->rate_hz);
    return DIALARC_OK;
}

static dialarc_status hear(size_t n, const double *sample, double rate_hz, double low_hz,
                           double high_hz, const darc_bending *known,
                           dialarc_pluck *pluck)
{
    darc_sound sound;
    if (!sample || !pluck)
        return DIALARC_ERR_NULL;
    dialarc_status status = check(n, sample, rate_hz, low_hz, high_hz);
    if (status == DIALARC_OK)
        status = darc_sound_condition(n, sample, rate_hz, low_hz, high_hz, &sound);
    if (status != DIALARC_OK)
        return status;
    size_t room = sound.n + GSL_MAX(sound.n, darc_fit_scratch(sound.n));
    double *scratch = malloc(room * sizeof *scratch);
    status = scratch ? listen(&sound, low_hz, high_hz, known, scratch, pluck)
                     : DIALARC_ERR_NO_MEMORY;
    free(scratch);
    free(sound.sample);
    return status;
}

dialarc_status dialarc_pluck_frequency(size_t n, const double *sample, double rate_hz,
                                       double low_hz, double high_hz,
                                       dialarc_pluck *pluck)
{
    return hear(n, sample, rate_hz, low_hz, high_hz, NULL, pluck);
}

/* The share of bending in the square of the frequency. */
static darc_bending bending_of(const dialarc_span *s)
{
    double m = s->mass_kg_per_m, l = s->length_mm;
    double hz2 = darc_span_bending_n(s) / (4e-6 * m * l * l);
    double own = s->bending_n_mm2 > 0.0 ? s->bending_sd_n_mm2 / s->bending_n_mm2 : 0.0;
    double rest = hypot(s->mass_sd_kg_per_m / m, 4.0 * s->length_sd_mm / l);
    return (darc_bending){hz2, hz2 * hypot(BENDING_SHARE, hypot(own, rest))};
}

dialarc_status dialarc_pluck_span_frequency(size_t n, const double *sample,
                                            double rate_hz, double low_hz, double high_hz,
                                            const dialarc_span *span,
                                            dialarc_pluck *pluck)
{
    dialarc_status status = darc_span_check_mass(span);
    if (status != DIALARC_OK)
        return status;
    darc_bending known = bending_of(span);
    return hear(n, sample, rate_hz, low_hz, high_hz, &known, pluck);
}
