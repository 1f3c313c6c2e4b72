/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A lift at TDC that is far off: is the drive fitted a tooth out, or is it the setting?
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "commands.h"
#include "complain.h"
#include "engine.h"
#include "output.h"
#include "page.h"

typedef struct wishes {
    const char *cams, *cam, *out;
    double sd_mm, setting_sd_deg, share;
    int falling;
} wishes;

typedef struct question {
    const wishes *wishes;
    engine engine;
    double lift_mm, tooth_pump_deg;
    dialarc_tooth tooth;
} question;

static void say_answer(FILE *out, const dialarc_tooth *t)
{
    char sure[32];
    if (t->probability_neither > t->probability)
        page_say(out, "  Likeliest     ",
                 "neither teeth nor a wrong setting (%s): look for another pump, a "
                 "sheared key, a cold-start advance left in, a dial that is misread.",
                 page_percent(t->probability_neither, sure));
    else if (t->teeth == 0)
        page_say(out, "  Likeliest     ",
                 "a wrong setting (%s): turn the pump, not the sprocket.",
                 page_percent(t->probability, sure));
    else
        page_say(out, "  Likeliest     ", "the pump sprocket sits %d %s %s (%s).",
                 abs(t->teeth), abs(t->teeth) == 1 ? "tooth" : "teeth",
                 t->teeth > 0 ? "early" : "late", page_percent(t->probability, sure));
    page_say(out, "  Any teeth     ", "%s", page_percent(t->probability_jumped, sure));
    page_say(out, "  Neither       ", "%s", page_percent(t->probability_neither, sure));
}

static int fill(output *out, void *job)
{
    const question *q = job;
    const engine *e = &q->engine;
    char place[64];
    page_head(out->file, "TEETH, %s: %.3f mm at %s, %s", e->name, q->lift_mm,
              page_place(e->setup, place), q->wishes->falling ? "falling" : "rising");
    page_say(out->file, "  Wanted        ", "%.3f mm, on the rise", e->limit_mm[1]);
    page_say(out->file, "  A tooth       ", "%.2f crank degrees",
             q->tooth_pump_deg * e->crank_per_pump);
    say_answer(out->file, &q->tooth);
    page_say(
        out->file, "  Caution       ",
        "Valves meet pistons when a belt is fitted wrongly: check the marks of crank "
        "and camshaft by the maker's literature before the crank is turned.");
    return DONE;
}

static int answer(const char *who, question *q)
{
    const wishes *w = q->wishes;
    const engine *e = &q->engine;
    if (e->setup->sprocket_teeth < 1) {
        complain(who, e->name, "sprocket_teeth must stand in the table of engines");
        return SOME_UNUSABLE;
    }
    q->tooth_pump_deg = 360.0 / e->setup->sprocket_teeth;
    dialarc_status status = dialarc_tooth_from_lift(
        &e->cam, e->limit_mm[1], q->lift_mm, w->sd_mm,
        w->falling ? DIALARC_FLANK_FALLING : DIALARC_FLANK_RISING, q->tooth_pump_deg,
        w->setting_sd_deg / e->crank_per_pump, w->share, &q->tooth);
    if (status == DIALARC_OK)
        return output_write(who, w->out, fill, q);
    complain(who, e->name, dialarc_status_text(status));
    return SOME_UNUSABLE;
}

static int run(const char *who, const void *wished, char **operand)
{
    question q = {.wishes = wished};
    if (!command_number(operand[2], &q.lift_mm))
        return complain(who, operand[2], "a lift is wanted, mm, with a decimal point");
    int result = engine_open(who, operand[0], operand[1], q.wishes->cams, q.wishes->cam,
                             &q.engine);
    if (result == DONE)
        result = answer(who, &q);
    engine_close(&q.engine);
    return result;
}

/* Common practice, no source. */
static const wishes defaults = {.sd_mm = 0.02, .setting_sd_deg = 1.5, .share = 0.02};

static const command_operand operands[] = {
    {"SETUPS", "table of engines"},
    {"ENGINE", "its name; window and sprocket_teeth must stand in the table, and its cam "
               "unless --cams"},
    {"LIFT", "what was read where the window is asked for, from the minimum, mm"},
    {0},
};

static const command_option options[] = {
    {"falling", NULL, OPTION_FLAG, offsetof(wishes, falling), 0, 0,
     "the dial falls when the crank is turned on a little: TDC lies behind the top"},
    {"sd", "MM", OPTION_NUMBER, offsetof(wishes, sd_mm), 0, 0,
     "standard uncertainty of the lift (0.02 if not given)"},
    {"setting-sd", "DEG", OPTION_NUMBER, offsetof(wishes, setting_sd_deg), 0, 0,
     "how far settings are out as a rule, crank degrees (1.5 if not given)"},
    {"share", "P", OPTION_NUMBER, offsetof(wishes, share), 0, 0,
     "share of drives that are fitted wrongly (0.02 if not given)"},
    ENGINE_CAM(wishes),
    COMMAND_OUT(wishes),
    {0},
};

const command tooth_command = {
    .name = "tooth",
    .brief = "Tell a drive fitted a tooth out from a wrong setting.",
    .operand = operands,
    .option = options,
    .more = COMMAND_TABLES,
    .statuses = "0 answered, 1 not enough is known, 2 nothing was written.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .run = run,
};
