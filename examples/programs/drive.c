/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A belt drive in crank degrees: a tooth, play, stretch, and cold against hot.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>

#include "commands.h"
#include "complain.h"
#include "output.h"
#include "page.h"

enum { TEETH_MAX = 1000 };

/* A wheel of aluminium and a belt with glass cord, 1/K: from memory. */
#define ENGINE_PER_K 2.3e-5
#define BELT_PER_K   0.5e-5

#define SHOWN_DEG 10.0 /* on the flywheel */

typedef struct wishes {
    const char *out;
    double pitch_mm, play_mm, stretch_mm, run_mm, warming_k, flywheel_mm;
} wishes;

typedef struct sums {
    const wishes *wishes;
    dialarc_stage stage;
    double crank_per_pump, tooth_deg, slack_deg, stretch_deg, warm_mm, warm_deg;
    double arc_mm, chord_mm;
} sums;

static void say_late(FILE *out, const char *lead, double mm, double late_deg)
{
    page_say(out, lead, "%.2f mm make the pump %.2f crank degrees %s", mm, fabs(late_deg),
             late_deg < 0.0 ? "earlier" : "later");
}

static int fill(output *out, void *job)
{
    const sums *s = job;
    const wishes *w = s->wishes;
    page_head(out->file, "BELT DRIVE, %d teeth drive %d", s->stage.driving_teeth,
              s->stage.driven_teeth);
    page_say(out->file, "  Ratio         ", "%.4g crank turns for one of the pump",
             s->crank_per_pump);
    page_say(out->file, "  A tooth       ",
             "%.2f crank degrees, whichever wheel it is missed at", s->tooth_deg);
    if (w->play_mm > 0.0)
        page_say(out->file, "  Slack         ", "%.2f mm are %.2f crank degrees",
                 w->play_mm, s->slack_deg);
    if (w->stretch_mm > 0.0)
        say_late(out->file, "  Stretch       ", w->stretch_mm, s->stretch_deg);
    if (!isnan(w->run_mm))
        say_late(out->file, "  Cold to hot   ", s->warm_mm, s->warm_deg);
    if (!isnan(w->flywheel_mm))
        page_say(out->file, "  Flywheel      ",
                 "%.0f degrees are %.2f mm along the rim by tape, %.2f mm across by "
                 "dividers",
                 SHOWN_DEG, s->arc_mm, s->chord_mm);
    page_say(out->file, "  Caution       ",
             "A belt engine can be wrecked by a belt that is fitted wrongly. The maker's "
             "literature says at which temperature the timing is set.");
    return DONE;
}

static dialarc_status work_out(sums *s)
{
    const wishes *w = s->wishes;
    double pump_deg;
    int sense;
    dialarc_status status = dialarc_drive_ratio(1, &s->stage, &s->crank_per_pump, &sense);
    if (status == DIALARC_OK)
        status = dialarc_drive_tooth(1, &s->stage, 0, &s->tooth_deg, &pump_deg);
    if (status == DIALARC_OK)
        status = dialarc_drive_slack(1, &s->stage, &s->slack_deg);
    if (status == DIALARC_OK)
        status = dialarc_drive_stretch(1, &s->stage, &s->stretch_deg);
    s->stretch_deg = -s->stretch_deg; /* later, as it is told */
    if (status == DIALARC_OK && !isnan(w->run_mm))
        status = dialarc_drive_warming(w->run_mm, w->warming_k, ENGINE_PER_K, BELT_PER_K,
                                       &s->warm_mm);
    if (status == DIALARC_OK)
        status = dialarc_drive_arc(1, &s->stage, 0, s->warm_mm, &s->warm_deg);
    if (status == DIALARC_OK && !isnan(w->flywheel_mm))
        status = dialarc_angle_rim_arc(SHOWN_DEG, w->flywheel_mm, &s->arc_mm);
    if (status == DIALARC_OK && !isnan(w->flywheel_mm))
        status = dialarc_flywheel_chord(SHOWN_DEG, w->flywheel_mm, &s->chord_mm);
    return status;
}

static int read_teeth(const char *who, const char *text, int *teeth)
{
    double number;
    if (!command_number(text, &number) || !(number >= 1.0 && number <= TEETH_MAX) ||
        number != floor(number))
        return complain(who, text, "a number of teeth is wanted, 1 to 1000");
    *teeth = (int)number;
    return DONE;
}

static int run(const char *who, const void *wished, char **operand)
{
    const wishes *w = wished;
    sums s = {.wishes = w};
    s.stage = (dialarc_stage){
        .pitch_mm = w->pitch_mm, .play_mm = w->play_mm, .stretch_mm = w->stretch_mm};
    if (read_teeth(who, operand[0], &s.stage.driving_teeth) != DONE ||
        read_teeth(who, operand[1], &s.stage.driven_teeth) != DONE)
        return FAILED;
    dialarc_status status = work_out(&s);
    return status == DIALARC_OK ? output_write(who, w->out, fill, &s)
                                : complain(who, "drive", dialarc_status_text(status));
}

static const wishes defaults = {.pitch_mm = 9.525,
                                .run_mm = DIALARC_UNKNOWN,
                                .warming_k = 65.0,
                                .flywheel_mm = DIALARC_UNKNOWN};

static const command_operand operands[] = {
    {"CRANK", "teeth of the sprocket on the crank"},
    {"PUMP", "teeth of the sprocket on the pump"},
    {0},
};

static const command_option options[] = {
    {"pitch", "MM", OPTION_NUMBER, offsetof(wishes, pitch_mm), 0, 0,
     "pitch of the belt's teeth (9.525 if not given)"},
    {"play", "MM", OPTION_NUMBER, offsetof(wishes, play_mm), 0, 0,
     "how far the belt moves before the pump follows"},
    {"stretch", "MM", OPTION_NUMBER, offsetof(wishes, stretch_mm), 0, 0,
     "by how much the tight run has grown since the setting"},
    {"run", "MM", OPTION_NUMBER, offsetof(wishes, run_mm), 0, 0,
     "length of the tight run from crank to pump: gives cold against hot, for aluminium "
     "and a belt with glass cord"},
    {"warming", "K", OPTION_NUMBER, offsetof(wishes, warming_k), 0, 0,
     "from cold to hot, kelvins (65 if not given)"},
    {"flywheel", "MM", OPTION_NUMBER, offsetof(wishes, flywheel_mm), 0, 0,
     "radius at which degrees are marked on the flywheel: arc and chord"},
    COMMAND_OUT(wishes),
    {0},
};

const command drive_command = {
    .name = "drive",
    .brief = "Turn teeth, play, stretch and warmth of a belt into degrees.",
    .operand = operands,
    .option = options,
    .statuses = "0 done, 2 nothing was written.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .run = run,
};
