/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "guide/step_text.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "table/table_format.h"

#define SEEN_TEETH 0.5 /* less of a tooth is nothing that one sees */

typedef struct note {
    const dialarc_setup *setup;
    const dialarc_step *step;
    char *to, *end;
} note;

static void put_some(note *n, const char *text, size_t length)
{
    size_t room = (size_t)(n->end - n->to);
    length = length < room ? length : room;
    memcpy(n->to, text, length);
    n->to += length;
}

static void put(note *n, const char *text)
{
    put_some(n, text, strlen(text));
}

static void put_fixed(note *n, double value, int decimals)
{
    char text[DARC_FORMAT_SIZE];
    put_some(n, text, darc_format_fixed(value, decimals, text));
}

/* As it was entered. */
static void put_entered(note *n, double value)
{
    char text[DARC_FORMAT_SIZE];
    put_some(n, text, darc_format_shortest(value, text));
}

/* With two digits that count. */
static void put_rough(note *n, double value)
{
    put_fixed(n, value, value >= 1.0 ? 1 : value >= 0.1 ? 2 : value >= 0.01 ? 3 : 4);
}

/* A length on the dial: hundredths, and more digits where it has more. */
static void put_length(note *n, double mm)
{
    int decimals = 2;
    for (double scale = 100.0;
         decimals < 4 && fabs(mm * scale - round(mm * scale)) > 1e-4; scale *= 10.0)
        decimals++;
    put_fixed(n, mm, decimals);
}

static void put_percent(note *n, double probability)
{
    if (isnan(probability))
        put(n, "not known");
    else if (probability > 0.99)
        put(n, "more than 99 %");
    else if (probability < 0.01)
        put(n, "less than 1 %");
    else {
        put(n, "about ");
        put_fixed(n, 100.0 * probability, 0);
        put(n, " %");
    }
}

static bool at_mark(const note *n)
{
    return n->setup->window_at == DIALARC_WINDOW_AT_MARK;
}

static bool forward_only(const note *n)
{
    return n->setup->turn_back == DIALARC_TURN_BACK_FORBIDDEN;
}

/* "TDC", "the mark", "12 crank degrees after TDC". */
static void put_place(note *n)
{
    double crank = n->setup->window_crank_deg;
    if (!isnan(crank) && crank != 0.0) {
        put_entered(n, fabs(crank));
        put(n, crank < 0.0 ? " crank degrees before " : " crank degrees after ");
    }
    put(n, at_mark(n) ? "the mark" : "TDC");
}

static void put_two_turns(note *n)
{
    put(n, forward_only(n) ? "turn the engine two full crank turns by hand, forward only"
                           : "turn the engine two full crank turns by hand");
}

static void say_better_first(note *n)
{
    const dialarc_advice weakest = n->step->advice;
    if (weakest == DIALARC_ADVICE_READ_AGAIN && n->step->of_rounds) {
        put(n, "Before anything is moved, read the minimum and ");
        put_place(n);
        put(n, " once or twice more and add the rows to this round.");
    } else if (weakest == DIALARC_ADVICE_READ_AGAIN && forward_only(n)) {
        put(n, "The readings are the weakest point. Before anything is moved, take the "
               "sweep again: more readings, in smaller steps, forward only, for this "
               "engine must not be turned back; and wait for the needle to stand still.");
    } else if (weakest == DIALARC_ADVICE_LEARN_CAM && forward_only(n)) {
        put(n, "The cam is the weakest point. Before anything is moved, take a longer "
               "sweep in smaller steps, forward only, for this engine must not be turned "
               "back; or enter the cam's law and angles.");
    } else if (weakest == DIALARC_ADVICE_FIND_TDC && at_mark(n)) {
        put(n, "How the mark is met is the weakest point. Before anything is moved, come "
               "to it again in running direction, lock it by its pin if it has one");
        put(n, n->step->of_rounds ? "." : ", and set the degree wheel to 0 there.");
    } else {
        put(n, dialarc_advice_text(weakest));
    }
}

static void say_tdc_needed(note *n)
{
    const bool mark = at_mark(n);
    if (n->step->tdc_sd_needed_deg == 0.0) {
        put(n, mark ? "Were the meeting of the mark exact" : "Were TDC exact");
        put(n, ", this window could not be decided yet: the rest of the uncertainty must "
               "become smaller too.");
        return;
    }
    put(n, mark ? "The mark must be met to +- " : "TDC must be known to +- ");
    put_rough(n, n->step->tdc_sd_needed_deg);
    put(n, " crank degrees (sd) for this window; ");
    if (!isnan(n->setup->tdc_sd_deg))
        put(n, "tdc_sd_deg says ");
    else if (mark)
        put(n, "tdc_sd_deg is blank, and it is assumed to be met to ");
    else
        put(n, "tdc_sd_deg is blank, and the mark is assumed to stand within ");
    put_entered(n, n->step->tdc_sd_deg);
    put(n, ".");
}

/* The dial sits at the other end than the drive, so whoever reads it sees it turn the
 * other way. */
static void put_seen(note *n, int way)
{
    const bool clockwise = way == DIALARC_ROTATION_CW;
    if (way == DIALARC_ROTATION_UNKNOWN)
        return;
    put(n,
        clockwise
            ? ", clockwise seen from the drive end and counter-clockwise from the dial,"
            : ", counter-clockwise seen from the drive end and clockwise from the "
              "dial,");
}

static void put_body(note *n, bool earlier)
{
    put(n, earlier ? "body against the running direction of its shaft"
                   : "body in the running direction of its shaft");
}

static void put_extent(note *n)
{
    const dialarc_step *s = n->step;
    const bool body = n->setup->turned == DIALARC_TURNED_BODY;
    const double radius = body ? n->setup->body_radius_mm : n->setup->sprocket_radius_mm;
    const bool along = !isnan(s->turn_along_mm) && !isnan(radius);
    const bool teeth = !body && isgreaterequal(fabs(s->turn_teeth), SEEN_TEETH);
    if (along) {
        put(n, " That is ");
        put_fixed(n, fabs(s->turn_along_mm), 1);
        put(n, body ? " mm at " : " mm along the rim at ");
        put_entered(n, radius);
        put(n, " mm radius");
    }
    if (teeth) {
        put(n, along ? ", or " : " That is ");
        put_fixed(n, fabs(s->turn_teeth), 2);
        put(n, " of a sprocket tooth");
    }
    if (along || teeth)
        put(n, ".");
}

static void say_turn(note *n)
{
    const dialarc_step *s = n->step;
    const bool body = n->setup->turned == DIALARC_TURNED_BODY;
    const bool earlier = s->turn_pump_deg > 0.0;
    put(n, "With the fasteners loose, turn the pump ");
    if (isnan(s->turn_pump_deg)) {
        put(n, "a little: the ");
        if (body)
            put_body(n, true);
        else
            put(n, "shaft forward, in its running direction");
        put(n, ", for more lift and earlier delivery, the other way for less. How far "
               "cannot be told without knowing the cam.");
        return;
    }
    if (body)
        put_body(n, earlier);
    else
        put(n, earlier ? "shaft forward in its running direction"
                       : "shaft back against its running direction");
    put_seen(n, (int)s->turn_rotation);
    put(n, " by ");
    put_fixed(n, fabs(s->turn_pump_deg), 2);
    put(n, " pump degrees while the crank stands still.");
    put_extent(n);
    put(n, earlier ? " This makes delivery earlier." : " This makes delivery later.");
    if (n->setup->turned == DIALARC_TURNED_UNKNOWN) {
        put(n, " Where the pump body is turned and not the shaft, turn the ");
        put_body(n, earlier);
        put_seen(n, -(int)s->turn_rotation);
        put(n, " as far.");
    }
}

static void say_come_forward(note *n)
{
    if (forward_only(n)) {
        put(n,
            "Nip the fasteners so that nothing slips, take out every locking pin, and "
            "turn the engine forward in its running direction by nearly two full crank "
            "turns, then slowly on up to ");
        put_place(n);
        put(n, " without going past it. It must not be turned back: once past, go round "
               "again.");
        return;
    }
    put(n,
        "Nip the fasteners so that nothing slips, take out every locking pin, turn the "
        "crank back by ");
    put_fixed(n, n->step->back_crank_deg, 0);
    put(n, " degrees or more, then come forward to ");
    put_place(n);
    put(n, " without going past it: coming forward takes the slack out of the drive.");
    if (n->setup->turn_back != DIALARC_TURN_BACK_ALLOWED)
        put(n, " Where the maker forbids turning back, go nearly two crank turns forward "
               "instead.");
}

static void say_aim(note *n)
{
    put(n, "Aim: the dial should then stand ");
    put_length(n, n->step->aim_mm);
    put(n, n->setup->dial_sense < 0 ? " mm below" : " mm above");
    put(n, " its reading at the minimum, before you tighten. The chance to be in the "
           "window after tightening is then ");
    put_percent(n, n->step->aim_probability_in);
    put(n, ".");
}

static void say_tighten(note *n)
{
    if (n->step->advice == DIALARC_ADVICE_TIGHTEN)
        put(n, "This setting is as good as another attempt would make it. ");
    put(n, n->step->of_rounds ? "Tighten, take out every locking pin, "
                              : "Tighten, and take out every locking pin; ");
    put_two_turns(n);
    if (!n->step->of_rounds) {
        put(n, ", and take the sweep again: tightening moves the setting.");
        return;
    }
    put(n, ", read the minimum and ");
    put_place(n);
    put(n, " again, and add the row to the table.");
}

static void say_leave_small(note *n)
{
    const dialarc_step *s = n->step;
    put(n, "Leave the pump as it is: ");
    if (!(fabs(s->turn_pump_deg) < s->turn_u_pump_deg)) {
        put(n, "a correction so small would not better its chance, for tightening moves "
               "the setting by more.");
        return;
    }
    put(n, "the correction to mid-window, ");
    put_fixed(n, fabs(s->turn_pump_deg), 2);
    put(n, " pump degrees, is smaller than its own uncertainty of ");
    put_fixed(n, s->turn_u_pump_deg, 2);
    put(n, ".");
}

static void say_torque(note *n)
{
    put(n,
        n->step->of_rounds
            ? "See that every fastener that was loosened has the torque that the maker "
              "gives; where one had to be turned further, read once more."
            : "If the fasteners are not tight yet, tighten them to the torque that the "
              "maker gives, and take the sweep again: tightening moves the setting.");
}

static void say_turn_by_hand(note *n)
{
    put(n, "Take out every locking pin, ");
    put_two_turns(n);
    put(n, ", stop at any resistance, and read the minimum and ");
    put_place(n);
    put(n, " once more: the dial should show the same.");
}

static void say(note *n)
{
    switch (n->step->code) {
    case DIALARC_STEP_NONE:
        break;
    case DIALARC_STEP_FIND_WINDOW:
        put(n, "Look up the lift that the manufacturer asks for, and enter it as "
               "lift_low_mm and lift_high_mm of this engine; and where it is asked for, "
               "as window_at and window_crank_deg.");
        break;
    case DIALARC_STEP_PUT_RIGHT:
        put(n, "Do not set the pump by these readings. Put right what the findings say, "
               "and ");
        put(n, n->step->of_rounds ? "read this round again." : "take the sweep again.");
        break;
    case DIALARC_STEP_SEE_CAUTIONS:
        put(n, "First see to the findings that say caution.");
        break;
    case DIALARC_STEP_BETTER_FIRST:
        say_better_first(n);
        break;
    case DIALARC_STEP_TDC_NEEDED:
        say_tdc_needed(n);
        break;
    case DIALARC_STEP_ALL_THE_SAME:
        put(n, "If it is to be set anew all the same, to mid-window:");
        break;
    case DIALARC_STEP_TURN:
        say_turn(n);
        break;
    case DIALARC_STEP_WHOLE_TOOTH:
        put(n, "This is near to a whole tooth or more: first look whether belt, chain or "
               "gears are a tooth out.");
        break;
    case DIALARC_STEP_COME_FORWARD:
        say_come_forward(n);
        break;
    case DIALARC_STEP_AIM:
        say_aim(n);
        break;
    case DIALARC_STEP_TIGHTEN:
        say_tighten(n);
        break;
    case DIALARC_STEP_LEAVE_SMALL:
        say_leave_small(n);
        break;
    case DIALARC_STEP_LEAVE_GOOD:
        put(n, "Leave the pump as it is.");
        break;
    case DIALARC_STEP_TORQUE:
        say_torque(n);
        break;
    case DIALARC_STEP_TURN_BY_HAND:
        say_turn_by_hand(n);
        break;
    case DIALARC_STEP_CLOSE_UP:
        put(n, "Take the dial out and close its hole with a new seal, and put a "
               "cold-start advance that was out of action back.");
        break;
    case DIALARC_STEP_FUEL:
        put(n, "Join the fuel lines to the torque that the maker gives, and bleed them "
               "as he says.");
        break;
    case DIALARC_STEP_LEAKS:
        put(n, "Start the engine and look for leaks from a distance, with a piece of "
               "card, never with a hand. Stop it before anything is tightened.");
        break;
    }
}

size_t darc_step_text(const dialarc_setup *setup, const dialarc_step *step, char *text,
                      size_t size)
{
    note n = {.setup = setup, .step = step, .to = text, .end = text + size - 1};
    say(&n);
    *n.to = '\0';
    return (size_t)(n.to - text);
}
