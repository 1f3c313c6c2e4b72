/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the dial shows at each crank angle about TDC when the pump is set right: a page
 * for the wall of the shop, or a table for other programs.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>

#include "commands.h"
#include "complain.h"
#include "csv.h"
#include "engine.h"
#include "output.h"
#include "page.h"
#include "words.h"

enum { ROWS_MAX = 2000 };

typedef struct wishes {
    const char *cams, *cam, *out;
    double from_deg, to_deg, step_deg;
    int csv;
} wishes;

typedef struct sheet {
    const char *who;
    const wishes *wishes;
    engine engine;
    int rows;
} sheet;

/* Lifts at a crank angle when the pump stands low, in the middle and high. */
static void lifts_at(const sheet *s, double crank_deg, double *lift_mm)
{
    const engine *e = &s->engine;
    for (int i = 0; i < 3; i++) {
        double at = e->tdc_deg[i] + crank_deg / e->crank_per_pump;
        lift_mm[i] = 0.0;
        dialarc_cam_lift(&e->cam, at, &lift_mm[i]); /* cam and angle are good */
    }
}

static double crank_at(const sheet *s, int row)
{
    return s->wishes->from_deg + row * s->wishes->step_deg;
}

static void say_csv(FILE *out, const sheet *s)
{
    double lift[3];
    fputs("crank_deg,lift_low_mm,lift_mm,lift_high_mm\n", out);
    for (int row = 0; row < s->rows; row++) {
        lifts_at(s, crank_at(s, row), lift);
        fprintf(out, "%g", page_round(crank_at(s, row), 6));
        for (int i = 0; i < 3; i++)
            csv_number(out, page_round(lift[i], 5), 5);
        fputc('\n', out);
    }
}

static void say_page(FILE *out, const sheet *s)
{
    const engine *e = &s->engine;
    double lift[3];
    char place[64];
    page_head(out, "LIFT ABOUT TDC, %s", e->name);
    page_say(out, "  Window        ", "%.3f to %.3f mm at %s: %.2f crank degrees wide",
             e->limit_mm[0], e->limit_mm[2], page_place(e->setup, place),
             e->crank_per_pump * (e->tdc_deg[2] - e->tdc_deg[0]));
    fputs("\n  crank, degrees      lift from the minimum, mm\n"
          "  from TDC            set low    in the middle    set high\n",
          out);
    for (int row = 0; row < s->rows; row++) {
        double crank = page_round(crank_at(s, row), 6);
        lifts_at(s, crank, lift);
        fprintf(out, "  %8.4g%s %14.3f %14.3f %14.3f\n", crank,
                fabs(crank) < 1e-9 ? " TDC" : "    ", lift[0], lift[1], lift[2]);
    }
    fputc('\n', out);
    page_say(out, "  Note          ",
             "Turn in running direction only, and take the slack up first: below 0 is "
             "before TDC.");
    writer page = page_writer(out);
    words_cautions(&page);
}

static int fill(output *out, void *job)
{
    const sheet *s = job;
    if (s->wishes->csv)
        say_csv(out->file, s);
    else
        say_page(out->file, s);
    return DONE;
}

static int count_rows(sheet *s)
{
    const wishes *w = s->wishes;
    double rows = floor((w->to_deg - w->from_deg) / w->step_deg + 1e-9) + 1.0;
    if (!(w->step_deg > 0.0 && rows >= 1.0 && rows <= ROWS_MAX))
        return complain(s->who, "--step",
                        "from --from to --to there must be 1 to 2000 rows");
    s->rows = (int)rows;
    return DONE;
}

static int run(const char *who, const void *wished, char **operand)
{
    sheet s = {.who = who, .wishes = wished};
    int result = count_rows(&s);
    if (result != DONE)
        return result;
    result = engine_open(who, operand[0], operand[1], s.wishes->cams, s.wishes->cam,
                         &s.engine);
    if (result == DONE)
        result = output_write(who, s.wishes->out, fill, &s);
    engine_close(&s.engine);
    return result;
}

static const wishes defaults = {.from_deg = -20.0, .to_deg = 10.0, .step_deg = 1.0};

static const command_operand operands[] = {
    {"SETUPS", "table of engines"},
    {"ENGINE", "its name; its window must stand in the table, and its cam unless --cams"},
    {0},
};

static const command_option options[] = {
    {"from", "DEG", OPTION_NUMBER, offsetof(wishes, from_deg), 0, 0,
     "first crank angle, below 0 before TDC (-20 if not given)"},
    {"to", "DEG", OPTION_NUMBER, offsetof(wishes, to_deg), 0, 0,
     "last crank angle (10 if not given)"},
    {"step", "DEG", OPTION_NUMBER, offsetof(wishes, step_deg), 0, 0,
     "crank degrees from row to row (1 if not given)"},
    ENGINE_CAM(wishes),
    {"csv", NULL, OPTION_FLAG, offsetof(wishes, csv), 0, 0,
     "a table for other programs instead of a page"},
    COMMAND_OUT(wishes),
    {0},
};

const command chart_command = {
    .name = "chart",
    .brief = "List the lift at each crank angle about TDC, for the wall.",
    .operand = operands,
    .option = options,
    .more = COMMAND_TABLES,
    .statuses = "0 done, 1 cam or window are not known, 2 nothing was written.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .run = run,
};
