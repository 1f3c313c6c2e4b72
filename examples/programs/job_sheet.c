/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "job_sheet.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "page.h"
#include "words.h"

#define COVERAGE_FACTOR 1.96 /* of 95 % of a normal distribution */
#define BLANK           "______________________________"
#define NOT_RECORDED    "not recorded"

static const char *or_blank(const char *text)
{
    return text && text[0] ? text : BLANK;
}

/* Where the lift is meant. A history of before did not keep it. */
static const char *place_of(const kept *k, char text[64])
{
    return k->library_version[0] ? page_place(&k->window, text)
                                 : "a crank angle that is " NOT_RECORDED;
}

/* ---- what, who, with what ------------------------------------------------------------
 */

static void say_dial(writer *w, const kept *k)
{
    if (!k->dial[0])
        writer_fact(w, "Dial", NOT_RECORDED "; its name and certificate: " BLANK);
    else if (k->certificate[0] || k->calibrated_on[0])
        writer_fact(w, "Dial",
                    "%.200s, calibrated on %.20s, certificate %.200s; its calibration "
                    "corrects the readings",
                    k->dial, k->calibrated_on[0] ? k->calibrated_on : NOT_RECORDED,
                    k->certificate[0] ? k->certificate : NOT_RECORDED);
    else
        writer_fact(w, "Dial", "%.200s; no certificate is recorded", k->dial);
}

static void say_method(writer *w, const kept *k)
{
    writer_fact(w, "Method",
                "Sweep of a dial indicator on the plunger over crank angles of a degree "
                "wheel, %d readings used and %d set aside as misread; the lift where "
                "the window is asked for by least squares from all readings used, "
                "slack of the drive and hysteresis of the dial removed: dialarc %s",
                k->readings_used, k->readings_rejected,
                k->library_version[0] ? k->library_version
                                      : "of a version that is " NOT_RECORDED);
}

static void say_job(writer *w, const job_sheet_words *words, const kept *k)
{
    writer_say(w, WRITER_PARAGRAPH,
               "Static timing of a distributor injection pump: lift of the plunger at "
               "the crank angle for which the window is given.");
    writer_fact(w, "Shop", "%.400s", or_blank(words->shop));
    writer_fact(w, "Customer", "%.400s", or_blank(words->customer));
    writer_fact(w, "Engine",
                "%.200s in the books of the shop; numbers of engine and pump: %s",
                k->setup, BLANK);
    writer_fact(w, "Measured on", "%s", k->day);
    writer_fact(w, "Measured by", "%.200s", or_blank(k->hand));
    say_dial(w, k);
    say_method(w, k);
}

/* ---- what came out -------------------------------------------------------------------
 */

static void say_result(writer *w, const kept *k)
{
    char place[64];
    writer_section(w, "Result");
    if (isnan(k->lift_mm)) {
        writer_fact(w, "Lift", "at %s cannot be told from these readings",
                    place_of(k, place));
        return;
    }
    writer_fact(w, "Lift", "at %s: %.3f mm", place_of(k, place), k->lift_mm);
    writer_fact(w, "Uncertainty",
                "U = %.3f mm: the expanded uncertainty, coverage factor k = %.2f, for a "
                "coverage probability of 95 %% (normal distribution)",
                k->lift_u_mm, COVERAGE_FACTOR);
    if (isnan(k->budget.total_mm))
        return;
    writer_section(w, "Standard uncertainty of the lift, by cause");
    words_budget(w, &k->budget, k->window.window_at,
                 k->certificate[0] || k->calibrated_on[0]);
}

static const char *statement_of(const kept *k)
{
    switch (k->verdict) {
    case DIALARC_VERDICT_IN:
        return "CONFORMS: the lift lies in the window.";
    case DIALARC_VERDICT_LOW:
        return "DOES NOT CONFORM: the lift lies below the window; delivery is too late.";
    case DIALARC_VERDICT_HIGH:
        return "DOES NOT CONFORM: the lift lies above the window; delivery is too early.";
    case DIALARC_VERDICT_UNDECIDED:
        return "none: the uncertainty spans a limit of the window.";
    default:
        return "none: the sweep cannot be used.";
    }
}

static void say_scope(writer *w, const kept *k)
{
    writer_fact(
        w, "Applies to",
        "the result above alone, of engine %.200s as it was set when sweep %.200s "
        "was taken, and to that requirement alone.",
        k->setup, k->sweep);
    if (k->sweeps > 1)
        writer_say(
            w, WRITER_MORE,
            "It is one of %d sweeps of this engine on that day. Several sweeps of "
            "one setting count together (dialarc assess --together): to sweep until "
            "it conforms proves nothing.",
            k->sweeps);
}

/* By no rule there is no statement. */
static void say_statement(writer *w, const kept *k)
{
    int ruled = k->decision_rule[0] || k->verdict == DIALARC_VERDICT_UNUSABLE;
    char percent[32];
    writer_fact(w, "Statement", "%s",
                ruled ? statement_of(k) : "none: by which rule is " NOT_RECORDED ".");
    if (!isnan(k->probability_in))
        writer_say(w, WRITER_MORE,
                   "Probability that the true lift lies in the window: %s.",
                   page_percent(k->probability_in, percent));
    if (k->decision_rule[0])
        writer_fact(w, "Decision rule", "%.800s", k->decision_rule);
    else if (!ruled)
        writer_fact(w, "Decision rule",
                    NOT_RECORDED ". Add the tables of that day to the history again: "
                                 "then it will be.");
}

static void say_conformity(writer *w, const job_sheet_words *words, const kept *k)
{
    char place[64];
    writer_section(w, "Statement of conformity");
    if (isnan(k->window.lift_low_mm)) {
        writer_fact(w, "Statement", "none: no window was given.");
        return;
    }
    writer_fact(w, "Requirement", "lift at %s from %.3f to %.3f mm; literature: %.400s",
                place_of(k, place), k->window.lift_low_mm, k->window.lift_high_mm,
                or_blank(words->literature));
    if (k->library_version[0] && k->window.window_at == DIALARC_WINDOW_AT_UNKNOWN)
        writer_say(w, WRITER_MORE,
                   "Whether true TDC or a mark is meant was not stated; true TDC was "
                   "assumed.");
    say_statement(w, k);
    say_scope(w, k);
}

/* The sentences for the codes, which are joined by ';'. */
static void say_findings(writer *w, const char *codes)
{
    if (codes[0])
        writer_section(w, "Findings");
    for (size_t n; codes[0]; codes += n + (codes[n] == ';')) {
        n = strcspn(codes, ";");
        for (int k = 0; k < DIALARC_FINDING_COUNT; k++) {
            const char *code = dialarc_finding_code((dialarc_finding)k);
            if (strlen(code) == n && strncmp(code, codes, n) == 0)
                writer_say(w, WRITER_ITEM, "%s",
                           dialarc_finding_text((dialarc_finding)k));
        }
    }
}

void job_sheet(writer *w, const job_sheet_words *words, const kept *k)
{
    writer_head(w, "JOB SHEET %.200s / %.200s / %s", k->setup, k->sweep, k->day);
    say_job(w, words, k);
    say_result(w, k);
    say_conformity(w, words, k);
    say_findings(w, k->findings);
    writer_section(w, "Issue");
    writer_fact(w, "Issued", "day, name and signature: " BLANK);
    writer_say(w, WRITER_PARAGRAPH,
               "The sheet tells what was measured, not that the engine may be started: "
               "the manufacturer's service literature, local rules and licensed practice "
               "come first.");
    writer_say(w, WRITER_PARAGRAPH, "End of the job sheet %.200s / %.200s / %s.",
               k->setup, k->sweep, k->day);
}
