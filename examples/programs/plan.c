/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which readings to take on an engine, and what they will tell, before a dial is read.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>

#include "commands.h"
#include "complain.h"
#include "output.h"
#include "page.h"
#include "reach.h"
#include "tables.h"
#include "words.h"

enum { READINGS = 12, READINGS_LEARN = 24, A_LINE = 8 };

typedef struct wishes {
    const char *dials, *out;
    int readings, csv;
    double lift_mm;
    reach_wishes reach;
} wishes;

typedef struct plan {
    const char *who, *name;
    const wishes *wishes;
    const dialarc_setup *setup;
    dialarc_reach reach;
    double lift_mm;
    size_t n;
    double crank_deg[DIALARC_CHOOSE_MAX];
    dialarc_expectation chosen, even;
} plan;

/* ---- asking the library ------------------------------------------------------------ */

static int set_out(plan *p)
{
    const wishes *w = p->wishes;
    p->lift_mm = w->lift_mm < REACH_UNSAID ? w->lift_mm : reach_lift(p->setup);
    p->n = (size_t)w->readings;
    if (w->readings == 0)
        p->n = dialarc_setup_cam_known(p->setup) ? READINGS : READINGS_LEARN;
    return reach_of(p->who, p->setup, &w->reach, &p->reach);
}

/* As many angles, evenly spaced; both ways half of them there, half back. */
static void space_evenly(const plan *p, double *crank_deg)
{
    const dialarc_reach *r = &p->reach;
    size_t forward = r->both_ways ? (p->n + 1) / 2 : p->n, k = 0;
    double way = r->last_crank_deg - r->first_crank_deg;
    for (; k < forward; k++)
        crank_deg[k] = r->first_crank_deg + way * (double)k / (double)(forward - 1);
    for (; k < p->n; k++)
        crank_deg[k] = r->last_crank_deg -
                       way * ((double)(k - forward) + 0.5) / (double)(p->n - forward);
}

static int refuse(const plan *p, dialarc_status status)
{
    if (status == DIALARC_ERR_ANGLE)
        return complain(p->who, "--from, --to, --step", reach_complaint());
    if (status == DIALARC_ERR_SIZE)
        return complain(p->who, "--readings, --step",
                        "6 to 200 readings are chosen, no more than there are angles, of "
                        "which there may be 400");
    if (status == DIALARC_ERR_LIFT)
        return complain(p->who, p->name,
                        "the lift that is thought of, 0.15 mm more and 0.15 mm less must "
                        "lie on the rise of the cam: see --lift");
    return complain(p->who, p->name, dialarc_status_text(status));
}

static int ask(plan *p)
{
    double even[DIALARC_CHOOSE_MAX];
    dialarc_workspace *ws = dialarc_workspace_new();
    if (!ws)
        return complain_memory(p->who);
    dialarc_status status =
        dialarc_design_choose(ws, p->setup, p->lift_mm, &p->reach, p->n, p->crank_deg);
    if (status == DIALARC_OK)
        status = dialarc_design_expect(ws, p->setup, p->lift_mm, p->n, p->crank_deg,
                                       &p->chosen);
    if (status == DIALARC_OK) {
        space_evenly(p, even);
        status = dialarc_design_expect(ws, p->setup, p->lift_mm, p->n, even, &p->even);
    }
    dialarc_workspace_free(ws);
    return status == DIALARC_OK ? DONE : refuse(p, status);
}

/* ---- telling ----------------------------------------------------------------------- */

/* How many of the readings are taken on the way forward. */
static size_t forward_of(const plan *p)
{
    size_t k = 1;
    while (k < p->n && p->crank_deg[k] > p->crank_deg[k - 1])
        k++;
    return k;
}

static void say_angles(FILE *out, const plan *p, size_t from, size_t to)
{
    for (size_t k = from; k < to; k++)
        fprintf(out, "%s %8.4g%s", (k - from) % A_LINE ? "" : "  ",
                page_round(p->crank_deg[k], 4),
                k + 1 == to || (k - from) % A_LINE == A_LINE - 1 ? "\n" : "");
}

static void say_readings(FILE *out, const plan *p)
{
    size_t forward = forward_of(p);
    page_head(out, "WHERE TO READ, %s", p->name);
    page_say(out, "  Forward       ",
             "In running direction, coming from at least 20 degrees before the first "
             "angle. Who has gone past one turns well back and comes again. Crank "
             "degrees from %s:",
             page_zero(p->setup));
    say_angles(out, p, 0, forward);
    if (forward < p->n) {
        page_say(out, "  Back          ",
                 "Turn round at the last of these, and read on the way back at:");
        say_angles(out, p, forward, p->n);
    }
}

static void say_part(FILE *out, const char *what, double mm)
{
    fprintf(out, "    %-38s %8.4f mm\n", what, mm);
}

static void say_budget(FILE *out, const plan *p)
{
    const dialarc_expectation *x = &p->chosen;
    const dialarc_budget *b = &x->budget;
    page_say(out, "  Lift          ",
             "Will be known within +- %.3f mm (95 %%) when it is %.3f mm, and within "
             "+- %.3f mm when it is up to 0.15 mm off that. As many readings, evenly "
             "spaced: +- %.3f mm.",
             x->lift_u_mm, x->lift_mm, x->lift_u_worst_mm, p->even.lift_u_mm);
    fputs("  Standard uncertainty by cause:\n", out);
    say_part(out, "readings of dial and wheel", b->readings_mm);
    say_part(out, "TDC, or how the mark is met", b->tdc_mm);
    say_part(out, "hysteresis of the dial", b->hysteresis_mm);
    say_part(out, "cam", b->cam_mm);
    say_part(out, "errors of indication of the dial", b->dial_mm);
    say_part(out, "centring of the wheel", b->wheel_mm);
}

static void say_window(FILE *out, const plan *p)
{
    const dialarc_expectation *x = &p->chosen;
    const dialarc_setup *s = p->setup;
    char in[32], any[32], place[64], text[DIALARC_STEP_SIZE];
    if (isnan(s->lift_low_mm)) {
        page_say(out, "  Window        ", "%s", words_no_window(s, text));
        return;
    }
    page_say(out, "  Window        ", "%.3f to %.3f mm at %s, %.3f mm wide.",
             s->lift_low_mm, s->lift_high_mm, page_place(s, place),
             s->lift_high_mm - s->lift_low_mm);
    page_say(out, "  Chance        ",
             "A pump set to mid-window will be told to be in: %s. One that may stand "
             "anywhere within 0.15 mm will be told to be in, low or high: %s.",
             page_percent(x->chance_in, in), page_percent(x->chance_verdict, any));
    page_say(out, "  Narrowest     ",
             "A window of less than %.3f mm cannot be decided with these readings.",
             x->narrowest_window_mm);
    page_say(out, "  TDC           ",
             "Taken to be known within %.2f degrees (sd); for this window within %.2f "
             "degrees would do.",
             x->tdc_sd_deg, x->tdc_sd_needed_deg);
}

/* For how many lobes the readings will not do, and what stands in the way. */
static void say_usable(FILE *out, const dialarc_expectation *x)
{
    const dialarc_findings *findings = &x->findings;
    if (x->usable > 0.0)
        page_say(out, "  Usable        ",
                 "Of the lobes that a pump may have, these readings will do for %.0f %%. "
                 "More of them, a longer way or a stated cam would help.",
                 100.0 * x->usable);
    else
        page_say(out, "  Usable        ", "These readings will not do.");
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++) {
        dialarc_finding finding = (dialarc_finding)k;
        if (dialarc_findings_has(findings, finding) &&
            findings->severity[k] == DIALARC_SEVERITY_STOP)
            page_say(out, "  - ", "%s", dialarc_finding_text(finding));
    }
}

static void say_page(FILE *out, const plan *p)
{
    const dialarc_expectation *x = &p->chosen;
    say_readings(out, p);
    page_head(out, "WHAT THEY WILL TELL");
    if (x->usable > 0.0) {
        say_budget(out, p);
        say_window(out, p);
        page_say(out, "  Weakest point ", "%s", dialarc_advice_text(x->weakest));
    }
    if (x->usable < 1.0)
        say_usable(out, x);
    fputc('\n', out);
    page_say(out, "  Note          ",
             "By the errors that the setup states or that are assumed for it; readings "
             "that are misread, a dial that loses the plunger and the like come on top.");
    writer page = page_writer(out);
    words_cautions(&page);
}

static void say_csv(FILE *out, const plan *p)
{
    size_t forward = forward_of(p);
    fputs("crank_deg,direction\n", out);
    for (size_t k = 0; k < p->n; k++)
        fprintf(out, "%g,%s\n", page_round(p->crank_deg[k], 6),
                k < forward ? "with" : "against");
}

/* Whether a lift found in mid-window would be told to be in. */
static int can_decide(const plan *p)
{
    double width = p->setup->lift_high_mm - p->setup->lift_low_mm;
    return p->chosen.usable > 0.0 && !(p->chosen.narrowest_window_mm > width);
}

static int fill(output *out, void *job)
{
    const plan *p = job;
    if (p->wishes->csv)
        say_csv(out->file, p);
    else
        say_page(out->file, p);
    return can_decide(p) ? DONE : SOME_UNUSABLE;
}

/* ---- the command ------------------------------------------------------------------- */

static int run(const char *who, const void *wished, char **operand)
{
    plan p = {.who = who, .name = operand[1], .wishes = wished};
    dialarc_setups *setups = NULL;
    size_t index = 0;
    int result = tables_setups(who, operand[0], p.wishes->dials, &setups);
    if (result == DONE && dialarc_setups_find(setups, p.name, &index) != DIALARC_OK)
        result = complain(who, p.name, "there is no engine of this name in the table");
    if (result == DONE) {
        p.setup = dialarc_setups_get(setups, index);
        result = set_out(&p);
    }
    if (result == DONE)
        result = ask(&p);
    if (result == DONE)
        result = output_write(who, p.wishes->out, fill, &p);
    dialarc_setups_free(setups);
    return result;
}

static const wishes defaults = {.lift_mm = REACH_UNSAID, .reach = REACH_DEFAULTS};

static const command_operand operands[] = {
    {"SETUPS", "table of engines"},
    {"ENGINE", "its name"},
    {0},
};

static const command_option options[] = {
    {"readings", "N", OPTION_WHOLE, offsetof(wishes, readings), 6, DIALARC_CHOOSE_MAX,
     "how many readings (12 if not given, 24 where the cam is not known)"},
    REACH_OPTIONS(wishes),
    {"lift", "MM", OPTION_NUMBER, offsetof(wishes, lift_mm), 0, 0,
     "lift at TDC that is thought of (mid-window if not given, without one 0.9)"},
    COMMAND_DIALS(wishes),
    {"csv", NULL, OPTION_FLAG, offsetof(wishes, csv), 0, 0,
     "the angles as a table for other programs instead of a page"},
    COMMAND_OUT(wishes),
    {0},
};

const command plan_command = {
    .name = "plan",
    .brief = "Choose which readings to take, and foretell their worth.",
    .operand = operands,
    .option = options,
    .more = COMMAND_TABLES,
    .statuses = "0 the window can be decided so, or there is none, 1 it cannot, 2 "
                "nothing was written.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .run = run,
};
