/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From a recording of a plucked belt span to its tension. The recording is read by
 * libsndfile: WAV, and whatever else that library reads.
 */
#include <dialarc.h>
#include <math.h>
#include <sndfile.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "output.h"
#include "page.h"
#include "program.h"

enum { NO_NOTE = 1 };

static const char program[] = "belt_pluck";

static const char usage[] =
    "usage: belt_pluck [OPTION]... RECORDING\n"
    "  --mass KG_PER_M     mass of a metre of the belt\n"
    "  --length MM         free length of the span\n"
    "  --bending N_MM2     bending stiffness of the belt (0: perfectly flexible)\n"
    "  --want N            tension that the engine maker asks for\n"
    "  --low HZ --high HZ  band in which the note is looked for (20 to 600)\n"
    "The tension needs mass and length. The first channel of the recording is used.\n"
    "exit status: 0 a note was found, 1 there is no clear note, 2 nothing was written\n";

typedef struct options {
    double mass_kg_per_m, length_mm, bending_n_mm2, want_n, low_hz, high_hz;
    const char *file;
} options;

typedef struct recording {
    size_t n;
    double rate_hz;
    double *sample;
    char comment[200];
} recording;

/* The number after an option, in the C locale, which is never left. */
static int read_number(const char *text, double *number)
{
    char *end;
    *number = text ? strtod(text, &end) : NAN;
    return text && end != text && *end == '\0' && isfinite(*number);
}

static int read_options(int argc, char **argv, options *o)
{
    const struct {
        const char *name;
        double *number;
    } known[] = {
        {"--mass", &o->mass_kg_per_m},
        {"--length", &o->length_mm},
        {"--bending", &o->bending_n_mm2},
        {"--want", &o->want_n},
        {"--low", &o->low_hz},
        {"--high", &o->high_hz},
    };
    for (int i = 1; i < argc; i++) {
        size_t k = 0;
        while (k < sizeof known / sizeof known[0] && strcmp(argv[i], known[k].name) != 0)
            k++;
        if (k < sizeof known / sizeof known[0]) {
            if (!read_number(argv[i + 1], known[k].number))
                return program_fail(program, argv[i], "a number must follow");
            i++;
        } else if (argv[i][0] == '-' || o->file) {
            fputs(usage, stderr);
            return FAILED;
        } else {
            o->file = argv[i];
        }
    }
    if (!o->file)
        fputs(usage, stderr);
    return o->file ? DONE : FAILED;
}

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

static int read_recording(const char *file, recording *r)
{
    SF_INFO info = {0};
    SNDFILE *in = sf_open(file, SFM_READ, &info);
    if (!in)
        return program_fail(program, file, sf_strerror(NULL));
    int result = DONE;
    size_t channels = (size_t)info.channels;
    const char *comment = sf_get_string(in, SF_STR_COMMENT);
    if (comment)
        snprintf(r->comment, sizeof r->comment, "%s", comment);
    if (info.frames < 1 || info.frames > DIALARC_PLUCK_MAX || channels > BLOCK) {
        result = program_fail(
            program, file, "the recording is empty, too long or has too many channels");
    } else {
        r->rate_hz = info.samplerate;
        r->n = (size_t)info.frames;
        r->sample = malloc(r->n * sizeof *r->sample);
        if (r->sample)
            read_first_channel(in, channels, r);
        else
            result =
                program_fail(program, file, dialarc_status_text(DIALARC_ERR_NO_MEMORY));
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

static dialarc_status say_tension(FILE *out, const options *o, const dialarc_pluck *p)
{
    dialarc_span span = {.mass_kg_per_m = o->mass_kg_per_m,
                         .length_mm = o->length_mm,
                         .bending_n_mm2 = o->bending_n_mm2,
                         .mass_sd_kg_per_m = 0.01 * o->mass_kg_per_m,
                         .length_sd_mm = 0.5};
    dialarc_tension t;
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

static int report(const options *o, const recording *r)
{
    dialarc_pluck p;
    dialarc_status status =
        dialarc_pluck_frequency(r->n, r->sample, r->rate_hz, o->low_hz, o->high_hz, &p);
    if (status != DIALARC_OK) {
        program_fail(program, o->file,
                     status == DIALARC_ERR_SIZE
                         ? "the recording is too short: half a second or more is wanted"
                         : dialarc_status_text(status));
        return status == DIALARC_ERR_NO_TONE ? NO_NOTE : FAILED;
    }
    output out;
    if (output_open(&out, NULL))
        return program_fail(program, "standard output", "cannot be written");
    page_head(out.file, "BELT SPAN, %s", o->file);
    say_note(out.file, r, &p);
    if (!isnan(o->mass_kg_per_m) && !isnan(o->length_mm))
        status = say_tension(out.file, o, &p);
    if (status != DIALARC_OK) {
        output_discard(&out);
        return program_fail(program, "tension", dialarc_status_text(status));
    }
    page_say(
        out.file, "  Caution       ",
        "A belt engine can be wrecked by a wrong tension. The engine maker's figure, "
        "and his way of measuring it, come first.");
    return output_finish(&out)
               ? program_fail(program, "standard output", "cannot be written")
               : DONE;
}

int main(int argc, char **argv)
{
    options o = {.mass_kg_per_m = NAN,
                 .length_mm = NAN,
                 .want_n = NAN,
                 .low_hz = DIALARC_PLUCK_LOW_HZ,
                 .high_hz = DIALARC_PLUCK_HIGH_HZ};
    recording r = {0};
    output_guard();
    if (argc == 2 && strcmp(argv[1], "--help") == 0) {
        fputs(usage, stdout);
        return DONE;
    }
    int result = read_options(argc, argv, &o);
    if (result == DONE)
        result = read_recording(o.file, &r);
    if (result == DONE)
        result = report(&o, &r);
    free(r.sample);
    return result;
}
