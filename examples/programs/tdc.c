/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * TDC by improvised means: a stop on the piston, or equal drops of a dial, on both sides
 * of the mark, read on a degree wheel or along the rim of the flywheel.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "csv.h"
#include "output.h"
#include "page.h"
#include "shown.h"
#include "tables.h"
#include "tdc_pairs.h"
#include "words.h"

/* A crank of a small diesel engine; common practice, no source. Without an offset of the
 * pin it matters for the weights of the pairs alone. */
#define STROKE_MM 90.0
#define ROD_MM    145.0

typedef struct wishes {
    const char *out, *pointers;
    double stroke_mm, rod_mm, offset_mm, sd_deg, drop_sd_mm, wheel_deg, rim_mm;
    int chord, csv, guard;
} wishes;

/* One engine. */
typedef struct found {
    const tdc_pairs *pairs;
    dialarc_tdc tdc;
    double sd_deg; /* all together */
} found;

typedef struct bench {
    const wishes *wishes;
    dialarc_wheel wheel; /* as two pointers show it */
    int wheel_known;
    tdc_pairs *pairs;
    found *found;
    size_t engines;
} bench;

static void say_pairs(FILE *out, const found *f)
{
    if (f->tdc.excess_sd_deg > 0.0)
        page_say(out, "  Pairs         ",
                 "They disagree by %.2f degrees (sd) more than their readings explain: "
                 "does the stop give, or is one misread? The uncertainty counts it.",
                 f->tdc.excess_sd_deg);
    else if (f->pairs->n == 1)
        page_say(out, "  Pairs         ",
                 "One alone shows no misreading: take another at a different height.");
    else
        page_say(out, "  Pairs         ", "%zu of them, which agree.", f->pairs->n);
}

static void say_engine(FILE *out, const found *f)
{
    double at = f->tdc.wheel_deg;
    page_say(out, "  TDC           ", "lies %.2f crank degrees %s the mark.",
             fabs(page_round(at, 2)), at < 0.0 ? "before" : "after");
    page_say(
        out, "  Within        ",
        "+- %.2f degrees (95 %%). Count angles from there, and enter in the table of "
        "engines, column tdc_sd_deg: %.3f",
        1.96 * f->sd_deg, f->sd_deg);
    say_pairs(out, f);
    if (f->tdc.offset_error_deg != 0.0)
        page_say(out, "  Offset pin    ", "%.3f degrees were taken off for it.",
                 f->tdc.offset_error_deg);
    if (f->tdc.shared_sd_deg > 0.0)
        page_say(out, "  Wheel         ",
                 "Its centring counts with %.3f degrees (sd), which no pair shows.",
                 f->tdc.shared_sd_deg);
}

/* The wheel, as two opposite pointers show it. */
static void say_wheel(FILE *out, const dialarc_wheel *w)
{
    double factor = 2.0;
    dialarc_uncertainty_coverage_factor(0.95, w->dof, &factor);
    page_head(out, "The degree wheel, by two pointers");
    page_say(out, "  Centring      ",
             "The wheel errs by %.2f degrees either way, give or take %.2f (95 %%), and "
             "reads most too much at %.0f. Enter in the table of engines, column "
             "wheel_error_deg: %.2f",
             w->error_deg, factor * w->error_sd_deg, page_round(w->phase_deg, 0),
             w->error_deg);
    if (w->error_deg < factor * w->error_sd_deg)
        page_say(out, "                ",
                 "That may be no more than the readings err by.");
    page_say(out, "  Pairs         ",
             "Those that were read on it are corrected by that.");
}

static void say_pages(FILE *out, const bench *b)
{
    char safe[SHOWN_SIZE];
    if (b->wheel_known)
        say_wheel(out, &b->wheel);
    for (size_t k = 0; k < b->engines; k++) {
        const char *name = b->found[k].pairs->name;
        if (name[0])
            page_head(out, "TDC of %s, from equal heights of the piston",
                      shown(name, safe, sizeof safe));
        else
            page_head(out, "TDC, from equal heights of the piston");
        say_engine(out, &b->found[k]);
    }
    page_say(out, "  Note          ",
             "Turn both contacts of a stop from the other side of it in one direction "
             "each, by hand and gently: a stop can hole a piston.");
    writer page = page_writer(out);
    page.stroke_open = 1;
    words_cautions(&page);
}

static void say_csv(FILE *out, const bench *b)
{
    fputs("setup,tdc_sd_deg,tdc_deg,pairs,excess_sd_deg\r\n", out);
    for (size_t k = 0; k < b->engines; k++) {
        const found *f = &b->found[k];
        csv_text(out, f->pairs->name, b->wishes->guard);
        csv_number(out, f->sd_deg, 3);
        csv_number(out, f->tdc.wheel_deg, 3);
        fprintf(out, ",%zu", f->pairs->n);
        csv_number(out, f->tdc.excess_sd_deg, 3);
        fputs("\r\n", out);
    }
}

static int fill(output *out, void *job)
{
    const bench *b = job;
    if (b->wishes->csv)
        say_csv(out->file, b);
    else
        say_pages(out->file, b);
    return DONE;
}

static int read_wheel(const char *who, const wishes *w, bench *b)
{
    enum { PLACES = 720 };
    double pointer[PLACES], opposite[PLACES];
    dialarc_rows *rows = NULL;
    int result = tables_rows(who, w->pointers, "pointer_deg! opposite_deg!", &rows);
    size_t n = dialarc_rows_count(rows);
    for (size_t i = 0; result == DONE && i < n && i < PLACES; i++) {
        pointer[i] = tables_number(rows, i, "pointer_deg", 0.0);
        opposite[i] = tables_number(rows, i, "opposite_deg", 0.0);
    }
    dialarc_rows_free(rows);
    if (result != DONE)
        return FAILED;
    dialarc_status status =
        n > PLACES
            ? DIALARC_ERR_SIZE
            : dialarc_wheel_from_pointers(n, pointer, opposite, w->sd_deg, &b->wheel);
    if (status != DIALARC_OK)
        return complain(
            who, tables_name(w->pointers),
            status == DIALARC_ERR_SIZE ? "3 to 720 places of the wheel are wanted"
            : status == DIALARC_ERR_NO_SOLUTION
                ? "the places must go round the turn: read every 30 degrees, say"
            : status == DIALARC_ERR_ANGLE
                ? "the pointers are not opposite each other: theirs differ by half a turn"
                : dialarc_status_text(status));
    if (!isfinite(b->wheel.error_sd_deg))
        return complain(who, tables_name(w->pointers),
                        "three places without a standard uncertainty tell nothing of "
                        "their error: see --sd");
    b->wheel_known = 1;
    return DONE;
}

/* A table goes by the name of a file; pairs have a colon. */
static int is_table(char **operand)
{
    double number;
    return !operand[1] && !strchr(operand[0], ':') &&
           !command_number(operand[0], &number);
}

static int read_pairs(const char *who, char **operand, bench *b)
{
    const wishes *w = b->wishes;
    const tdc_usual usual = {w->sd_deg, w->drop_sd_mm, w->wheel_deg,
                             w->rim_mm, w->chord,      b->wheel_known ? &b->wheel : NULL};
    if (!(w->wheel_deg >= 0.0))
        return complain(who, "--wheel", "the error of a wheel is not below 0");
    if (is_table(operand))
        return tdc_pairs_table(who, operand[0], &usual, &b->pairs, &b->engines);
    b->pairs = malloc(sizeof *b->pairs);
    b->engines = 1;
    return b->pairs ? tdc_pairs_words(who, operand, &usual, b->pairs)
                    : complain_memory(who);
}

static int find(const char *who, const char *what, const wishes *w, found *f)
{
    const tdc_pairs *p = f->pairs;
    const dialarc_crank crank = {0.5 * w->stroke_mm, w->rod_mm, w->offset_mm};
    dialarc_status status =
        dialarc_tdc_from_means(&crank, p->n, p->before_deg, p->after_deg, p->sd_deg,
                               p->drop_sd_mm, p->wheel_error_deg, &f->tdc);
    if (status != DIALARC_OK)
        return complain(who, what, dialarc_status_text(status));
    /* Of few pairs that disagree the expanded uncertainty is the larger part. */
    f->sd_deg = fmax(f->tdc.sd_deg, f->tdc.u_deg / 1.96);
    if (!isfinite(f->sd_deg))
        return complain(
            who, what, "one pair without a standard uncertainty tells nothing: see --sd");
    return DONE;
}

static int run(const char *who, const void *wished, char **operand)
{
    const wishes *w = wished;
    bench b = {.wishes = w};
    int result = w->pointers ? read_wheel(who, w, &b) : DONE;
    if (result == DONE)
        result = read_pairs(who, operand, &b);
    if (result == DONE && !(b.found = calloc(b.engines, sizeof *b.found)))
        result = complain_memory(who);
    for (size_t k = 0; result == DONE && k < b.engines; k++) {
        b.found[k].pairs = &b.pairs[k];
        result =
            find(who, b.pairs[k].name[0] ? b.pairs[k].name : operand[0], w, &b.found[k]);
    }
    if (result == DONE)
        result = output_write(who, w->out, fill, &b);
    free(b.found);
    free(b.pairs);
    return result;
}

static const wishes defaults = {.stroke_mm = STROKE_MM,
                                .rod_mm = ROD_MM,
                                .sd_deg = 0.25,
                                .wheel_deg = 0.25,
                                .rim_mm = DIALARC_UNKNOWN};

static const command_operand operands[] = {
    {"PAIR",
     "BEFORE:AFTER, crank degrees from the mark back to where the piston stands as high "
     "as AFTER degrees forward of it, several go together; or a table of pairs"},
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
    {"pointers", "TABLE", OPTION_TEXT, offsetof(wishes, pointers), 0, 0,
     "readings of the wheel at two opposite pointers, which show how it is centred: "
     "pairs are corrected by that"},
    {"csv", NULL, OPTION_FLAG, offsetof(wishes, csv), 0, 0,
     "a table of setup and tdc_sd_deg for other programs"},
    COMMAND_GUARD(wishes),
    COMMAND_OUT(wishes),
    {0},
};

const command tdc_command = {
    .name = "tdc",
    .brief = "Find TDC, and how well it is known, by equal heights.",
    .operand = operands,
    .repeats = 1,
    .option = options,
    .more =
        "A table of pairs has the columns setup, height (stop or drop), along (wheel, "
        "tape or chord), before_deg and after_deg or before_mm, after_mm and "
        "radius_mm, "
        "and sd_deg or sd_mm and drop_sd_mm where they are known; one of pointers has "
        "pointer_deg and opposite_deg. Without pairs, enter as tdc_sd_deg " WORDS_TDC_SD
        ".",
    .statuses = "0 done, 2 nothing was written.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .run = run,
};
