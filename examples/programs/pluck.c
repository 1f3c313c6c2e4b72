/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From a recording of a plucked belt span to its tension. The recording is read by
 * libsndfile: WAV, and whatever else that library reads.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "commands.h"
#include "complain.h"
#include "output.h"
#include "page.h"
#include "tables.h"

typedef struct wishes {
    double mass_kg_per_m, length_mm, bending_n_mm2, want_n, low_hz, high_hz;
    const char *out;
} wishes;

#ifdef HAVE_SNDFILE
#include <sndfile.h>

enum { NO_NOTE = SOME_UNUSABLE };

typedef struct recording {
    size_t n;
    double rate_hz;
    double *sample;
    char comment[200];
} recording;

#define BLOCK 4096 /* numbers read at a time */

/* Fills the samples with the first channel; their number is what the file really holds.
 */
static void read_first_channel(SNDFILE *in, size_t channels, recording *r)
{
    double block[BLOCK];
    size_t room = r->n;
    sf_count_t got;
    r->n = 0;
    while ((got = sf_readf_double(in, block, (sf_count_t)(BLOCK / channels))) > 0)
        for (size_t i = 0; i < (size_t)got && r->n < room; i++)
            r->sample[r->n++] = block[i * channels];
}

static int read_recording(const char *who, const char *file, recording *r)
{
    SF_INFO info = {0};
    SNDFILE *in = sf_open(file, SFM_READ, &info);
    if (!in)
        return complain(who, tables_name(file), sf_strerror(NULL));
    int result = DONE;
    size_t channels = (size_t)info.channels;
    const char *comment = sf_get_string(in, SF_STR_COMMENT);
    if (comment)
        snprintf(r->comment, sizeof r->comment, "%s", comment);
    if (info.frames < 1 || info.frames > DIALARC_PLUCK_MAX || channels > BLOCK) {
        result = complain(who, tables_name(file),
                          "the recording is empty, too long or has too many channels");
    } else {
        r->rate_hz = info.samplerate;
        r->n = (size_t)info.frames;
        r->sample = malloc(r->n * sizeof *r->sample);
        if (r->sample)
            read_first_channel(in, channels, r);
        else
            result = complain_memory(who);
    }
    sf_close(in);
    return result;
}

static void say_note(FILE *out, const recording *r, const dialarc_pluck *p)
{
    if (r->comment[0])
        page_say(out, "  Recording     ", "%s", r->comment);
    page_say(out, "  Note          ",
             "%.1f Hz; 95 times in 100 the truth is within %.2f Hz of that",
             p->frequency_hz, p->frequency_u_hz);
    page_say(out, "  Heard         ",
             "at %.2f s, dying away in %.2f s, %d partial%s, %.0f dB above the noise%s",
             p->onset_s, p->decay_s, p->partials, p->partials == 1 ? "" : "s", p->snr_db,
             p->mains_hz > 0.0 ? "; mains hum was told apart" : "");
}

static dialarc_span span_of(const wishes *o)
{
    return (dialarc_span){.mass_kg_per_m = o->mass_kg_per_m,
                          .length_mm = o->length_mm,
                          .bending_n_mm2 = o->bending_n_mm2,
                          .mass_sd_kg_per_m = 0.01 * o->mass_kg_per_m,
                          .length_sd_mm = 0.5};
}

/* Bending as its partials tell it: of the tension of a flexible belt of the same note,
 * pi^2 E I / L^2 is the share s / (1 + s). */
static void take_heard_bending(const dialarc_pluck *p, dialarc_span *span)
{
    double speed = 2e-3 * span->length_mm * p->frequency_hz, pi = acos(-1.0);
    double whole = span->mass_kg_per_m * speed * speed, s = p->stiffness;
    double per_share = whole * pow(span->length_mm / pi, 2.0);
    span->bending_n_mm2 = per_share * s / (1.0 + s);
    span->bending_sd_n_mm2 = per_share * p->stiffness_sd / pow(1.0 + s, 2.0);
}

static dialarc_status say_tension(FILE *out, const wishes *o, const dialarc_pluck *p)
{
    dialarc_span span = span_of(o);
    dialarc_tension t;
    if (!(o->bending_n_mm2 > 0.0) && !isnan(p->stiffness))
        take_heard_bending(p, &span);
    dialarc_status status = dialarc_belt_tension_from_frequency(&span, p->frequency_hz,
                                                                p->frequency_sd_hz, &t);
    if (status != DIALARC_OK)
        return status;
    page_say(out, "  Tension       ",
             "%.0f N; 95 times in 100 the truth is within %.0f N of that, if the mass is "
             "good to 1 %% and the length to half a millimetre (one standard deviation)",
             t.tension_n, t.tension_u_n);
    if (isnan(o->want_n))
        return DIALARC_OK;
    double want_hz;
    status = dialarc_belt_frequency_from_tension(&span, o->want_n, &want_hz);
    if (status == DIALARC_OK)
        page_say(out, "  Wanted        ", "%.0f N: tune the span to %.1f Hz, %s than now",
                 o->want_n, want_hz, want_hz > p->frequency_hz ? "higher" : "lower");
    return status;
}

typedef struct page {
    const char *who, *file;
    const wishes *wishes;
    const recording *recording;
    const dialarc_pluck *pluck;
} page;

static int fill(output *out, void *job)
{
    const page *p = job;
    dialarc_status status = DIALARC_OK;
    page_head(out->file, "BELT SPAN, %s", tables_name(p->file));
    say_note(out->file, p->recording, p->pluck);
    if (!isnan(p->wishes->mass_kg_per_m) && !isnan(p->wishes->length_mm))
        status = say_tension(out->file, p->wishes, p->pluck);
    if (status != DIALARC_OK)
        return complain(p->who, "tension", dialarc_status_text(status));
    page_say(
        out->file, "  Caution       ",
        "A belt engine can be wrecked by a wrong tension. The engine maker's figure, "
        "and his way of measuring it, come first.");
    return DONE;
}

static int report(const char *who, const wishes *w, const char *file, const recording *r)
{
    dialarc_pluck pluck;
    page p = {who, file, w, r, &pluck};
    dialarc_span span = span_of(w);
    dialarc_status status =
        span.bending_n_mm2 > 0.0 && !isnan(span.mass_kg_per_m) && !isnan(span.length_mm)
            ? dialarc_pluck_span_frequency(r->n, r->sample, r->rate_hz, w->low_hz,
                                           w->high_hz, &span, &pluck)
            : dialarc_pluck_frequency(r->n, r->sample, r->rate_hz, w->low_hz, w->high_hz,
                                      &pluck);
    if (status == DIALARC_OK)
        return output_write(who, w->out, fill, &p);
    complain(who, tables_name(file),
             status == DIALARC_ERR_SIZE
                 ? "the recording is too short: half a second or more is wanted"
                 : dialarc_status_text(status));
    return status == DIALARC_ERR_NO_TONE || status == DIALARC_ERR_AMBIGUOUS ? NO_NOTE
                                                                            : FAILED;
}

static int run(const char *who, const void *wished, char **operand)
{
    recording r = {0};
    int result = read_recording(who, operand[0], &r);
    if (result == DONE)
        result = report(who, wished, operand[0], &r);
    free(r.sample);
    return result;
}

#endif

static const wishes defaults = {.mass_kg_per_m = DIALARC_UNKNOWN,
                                .length_mm = DIALARC_UNKNOWN,
                                .want_n = DIALARC_UNKNOWN,
                                .low_hz = DIALARC_PLUCK_LOW_HZ,
                                .high_hz = DIALARC_PLUCK_HIGH_HZ};

static const command_operand operands[] = {
    {"RECORDING", "of the plucked span: WAV, or what else libsndfile reads; the "
                  "first channel is used. - stands for standard input"},
    {0},
};

static const command_option options[] = {
    {"mass", "KG_PER_M", OPTION_NUMBER, offsetof(wishes, mass_kg_per_m), 0, 0,
     "mass of a metre of the belt"},
    {"length", "MM", OPTION_NUMBER, offsetof(wishes, length_mm), 0, 0,
     "free length of the span; together with the mass it gives the tension"},
    {"bending", "N_MM2", OPTION_NUMBER, offsetof(wishes, bending_n_mm2), 0, 0,
     "bending stiffness of the belt (0, perfectly flexible, if not given)"},
    {"want", "N", OPTION_NUMBER, offsetof(wishes, want_n), 0, 0,
     "the tension that the engine maker asks for; gives the note to tune to"},
    {"low", "HZ", OPTION_NUMBER, offsetof(wishes, low_hz), 0, 0,
     "lowest note to look for (20 if not given)"},
    {"high", "HZ", OPTION_NUMBER, offsetof(wishes, high_hz), 0, 0,
     "highest note to look for (600 if not given)"},
    COMMAND_OUT(wishes),
    {0},
};

const command pluck_command = {
    .name = "pluck",
    .brief = "Find the note and the tension of a belt span from a recording.",
    .operand = operands,
    .option = options,
    .statuses = "0 a note was found, 1 there is no clear note, 2 nothing was written.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .needs = "libsndfile, which reads recordings (Debian: libsndfile1-dev)",
#ifdef HAVE_SNDFILE
    .run = run,
#endif
};
