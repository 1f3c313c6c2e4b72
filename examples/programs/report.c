/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report.h"

#include <math.h>
#include <string.h>

#include "page.h"
#include "words.h"

static void say_setting(writer *w, const dialarc_setup *setup, const dialarc_timing *t,
                        const dialarc_decision *d)
{
    char place[64];
    const char *label = "Lift at TDC", *at = "", *colon = "";
    if (strcmp(page_place(setup, place), "TDC") != 0) {
        label = "Lift";
        at = place;
        colon = ": ";
    }
    const char *before = *at ? "at " : "";
    if (isnan(t->lift_mm) || d->verdict == DIALARC_VERDICT_UNUSABLE)
        writer_fact(w, label, "%s%s%scannot be told from these readings", before, at,
                    colon);
    else
        writer_fact(w, label,
                    "%s%s%s%.3f mm; 95 times in 100 the truth is within %.3f mm of that",
                    before, at, colon, t->lift_mm, t->lift_u_mm);
    words_verdict(w, setup, d);
    if (!isnan(d->advance_error_crank_deg))
        writer_say(w, WRITER_MORE, "From mid-window: %.2f crank degrees too %s.",
                   fabs(d->advance_error_crank_deg),
                   d->advance_error_crank_deg < 0.0 ? "late" : "early");
}

/* A cam that was neither learned from this sweep nor given by its law. */
static int is_from_table(const dialarc_timing *t)
{
    return !t->cam_learned && t->law == DIALARC_LAW_UNKNOWN;
}

static void say_budget(writer *w, const dialarc_setup *setup, const dialarc_budget *b)
{
    writer_section(w, "How sure: standard uncertainty of the lift, by cause");
    writer_say(w, WRITER_REMARK,
               "(about twice the last line makes the 95 times in 100 above)");
    words_budget(w, b, setup->window_at, setup->dial_calibration != NULL);
}

static void say_measured(writer *w, const dialarc_setup *setup, const dialarc_timing *t)
{
    writer_section(w, "Also found");
    if (!isnan(t->minimum_mm))
        writer_say(w, WRITER_NOTE,
                   "The dial shows %.3f mm at the minimum; the rise begins %.1f "
                   "crank degrees %s %s.",
                   page_round(t->minimum_mm, 3), fabs(t->minimum_crank_deg),
                   t->minimum_crank_deg < 0.0 ? "before" : "after", page_zero(setup));
    if (!isnan(t->slack_crank_deg) && !isnan(t->slack_u_crank_deg))
        writer_say(w, WRITER_NOTE, "Slack of the drive: %.1f crank degrees, within %.1f.",
                   t->slack_crank_deg, t->slack_u_crank_deg);
    if (!isnan(t->dial_hysteresis_mm))
        writer_say(w, WRITER_NOTE, "Hysteresis of the dial: %.4f mm.",
                   t->dial_hysteresis_mm);
    if (!isnan(t->total_lift_mm))
        writer_say(w, WRITER_NOTE,
                   "Cam: %s%s, total lift %.2f mm, rise %.1f pump degrees.",
                   t->cam_learned     ? "learned from the sweep, nearest to "
                   : is_from_table(t) ? "from the table of cams"
                                      : "",
                   is_from_table(t) ? "" : dialarc_law_name(t->law), t->total_lift_mm,
                   t->rise_pump_deg);
    writer_say(w, WRITER_NOTE, "Readings used: %zu; set aside as misread: %zu.",
               t->readings_used, t->readings_rejected);
}

void report_head(writer *w, const char *engine, const dialarc_sweep_record *record)
{
    writer_head(w, "SWEEP %s, engine %s", record->name, engine);
}

void report_setting(writer *w, const dialarc_sweep_record *record,
                    const dialarc_timing *timing, const dialarc_decision *decision)
{
    say_setting(w, &record->setup, timing, decision);
    words_next(w, &record->setup, timing, decision);
}

void report_reasons(writer *w, const char *file, const dialarc_sweep_record *record,
                    const dialarc_timing *timing, const dialarc_decision *decision)
{
    if (decision->verdict != DIALARC_VERDICT_UNUSABLE) {
        say_budget(w, &record->setup, &timing->budget);
        say_measured(w, &record->setup, timing);
    }
    words_findings(w, &record->setup, &timing->findings, "reading", record->line, file);
}

/* What each look found, and whether they belong together. */
static void say_looks(writer *w, const dialarc_look *look, const dialarc_joint *joint)
{
    writer_section(w, "Looks");
    for (size_t k = 0; k < joint->looks; k++)
        writer_say(w, WRITER_NOTE, "sweep %zu: %.4f mm, scatter of its readings %.4f mm",
                   k + 1, look[k].lift_mm, look[k].readings_mm);
    if (joint->looks < 2)
        return;
    if (joint->together)
        writer_say(
            w, WRITER_NOTE,
            "They agree as sweeps of one setting do, with %.4f mm of scatter of each "
            "beyond its readings. Errors of the mark, the dial, the wheel and the cam "
            "are the same in all and do not average out.",
            joint->excess_mm);
    else
        writer_say(
            w, WRITER_NOTE,
            "They are not of one setting, or something moved between them: there is "
            "no verdict.");
    if (joint->together && joint->verdict == DIALARC_VERDICT_UNDECIDED)
        writer_say(
            w, WRITER_NOTE,
            "Whoever looks again and again is told in the end what he hopes for, so "
            "each look must be surer than the one before: the next, %.2f %%.",
            100.0 - 50.0 * (1.0 - joint->sure));
}

void report_joint_head(writer *w, const char *engine, const dialarc_joint *joint)
{
    writer_head(w, "ENGINE %s, %zu sweep%s together", engine, joint->looks,
                joint->looks == 1 ? "" : "s");
}

void report_joint_setting(writer *w, const dialarc_setup *setup,
                          const dialarc_joint *joint, const dialarc_timing *timing,
                          const dialarc_decision *decision)
{
    say_setting(w, setup, timing, decision);
    if (joint->together) {
        words_next(w, setup, timing, decision);
        return;
    }
    writer_section(w, "What to do next");
    writer_say(w, WRITER_STEP,
               "Do not set the pump by these sweeps together. Assess them one by one, "
               "without --together: if the pump was set anew between them, the last is "
               "the one that counts.");
}

void report_joint_reasons(writer *w, const dialarc_setup *setup, const dialarc_look *look,
                          const dialarc_joint *joint, const dialarc_timing *timing)
{
    say_looks(w, look, joint);
    say_budget(w, setup, &timing->budget);
    words_findings(w, setup, &timing->findings, "reading", NULL, "");
}
