/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report.h"

#include <math.h>
#include <string.h>

#include "page.h"

static void say_setting(FILE *out, const dialarc_setup *setup, const dialarc_timing *t,
                        const dialarc_decision *d)
{
    char place[64];
    const char *lead = "  Lift at TDC   ", *at = "";
    if (strcmp(page_place(setup, place), "TDC") != 0) {
        lead = "  Lift          ";
        at = place;
    }
    if (isnan(t->lift_mm) || d->verdict == DIALARC_VERDICT_UNUSABLE)
        page_say(out, lead, "%s%s%scannot be told from these readings", *at ? "at " : "",
                 at, *at ? ": " : "");
    else
        page_say(out, lead,
                 "%s%s%s%.3f mm; 95 times in 100 the truth is within %.3f mm of that",
                 *at ? "at " : "", at, *at ? ": " : "", t->lift_mm, t->lift_u_mm);
    page_verdict(out, setup, d);
    if (!isnan(d->advance_error_crank_deg))
        page_say(out, "                ", "From mid-window: %.2f crank degrees too %s.",
                 fabs(d->advance_error_crank_deg),
                 d->advance_error_crank_deg < 0.0 ? "late" : "early");
}

/* A cam that was neither learned from this sweep nor given by its law. */
static int is_from_table(const dialarc_timing *t)
{
    return !t->cam_learned && t->law == DIALARC_LAW_UNKNOWN;
}

/* The way to mid-window, and what comes after it. */
static void say_way(FILE *out, int *step, const dialarc_setup *setup,
                    const dialarc_timing *t, const dialarc_decision *d)
{
    char lead[16];
    page_turn(out, page_step(step, lead), setup, d);
    page_aim(out, page_step(step, lead), setup, d, t->slack_crank_deg);
    page_say(out, page_step(step, lead),
             "Tighten, turn the engine two full crank turns by hand, and take the sweep "
             "again: tightening moves the setting.");
}

/* What must be better known before anything is moved. */
static void say_weakest(FILE *out, int *step, const dialarc_setup *setup,
                        const dialarc_timing *t, const dialarc_decision *d)
{
    char lead[16];
    int mark = setup->window_at == DIALARC_WINDOW_AT_MARK;
    page_say(out, page_step(step, lead), "%s",
             d->advice == DIALARC_ADVICE_FIND_TDC && mark
                 ? "How the mark is met is the weakest point. Before anything is moved, "
                   "come to it again in running direction, lock it by its pin if it has "
                   "one, and set the degree wheel to 0 there."
                 : dialarc_advice_text(d->advice));
    page_tdc(out, "     ", setup, d);
    if (!d->worth_turning) {
        page_leave(out, page_step(step, lead), d);
        return;
    }
    page_say(out, "     ", "If it is to be set anew all the same, to mid-window:");
    say_way(out, step, setup, t, d);
}

static void say_steps(FILE *out, const dialarc_setup *setup, const dialarc_timing *t,
                      const dialarc_decision *d)
{
    char lead[16];
    int step = 0;
    page_caution(out, &step, &t->findings);
    if (d->advice == DIALARC_ADVICE_TURN) {
        say_way(out, &step, setup, t, d);
        page_tdc(out, "     ", setup, d);
    } else if (d->advice == DIALARC_ADVICE_LEAVE) {
        page_leave(out, page_step(&step, lead), d);
        page_tdc(out, "     ", setup, d);
    } else {
        say_weakest(out, &step, setup, t, d);
    }
}

static void say_next(FILE *out, const dialarc_setup *setup, const dialarc_timing *t,
                     const dialarc_decision *d)
{
    fputs("\n  What to do next\n", out);
    switch (d->verdict) {
    case DIALARC_VERDICT_IN:
        page_say(out, "  1. ", "Leave the pump as it is.");
        page_say(
            out, "  2. ",
            "If the fasteners are not tight yet, tighten them and take the sweep again: "
            "tightening moves the setting.");
        return;
    case DIALARC_VERDICT_UNUSABLE:
        page_say(out, "  1. ",
                 "Do not set the pump by these readings. Put right what the "
                 "findings below say, and take the sweep again.");
        return;
    case DIALARC_VERDICT_NONE:
        page_no_window(out, "  1. ");
        return;
    case DIALARC_VERDICT_UNDECIDED:
    case DIALARC_VERDICT_LOW:
    case DIALARC_VERDICT_HIGH:
        say_steps(out, setup, t, d);
    }
}

static void say_part(FILE *out, const char *part, double mm)
{
    if (!isnan(mm))
        fprintf(out, "    %-44s %.4f mm\n", part, mm);
}

static void say_budget(FILE *out, const dialarc_setup *setup, const dialarc_budget *b)
{
    fputs("\n  How sure: standard uncertainty of the lift, by cause\n"
          "            (about twice the last line makes the 95 times in 100 above)\n",
          out);
    say_part(out, "readings of dial and degree wheel", b->readings_mm);
    say_part(out,
             setup->window_at == DIALARC_WINDOW_AT_MARK ? "meeting of the mark"
                                                        : "TDC mark",
             b->tdc_mm);
    say_part(out, "hysteresis that the sweep does not show", b->hysteresis_mm);
    say_part(out, "shape of the cam not known", b->cam_mm);
    say_part(out,
             setup->dial_calibration ? "calibration of the dial, and askew"
                                     : "errors of the dial itself, and askew",
             b->dial_mm);
    say_part(out, "degree wheel off centre", b->wheel_mm);
    say_part(out, "together (root of the sum of squares)", b->total_mm);
}

static void say_measured(FILE *out, const dialarc_setup *setup, const dialarc_timing *t)
{
    fputs("\n  Also found\n", out);
    if (!isnan(t->minimum_mm))
        page_say(out, "    ",
                 "The dial shows %.3f mm at the minimum; the rise begins %.1f "
                 "crank degrees %s %s.",
                 page_round(t->minimum_mm, 3), fabs(t->minimum_crank_deg),
                 t->minimum_crank_deg < 0.0 ? "before" : "after", page_zero(setup));
    if (!isnan(t->slack_crank_deg) && !isnan(t->slack_u_crank_deg))
        page_say(out, "    ", "Slack of the drive: %.1f crank degrees, within %.1f.",
                 t->slack_crank_deg, t->slack_u_crank_deg);
    if (!isnan(t->dial_hysteresis_mm))
        page_say(out, "    ", "Hysteresis of the dial: %.4f mm.", t->dial_hysteresis_mm);
    if (!isnan(t->total_lift_mm))
        page_say(out, "    ", "Cam: %s%s, total lift %.2f mm, rise %.1f pump degrees.",
                 t->cam_learned     ? "learned from the sweep, nearest to "
                 : is_from_table(t) ? "from the table of cams"
                                    : "",
                 is_from_table(t) ? "" : dialarc_law_name(t->law), t->total_lift_mm,
                 t->rise_pump_deg);
    page_say(out, "    ", "Readings used: %zu; set aside as misread: %zu.",
             t->readings_used, t->readings_rejected);
}

void report_sweep(FILE *out, const char *engine, const char *file,
                  const dialarc_sweep_record *record, const dialarc_timing *timing,
                  const dialarc_decision *decision)
{
    page_head(out, "SWEEP %s, engine %s", record->name, engine);
    say_setting(out, &record->setup, timing, decision);
    say_next(out, &record->setup, timing, decision);
    if (decision->verdict != DIALARC_VERDICT_UNUSABLE) {
        say_budget(out, &record->setup, &timing->budget);
        say_measured(out, &record->setup, timing);
    }
    page_findings(out, &record->setup, &timing->findings, "reading", record->line, file);
}

/* What each look found, and whether they belong together. */
static void say_looks(FILE *out, const dialarc_look *look, const dialarc_joint *joint)
{
    fputs("\n  Looks\n", out);
    for (size_t k = 0; k < joint->looks; k++)
        fprintf(out, "    sweep %zu: %.4f mm, scatter of its readings %.4f mm\n", k + 1,
                look[k].lift_mm, look[k].readings_mm);
    if (joint->looks < 2)
        return;
    if (joint->together)
        page_say(
            out, "    ",
            "They agree as sweeps of one setting do, with %.4f mm of scatter of each "
            "beyond its readings. Errors of the mark, the dial, the wheel and the cam "
            "are the same in all and do not average out.",
            joint->excess_mm);
    else
        page_say(out, "    ",
                 "They are not of one setting, or something moved between them: there is "
                 "no verdict.");
    if (joint->together && joint->verdict == DIALARC_VERDICT_UNDECIDED)
        page_say(out, "    ",
                 "Whoever looks again and again is told in the end what he hopes for, so "
                 "each look must be surer than the one before: the next, %.2f %%.",
                 100.0 - 50.0 * (1.0 - joint->sure));
}

void report_together(FILE *out, const char *engine, const dialarc_setup *setup,
                     const dialarc_look *look, const dialarc_joint *joint,
                     const dialarc_timing *timing, const dialarc_decision *decision)
{
    page_head(out, "ENGINE %s, %zu sweep%s together", engine, joint->looks,
              joint->looks == 1 ? "" : "s");
    say_setting(out, setup, timing, decision);
    if (joint->together) {
        say_next(out, setup, timing, decision);
    } else {
        fputs("\n  What to do next\n", out);
        page_say(out, "  1. ",
                 "Do not set the pump by these sweeps together. Assess them one by one, "
                 "without --together: if the pump was set anew between them, the last is "
                 "the one that counts.");
    }
    say_looks(out, look, joint);
    say_budget(out, setup, &timing->budget);
    page_findings(out, setup, &timing->findings, "reading", NULL, "");
}
