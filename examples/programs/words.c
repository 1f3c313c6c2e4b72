/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words.h"

#include <math.h>
#include <string.h>

#include "page.h"

/* So near to a tooth, or more, and a tooth is the likelier cause. */
#define WHOLE_TOOTH 0.75

const char *words_of_verdict(dialarc_verdict verdict)
{
    switch (verdict) {
    case DIALARC_VERDICT_IN:
        return "GOOD";
    case DIALARC_VERDICT_LOW:
        return "TOO LATE";
    case DIALARC_VERDICT_HIGH:
        return "TOO EARLY";
    case DIALARC_VERDICT_UNDECIDED:
        return "NOT SURE";
    case DIALARC_VERDICT_NONE:
    case DIALARC_VERDICT_UNUSABLE:
        break;
    }
    return "NO VERDICT";
}

void words_verdict(writer *w, const dialarc_setup *setup, const dialarc_decision *d)
{
    char percent[32], place[64];
    if (!isnan(setup->lift_low_mm))
        writer_fact(w, "Window", "%.3f to %.3f mm at %s, the middle is %.3f mm",
                    setup->lift_low_mm, setup->lift_high_mm, page_place(setup, place),
                    (setup->lift_low_mm + setup->lift_high_mm) / 2.0);
    writer_fact(w, "Verdict", "%s. %s", words_of_verdict(d->verdict),
                dialarc_verdict_text(d->verdict));
    if (!isnan(d->probability_in))
        writer_say(w, WRITER_MORE, "Chance that it lies in the window: %s.",
                   page_percent(d->probability_in, percent));
}

void words_caution(writer *w, const dialarc_findings *findings)
{
    if (dialarc_findings_worst(findings) >= DIALARC_SEVERITY_CAUTION)
        writer_say(w, WRITER_STEP, "First see to the findings below that say caution.");
}

void words_tdc(writer *w, const dialarc_setup *setup, const dialarc_decision *d)
{
    int mark = setup->window_at == DIALARC_WINDOW_AT_MARK;
    int stated = !isnan(setup->tdc_sd_deg);
    double needed = d->tdc_sd_needed_deg;
    if (isnan(needed) || (stated && needed >= d->tdc_sd_deg))
        return;
    if (needed == 0.0)
        writer_say(w, WRITER_UNDER,
                   "Were %s exact, this window could not be decided yet: the rest of the "
                   "uncertainty must become smaller too.",
                   mark ? "the meeting of the mark" : "TDC");
    else
        writer_say(
            w, WRITER_UNDER, "%s to +- %.2g crank degrees (sd) for this window; %s %.2g.",
            mark ? "The mark must be met" : "TDC must be known", needed,
            stated ? "tdc_sd_deg says"
            : mark ? "tdc_sd_deg is blank, and it is assumed to be met to"
                   : "tdc_sd_deg is blank, and the mark is assumed to stand within",
            d->tdc_sd_deg);
}

/* "1.6 mm along the rim (at 66 mm radius), 0.17 teeth", as far as the setup allows. */
static void describe_turn(const dialarc_setup *setup, const dialarc_decision *d,
                          char *text, size_t size)
{
    size_t used = 0;
    text[0] = '\0';
    if (setup->turned == DIALARC_TURNED_BODY) {
        if (!isnan(d->turn_body_mm))
            snprintf(text, size, " That is %.1f mm at %g mm radius.",
                     fabs(d->turn_body_mm), setup->body_radius_mm);
        return;
    }
    if (!isnan(d->turn_rim_mm))
        used +=
            (size_t)snprintf(text, size, " That is %.1f mm along the rim at %g mm radius",
                             fabs(d->turn_rim_mm), setup->sprocket_radius_mm);
    if (!isnan(d->turn_teeth))
        used += (size_t)snprintf(text + used, size - used, "%s %.2f of a sprocket tooth",
                                 used ? ", or" : " That is", fabs(d->turn_teeth));
    if (used)
        snprintf(text + used, size - used, ".");
}

static const char *seen_from_the_drive(const dialarc_decision *d, int body)
{
    int way = body ? -(int)d->turn_rotation : (int)d->turn_rotation;
    return way == DIALARC_ROTATION_CW    ? ", clockwise seen from the drive end,"
           : way == DIALARC_ROTATION_CCW ? ", counter-clockwise seen from the drive end,"
                                         : "";
}

void words_turn(writer *w, const dialarc_setup *setup, const dialarc_decision *d)
{
    if (isnan(d->turn_pump_deg)) {
        writer_say(
            w, WRITER_STEP,
            "With the fasteners loose, turn the pump a little: the %s, for more lift "
            "and earlier delivery, the other way for less. How far cannot be told "
            "without knowing the cam.",
            setup->turned == DIALARC_TURNED_BODY
                ? "body against the running direction of its shaft"
                : "shaft forward, in its running direction");
        return;
    }
    char extent[160];
    describe_turn(setup, d, extent, sizeof extent);
    int forward = d->turn_pump_deg > 0.0, body = setup->turned == DIALARC_TURNED_BODY;
    writer_say(
        w, WRITER_STEP,
        "With the fasteners loose, turn the pump %s %s%s by %.2f pump degrees while "
        "the crank stands still.%s This makes delivery %s.%s",
        body ? "body" : "shaft",
        body      ? forward ? "against the running direction of its shaft"
                            : "in the running direction of its shaft"
        : forward ? "forward in its running direction"
                  : "back against its running direction",
        seen_from_the_drive(d, body), fabs(d->turn_pump_deg), extent,
        forward ? "earlier" : "later",
        setup->turned == DIALARC_TURNED_UNKNOWN
            ? " Where the pump body is turned and not the shaft, turn it as far the "
              "other way."
            : "");
    if (fabs(d->turn_teeth) >= WHOLE_TOOTH)
        writer_say(
            w, WRITER_UNDER,
            "This is near to a whole tooth or more: first look whether belt, chain or "
            "gears are a tooth out.");
}

void words_aim(writer *w, const dialarc_setup *setup, const dialarc_decision *d,
               double slack_crank_deg)
{
    char percent[32], place[64];
    double slack = isnan(slack_crank_deg) ? 5.0 : ceil(slack_crank_deg / 5.0) * 5.0;
    page_place(setup, place);
    if (setup->turn_back == DIALARC_TURN_BACK_FORBIDDEN)
        writer_say(
            w, WRITER_STEP,
            "Turn the engine forward in its running direction, two full crank turns "
            "on, up to %s without going past it. It must not be turned back: once "
            "past, go round again.",
            place);
    else
        writer_say(w, WRITER_STEP,
                   "Turn the crank back by %.0f degrees or more, then come forward to %s "
                   "without going past it: coming forward takes the slack out of the "
                   "drive.%s",
                   20.0 + slack, place,
                   setup->turn_back == DIALARC_TURN_BACK_ALLOWED
                       ? ""
                       : " Where the maker forbids turning back, come round forward "
                         "instead.");
    if (!isnan(d->aim_mm))
        writer_say(
            w, WRITER_UNDER,
            "Aim: the dial should then stand %.3f mm %s its reading at the minimum, "
            "before you tighten. The chance to be in the window after tightening is "
            "then %s.",
            d->aim_mm, setup->dial_sense < 0 ? "below" : "above",
            page_percent(d->aim_probability_in, percent));
}

void words_leave(writer *w, const dialarc_decision *d)
{
    if (fabs(d->turn_pump_deg) < d->turn_u_pump_deg)
        writer_say(w, WRITER_STEP,
                   "Leave the pump as it is: the correction to mid-window, %.2f pump "
                   "degrees, is smaller than its own uncertainty of %.2f.",
                   fabs(d->turn_pump_deg), d->turn_u_pump_deg);
    else
        writer_say(w, WRITER_STEP,
                   "Leave the pump as it is: a correction so small would not better its "
                   "chance, for tightening moves the setting by more.");
}

const char *words_no_window(void)
{
    return "Look up the lift that the manufacturer asks for, and enter it as "
           "lift_low_mm and lift_high_mm of this engine; and where it is asked for, as "
           "window_at and window_crank_deg.";
}

void words_findings(writer *w, const dialarc_setup *setup,
                    const dialarc_findings *findings, const char *what,
                    const size_t *line, const char *file)
{
    const char *slash = strrchr(file, '/');
    char at[64];
    int any = 0;
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++) {
        dialarc_finding finding = (dialarc_finding)k;
        if (!dialarc_findings_has(findings, finding))
            continue;
        if (!any++)
            writer_section(w, "Findings");
        char place[PAGE_TEXT / 2] = "";
        size_t row = findings->row[k];
        if (row != DIALARC_NO_ROW)
            snprintf(place, sizeof place, " (%s %zu, line %zu of %.200s)", what, row + 1,
                     line[row], slash ? slash + 1 : file);
        writer_say(w, WRITER_ITEM, "%s: %s%s",
                   dialarc_severity_text(findings->severity[k]),
                   dialarc_finding_text(finding), place);
    }
    if (any && setup->turn_back == DIALARC_TURN_BACK_FORBIDDEN)
        writer_say(w, WRITER_NOTE,
                   "This engine must not be turned back: where that is said above, come "
                   "round forward instead.");
    if (any && strcmp(page_place(setup, at), "TDC") != 0)
        writer_say(w, WRITER_NOTE, "TDC stands for %s above.", at);
}

void words_meanings(writer *w)
{
    writer_head(w, "WORDS");
    writer_say(
        w, WRITER_PARAGRAPH,
        "Lift at TDC: how far the plunger has risen from its minimum when the timed "
        "cylinder stands at firing TDC. More lift: delivery starts earlier.");
    writer_say(
        w, WRITER_PARAGRAPH,
        "Crank degrees are read at the crank, pump degrees at the shaft of the pump.");
    writer_say(w, WRITER_PARAGRAPH,
               "Slack: what the crank turns before the pump follows. Hysteresis: by how "
               "much the dial shows less on the way up than on the way down.");
}

void words_cautions(writer *w)
{
    writer_head(w, "CAUTION");
    writer_say(w, WRITER_PARAGRAPH,
               "The manufacturer's service literature comes first, then local rules "
               "and licensed practice. Check the window and the way of measuring "
               "against it.");
    writer_say(
        w, WRITER_PARAGRAPH,
        "Before every measurement: give the dial 1 to 2 mm of preload and leave it "
        "travel beyond full lift, put a cold-start advance out of action, and take "
        "every locking pin out before the engine is turned.");
    writer_say(w, WRITER_PARAGRAPH,
               "Fuel under high pressure goes through skin: never feel for a leak "
               "with a hand, and never loosen a line while the engine runs.");
    writer_say(w, WRITER_PARAGRAPH,
               "A turned engine can start or crush: shut off the fuel, disconnect "
               "the battery, turn by hand at the crank only.");
    writer_say(w, WRITER_PARAGRAPH,
               "A wrong setting can wreck a belt engine: after every change turn it "
               "two full crank turns by hand before it is started, and stop at any "
               "resistance.");
}
