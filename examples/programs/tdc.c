/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * TDC by improvised means: a stop on the piston, or equal drops of a dial, on both sides
 * of the mark, read on a degree wheel or along the rim of the flywheel.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "output.h"
#include "page.h"
#include "words.h"

enum { PAIRS_MAX = 100 };

/* A crank of a small diesel engine; common practice, no source. Without an offset of the
 * pin it matters for the weights of the pairs alone. */
#define STROKE_MM 90.0
#define ROD_MM    145.0

typedef struct wishes {
    const char *out;
    double stroke_mm, rod_mm, offset_mm, sd_deg, drop_sd_mm, wheel_deg, rim_mm;
    int chord;
} wishes;

typedef struct found {
    const wishes *wishes;
    size_t n;
    double before_deg[PAIRS_MAX], after_deg[PAIRS_MAX];
    dialarc_tdc tdc;
    double wheel_sd_deg, sd_deg; /* what the wheel adds, and all together */
} found;

static void say_excess(FILE *out, const found *f)
{
    if (f->tdc.excess_sd_deg > 0.0)
        page_say(out, "  Pairs         ",
                 "They disagree by %.2f degrees (sd) more than their readings explain: "
                 "does the stop give, or is one misread? The uncertainty counts it.",
                 f->tdc.excess_sd_deg);
    else if (f->n == 1)
        page_say(out, "  Pairs         ",
                 "One alone shows no misreading: take another at a different height.");
    else
        page_say(out, "  Pairs         ", "%zu of them, which agree.", f->n);
}

static int fill(output *out, void *job)
{
    const found *f = job;
    double at = f->tdc.wheel_deg;
    page_head(out->file, "TDC, from equal heights of the piston");
    page_say(out->file, "  TDC           ", "lies %.2f crank degrees %s the mark.",
             fabs(page_round(at, 2)), at < 0.0 ? "before" : "after");
    page_say(
        out->file, "  Within        ",
        "+- %.2f degrees (95 %%). Count angles from there, and enter in the table of "
        "engines, column tdc_sd_deg: %.3f",
        1.96 * f->sd_deg, f->sd_deg);
    say_excess(out->file, f);
    if (f->tdc.offset_error_deg != 0.0)
        page_say(out->file, "  Offset pin    ", "%.3f degrees were taken off for it.",
                 f->tdc.offset_error_deg);
    if (f->wheel_sd_deg > 0.0)
        page_say(out->file, "  Wheel         ",
                 "Its centring counts with %.3f degrees (sd), which no pair shows.",
                 f->wheel_sd_deg);
    page_say(out->file, "  Note          ",
             "Turn both contacts of a stop from the other side of it in one direction "
             "each, by hand and gently: a stop can hole a piston.");
    writer page = page_writer(out->file);
    words_cautions(&page);
    return DONE;
}

/* A way along the rim, or a chord across it, in degrees. */
static dialarc_status to_degrees(const wishes *w, double *way)
{
    if (isnan(w->rim_mm))
        return DIALARC_OK;
    if (w->chord)
        return dialarc_flywheel_angle(*way, w->rim_mm, way);
    if (!(w->rim_mm > 0.0))
        return DIALARC_ERR_LENGTH;
    *way *= 180.0 / 3.14159265358979323846 / w->rim_mm;
    return DIALARC_OK;
}

static int read_pair(const char *who, const char *text, found *f)
{
    char before[64];
    const char *colon = strchr(text, ':');
    size_t length = colon ? (size_t)(colon - text) : 0;
    double *b = &f->before_deg[f->n], *a = &f->after_deg[f->n];
    if (!colon || length >= sizeof before)
        return complain(who, text, "BEFORE:AFTER is wanted, such as 31.5:30.9");
    memcpy(before, text, length);
    before[length] = '\0';
    if (!command_number(before, b) || !command_number(colon + 1, a))
        return complain(who, text, "two numbers are wanted, such as 31.5:30.9");
    dialarc_status status = to_degrees(f->wishes, b);
    if (status == DIALARC_OK)
        status = to_degrees(f->wishes, a);
    if (status != DIALARC_OK)
        return complain(who, text, dialarc_status_text(status));
    if (!(fabs(*b) < 180.0 && fabs(*a) < 180.0 && *b + *a > 0.0))
        return complain(who, text,
                        "BEFORE is counted back from the mark, AFTER forward, and they "
                        "are less than half a turn each");
    *b = -*b;
    f->n++;
    return DONE;
}

/* The wheel errs alike by its centring at every pair: by its cosine at half the arc. */
static double wheel_sd(const found *f)
{
    double half = 0.0;
    for (size_t k = 0; k < f->n; k++)
        half += 0.5 * (f->after_deg[k] - f->before_deg[k]) / (double)f->n;
    double share = 1.0 - cos(half / 180.0 * 3.14159265358979323846);
    return isnan(f->wishes->rim_mm) ? sqrt(0.5) * f->wishes->wheel_deg * share : 0.0;
}

static int run(const char *who, const void *wished, char **operand)
{
    const wishes *w = wished;
    found f = {.wishes = w};
    for (char **pair = operand; *pair; pair++) {
        if (f.n == PAIRS_MAX)
            return complain(who, *pair, "there may be 100 pairs");
        if (read_pair(who, *pair, &f) != DONE)
            return FAILED;
    }
    if (!(w->wheel_deg >= 0.0))
        return complain(who, "--wheel", "the error of a wheel is not below 0");
    const dialarc_crank crank = {0.5 * w->stroke_mm, w->rod_mm, w->offset_mm};
    dialarc_status status = dialarc_tdc_from_pairs(&crank, f.n, f.before_deg, f.after_deg,
                                                   w->sd_deg, w->drop_sd_mm, &f.tdc);
    if (status != DIALARC_OK)
        return complain(who, operand[0], dialarc_status_text(status));
    f.wheel_sd_deg = wheel_sd(&f);
    /* Of few pairs that disagree the expanded uncertainty is the larger part. */
    f.sd_deg = hypot(fmax(f.tdc.sd_deg, f.tdc.u_deg / 1.96), f.wheel_sd_deg);
    if (!isfinite(f.sd_deg))
        return complain(
            who, operand[0],
            "one pair without a standard uncertainty tells nothing: see --sd");
    return output_write(who, w->out, fill, &f);
}

static const wishes defaults = {.stroke_mm = STROKE_MM,
                                .rod_mm = ROD_MM,
                                .sd_deg = 0.25,
                                .wheel_deg = 0.25,
                                .rim_mm = DIALARC_UNKNOWN};

static const command_operand operands[] = {
    {"BEFORE:AFTER",
     "crank degrees from the mark back to where the piston stands as high "
     "as AFTER degrees forward of it; several pairs go together"},
    {0},
};

static const command_option options[] = {
    {"sd", "DEG", OPTION_NUMBER, offsetof(wishes, sd_deg), 0, 0,
     "standard uncertainty of one reading (0.25 if not given)"},
    {"drop-sd", "MM", OPTION_NUMBER, offsetof(wishes, drop_sd_mm), 0, 0,
     "that with which a height is met again by dial (0, a stop, if not given)"},
    {"wheel", "DEG", OPTION_NUMBER, offsetof(wishes, wheel_deg), 0, 0,
     "half span of the wheel's error by its centring (0.25 if not given)"},
    {"rim", "MM", OPTION_NUMBER, offsetof(wishes, rim_mm), 0, 0,
     "the pairs are mm along a rim of this radius, by tape"},
    {"chord", NULL, OPTION_FLAG, offsetof(wishes, chord), 0, 0,
     "with --rim: straight across it, by dividers"},
    {"stroke", "MM", OPTION_NUMBER, offsetof(wishes, stroke_mm), 0, 0,
     "stroke of the piston (90 if not given)"},
    {"rod", "MM", OPTION_NUMBER, offsetof(wishes, rod_mm), 0, 0,
     "length of the connecting rod (145 if not given)"},
    {"offset", "MM", OPTION_NUMBER, offsetof(wishes, offset_mm), 0, 0,
     "offset of the gudgeon pin, above 0 to the side to which the throw moves after TDC"},
    COMMAND_OUT(wishes),
    {0},
};

const command tdc_command = {
    .name = "tdc",
    .brief = "Find TDC, and how well it is known, by equal heights.",
    .operand = operands,
    .repeats = 1,
    .option = options,
    .statuses = "0 done, 2 nothing was written.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .run = run,
};
