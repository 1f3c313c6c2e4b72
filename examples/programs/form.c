/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A form to print and fill in at the engine: what the tables ask for, under the names of
 * their columns, and room for the readings.
 */
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "html.h"
#include "output.h"
#include "words.h"

enum { STRIPS = 3 }; /* of readings side by side */

typedef struct wishes {
    int rows;
    const char *out;
} wishes;

typedef struct form {
    int rounds; /* 1: minimum and TDC; 0: a sweep */
    int rows;
} form;

/* A place to fill in: what, and under which name of the table of engines. */
typedef struct blank {
    const char *what, *column;
} blank;

static const blank engine[] = {
    {"name of the engine", "setup"},
    {"lobes of the cam of the pump", "lobes"},
    {"crank turns for one of the pump (2 if blank)", "crank_per_pump"},
    {"window by the manufacturer, lower limit, mm", "lift_low_mm"},
    {"window, upper limit, mm", "lift_high_mm"},
    {"the window refers to: tdc, or mark (mark or pin itself)", "window_at"},
    {"crank degrees from there at which it is asked for", "window_crank_deg"},
    {"turned to correct: shaft or body", "turned"},
    {"turning the crank back: allowed or forbidden", "turn_back"},
    {"firing TDC of the timed cylinder, by cams or valves: seen or not_seen",
     "firing_tdc"},
    {"pump shaft, seen from the drive end: cw or ccw", "rotation"},
    {"teeth of the pump sprocket", "sprocket_teeth"},
    {"radius at which its turn is measured, mm", "sprocket_radius_mm"},
    {"radius at which a turn of the body is measured, mm", "body_radius_mm"},
};

static const blank cam[] = {
    {"law of the rise", "cam_law"},
    {"law of the fall, if another", "cam_fall_law"},
    {"blend of a constant-rate law", "cam_blend"},
    {"total lift, mm", "cam_lift_mm"},
    {"rise, pump degrees", "rise_deg"},
    {"dwell at the top, pump degrees", "top_dwell_deg"},
    {"dwell at the base, pump degrees", "base_dwell_deg"},
    {"standard uncertainty of its form, mm", "cam_sd_mm"},
    {"standard uncertainty of its angles, pump degrees", "rise_sd_deg"},
};

static const blank instruments[] = {
    {"name of the dial", "dial"},
    {"graduation, mm", "dial_step_mm"},
    {"travel of one turn of the needle, mm", "dial_turn_mm"},
    {"1: shows more with more lift; -1: less", "dial_sense"},
    {"standard uncertainty of one reading, mm", "dial_sd_mm"},
    {"largest error of indication, mm", "dial_error_mm"},
    {"largest hysteresis, mm", "dial_hysteresis_mm"},
    {"reading of its calibration where it shows 0, mm", "dial_preload_mm"},
    {"standard uncertainty of an angle, degrees", "angle_sd_deg"},
    {"degree wheel off centre: half the span of its error, degrees", "wheel_error_deg"},
    {"standard uncertainty of TDC, or of meeting the mark, degrees", "tdc_sd_deg"},
};

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static void write_blanks(writer *w, const char *title, size_t n, const blank *list)
{
    writer_section(w, title);
    fputs("<table>\n", w->file);
    for (size_t i = 0; i < n; i++)
        fprintf(w->file,
                "<tr><th scope=\"row\">%s<br><small>%s</small></th><td "
                "class=\"field\"></td></tr>\n",
                list[i].what, list[i].column);
    fputs("</table>\n", w->file);
}

/* Empty rows behind their numbers. */
static void write_rows(FILE *out, int from, int to, size_t n, const char *const *column)
{
    fputs("<table class=\"fill\">\n<thead><tr>", out);
    for (size_t i = 0; i < n; i++)
        fprintf(out, "<th scope=\"col\">%s</th>", column[i]);
    fputs("</tr></thead>\n<tbody>\n", out);
    for (int row = from; row <= to; row++) {
        fprintf(out, "<tr><th scope=\"row\">%d</th>", row);
        for (size_t i = 1; i < n; i++)
            fputs("<td></td>", out);
        fputs("</tr>\n", out);
    }
    fputs("</tbody>\n</table>\n", out);
}

static void write_sweep(writer *w, int rows)
{
    static const char *const column[] = {"", "crank_deg", "dial_mm"};
    writer_head(w, "READINGS OF A SWEEP, in the order taken");
    writer_say(w, WRITER_PARAGRAPH,
               "Columns: sweep, setup, crank_deg, dial_mm. Crank degrees are below 0 "
               "before TDC. Forward through the minimum and past TDC, and where the "
               "engine may be turned back, back again.");
    fputs("<div class=\"strips\">\n", w->file);
    for (int k = 0; k < STRIPS; k++)
        write_rows(w->file, k * rows / STRIPS + 1, (k + 1) * rows / STRIPS, COUNT(column),
                   column);
    fputs("</div>\n", w->file);
}

static void write_rounds(writer *w, int rows)
{
    static const char *const column[] = {"", "round", "state", "minimum_mm", "tdc_mm"};
    writer_head(w, "ROUNDS WITHOUT A DEGREE WHEEL");
    writer_say(
        w, WRITER_PARAGRAPH,
        "Columns: job, setup, round, minimum_mm, tdc_mm, state. The state of the "
        "fasteners is loose or tight. Read each round once loose and once tight, "
        "and come to TDC, or where the window is asked for, in running direction.");
    write_rows(w->file, 1, rows, COUNT(column), column);
}

static int fill(output *out, void *job)
{
    const form *f = job;
    html_begin(out->file, "dialarc: a form for the engine");
    writer page = html_writer(out->file), *w = &page;
    writer_head(w, "THE ENGINE");
    writer_say(
        w, WRITER_PARAGRAPH,
        "Only name and lobes are needed; what is not known stays blank, and what "
        "the manufacturer says comes first. The small words are the columns of the "
        "table of engines. Day, place, who:");
    fputs("<p class=\"field\"></p>\n<div class=\"halves\">\n<div>", w->file);
    write_blanks(w, "Engine and window", COUNT(engine), engine);
    fputs("</div>\n<div>", w->file);
    write_blanks(w, "Dial, degree wheel, TDC", COUNT(instruments), instruments);
    fputs("</div>\n<div>", w->file);
    write_blanks(w, "Cam, if known: else it is learned", COUNT(cam), cam);
    fputs("</div>\n</div>\n", w->file);
    writer_say(w, WRITER_NOTE, "tdc_sd_deg is " WORDS_TDC_SD ".");
    fputs("<p class=\"see\">Before you touch the engine: read CAUTION at "
          "the end of these pages.</p>\n",
          w->file);
    if (f->rounds)
        write_rounds(w, f->rows ? f->rows : 20);
    else
        write_sweep(w, f->rows ? f->rows : 60);
    words_meanings(w);
    w->stroke_open = 1;
    words_cautions(w);
    html_end_article(w);
    html_end(out->file);
    return DONE;
}

static int run(const char *who, const void *wished, char **operand)
{
    const wishes *w = wished;
    form f = {.rounds = strcmp(operand[0], "round") == 0, .rows = w->rows};
    if (!f.rounds && strcmp(operand[0], "sweep") != 0)
        return complain(who, operand[0], "there are forms for: sweep, round");
    return output_write(who, w->out, fill, &f);
}

static const command_operand operands[] = {
    {"KIND", "sweep: readings with a degree wheel; round: minimum and TDC without one"},
    {0},
};

static const command_option options[] = {
    {"rows", "N", OPTION_WHOLE, offsetof(wishes, rows), 1, 2000,
     "room for so many readings or rounds (60 and 20 if not given)"},
    COMMAND_OUT(wishes),
    {0},
};

const command form_command = {
    .name = "form",
    .brief = "Print a form to fill in at the engine, as an HTML page.",
    .operand = operands,
    .option = options,
    .statuses = "0 done, 2 nothing was written.",
    .size = sizeof(wishes),
    .run = run,
};
