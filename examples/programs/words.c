/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words.h"

#include <math.h>
#include <string.h>

#include "page.h"

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

static int say_step(writer *w, const dialarc_setup *setup, const dialarc_step *step)
{
    char text[DIALARC_STEP_SIZE];
    if (step->code == DIALARC_STEP_NONE ||
        dialarc_step_text(setup, step, text, sizeof text, NULL) != DIALARC_OK)
        return 0;
    writer_say(w, step->number ? WRITER_STEP : WRITER_UNDER, "%s", text);
    return 1;
}

void words_next(writer *w, const dialarc_setup *setup, const dialarc_timing *timing,
                const dialarc_decision *decision)
{
    dialarc_step step;
    writer_section(w, "What to do next");
    for (size_t k = 0;
         dialarc_next_step(setup, timing, decision, k, &step) == DIALARC_OK &&
         say_step(w, setup, &step);
         k++)
        ;
}

void words_next_round(writer *w, const dialarc_setup *setup, const dialarc_plan *plan)
{
    dialarc_step step;
    writer_section(w, "What to do next");
    for (size_t k = 0; dialarc_next_round_step(setup, plan, k, &step) == DIALARC_OK &&
                       say_step(w, setup, &step);
         k++)
        ;
}

const char *words_no_window(const dialarc_setup *setup, char text[DIALARC_STEP_SIZE])
{
    const dialarc_step step = {.code = DIALARC_STEP_FIND_WINDOW};
    if (dialarc_step_text(setup, &step, text, DIALARC_STEP_SIZE, NULL) != DIALARC_OK)
        text[0] = '\0';
    return text;
}

static void say_part(writer *w, const dialarc_budget *b, const char *part, double mm)
{
    if (!isnan(mm))
        writer_amount(w, part, mm, b->total_mm);
}

void words_budget(writer *w, const dialarc_budget *b, dialarc_window_at window_at,
                  int calibrated)
{
    say_part(w, b, "readings of dial and degree wheel", b->readings_mm);
    say_part(w, b,
             window_at == DIALARC_WINDOW_AT_MARK ? "meeting of the mark" : "TDC mark",
             b->tdc_mm);
    say_part(w, b, "hysteresis that the sweep does not show", b->hysteresis_mm);
    say_part(w, b, "shape of the cam not known", b->cam_mm);
    say_part(w, b,
             calibrated ? "calibration of the dial, and askew"
                        : "errors of the dial itself, and askew",
             b->dial_mm);
    say_part(w, b, "degree wheel off centre", b->wheel_mm);
    say_part(w, b, "together (root of the sum of squares)", b->total_mm);
}

int words_stroke_is_open(const dialarc_setup *setup)
{
    return setup->lobes % 2 == 0 && setup->firing_tdc != DIALARC_FIRING_TDC_SEEN;
}

dialarc_findings words_listed(const dialarc_findings *findings)
{
    dialarc_findings listed = *findings;
    listed.present &= ~(UINT32_C(1) << DIALARC_FINDING_STROKE_NOT_DETERMINED);
    return listed;
}

void words_findings(writer *w, const dialarc_setup *setup,
                    const dialarc_findings *findings, const char *what,
                    const size_t *line, const char *file)
{
    const dialarc_findings listed = words_listed(findings);
    const char *slash = strrchr(file, '/');
    char at[64];
    int any = 0;
    w->stroke_open |=
        words_stroke_is_open(setup) ||
        dialarc_findings_has(findings, DIALARC_FINDING_STROKE_NOT_DETERMINED);
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++) {
        dialarc_finding finding = (dialarc_finding)k;
        if (!dialarc_findings_has(&listed, finding))
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
    if (w->stroke_open)
        writer_say(w, WRITER_PARAGRAPH, "%s",
                   dialarc_finding_text(DIALARC_FINDING_STROKE_NOT_DETERMINED));
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
