/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One setup, one or more changes: what becomes of the setting.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "engine.h"
#include "output.h"
#include "page.h"
#include "words.h"

enum { NO_ANSWER = SOME_UNUSABLE };

#define TRIALS 100000
#define SEED   20260u

/* What more of an input means. */
static const char *const meaning[DIALARC_WHATIF_COUNT] = {
    [DIALARC_WHATIF_READING] = "the dial is brought to a higher reading",
    [DIALARC_WHATIF_TDC_MARK] = "the TDC mark stands later than true TDC",
    [DIALARC_WHATIF_SLACK] = "slack was not taken out before the reading",
    [DIALARC_WHATIF_SHIFT] = "tightening raises the lift",
    [DIALARC_WHATIF_TILT] = "the dial's spindle stands askew",
    [DIALARC_WHATIF_SCALE] = "the spindle moves farther than the dial shows, as a share",
    [DIALARC_WHATIF_HYSTERESIS] = "the dial lags behind the plunger",
    [DIALARC_WHATIF_STRETCH] = "stretch of the belt, below 0: the pump runs later",
    [DIALARC_WHATIF_TEETH] = "the pump sprocket sits so many teeth early",
    [DIALARC_WHATIF_RATIO] = "crank turns for one pump turn",
    [DIALARC_WHATIF_WEAR] = "part of each lift that the cam has lost by wear",
};

typedef struct wishes {
    const char *out, *cams, *cam;
    int budget;
} wishes;

typedef struct question {
    const char *who, *setup;
    const dialarc_setup *now;
    int budget;              /* whether it is wanted */
    char **change;           /* as they were asked for; ends with NULL */
    dialarc_whatif cases[2]; /* before and after */
    dialarc_whatif_result result[2];
} question;

/* "tdc_mark_crank_deg=0.5"; the case is changed by it. */
static int take_change(const char *who, const char *text, dialarc_whatif *w)
{
    const char *equals = strchr(text, '=');
    char name[40];
    double change = 0.0;
    snprintf(name, sizeof name, "%.*s", equals ? (int)(equals - text) : 0, text);
    if (equals && !command_number(equals + 1, &change))
        return complain(who, text, "after = a number is wanted, with a decimal point");
    if (!equals || dialarc_whatif_change(w, name, change, w) != DIALARC_OK)
        return complain(who, text,
                        "an input, = and a number are wanted; dialarc what-if --help "
                        "lists the inputs");
    return DONE;
}

/* Before the tables are read: whether all changes are such. */
static int check_changes(const char *who, char **change)
{
    dialarc_whatif any = {.pump_teeth = 0};
    int result = DONE;
    for (; *change && result == DONE; change++)
        result = take_change(who, *change, &any);
    return result;
}

/* The inputs that change, each with its value before and after. */
static void say_inputs(FILE *out, const question *q)
{
    fprintf(out, "  %-27s %12s %12s\n", "input", "before", "after");
    for (int k = 0; k < DIALARC_WHATIF_COUNT; k++) {
        double before = q->cases[0].input[k].centre, after = q->cases[1].input[k].centre;
        if (before < after || before > after)
            fprintf(out, "  %-27s %12.4g %12.4g\n",
                    dialarc_whatif_name((dialarc_whatif_input)k), before, after);
    }
    fputc('\n', out);
}

static void say_row(FILE *out, const char *word, const dialarc_whatif_result *r)
{
    fprintf(out, "  %-8s   %7.3f (%6.3f to %6.3f)   %+6.2f (%+6.2f to %+6.2f)\n", word,
            r->value.lift_mm, r->lift_mm.low, r->lift_mm.high,
            page_round(r->value.advance_crank_deg, 2),
            page_round(r->advance_crank_deg.low, 2),
            page_round(r->advance_crank_deg.high, 2));
}

#define BENT 0.03 /* range by slopes against that by trials */

/* Near the foot of the cam a straight line does not do: trials and slopes disagree. */
static void say_bend(FILE *out, const dialarc_whatif_result *r)
{
    double least = r->value.advance_crank_deg - 1.96 * r->sd.advance_crank_deg;
    double most = r->value.advance_crank_deg + 1.96 * r->sd.advance_crank_deg;
    double low = r->advance_crank_deg.low, high = r->advance_crank_deg.high;
    if (fmax(fabs(low - least), fabs(high - most)) > BENT * (high - low))
        page_say(out, "  Bend          ",
                 "the advance does not follow its inputs in a straight line here: by "
                 "slopes alone the range after would be %+.2f to %+.2f.",
                 least, most);
}

static void say_change(FILE *out, const question *q)
{
    const dialarc_whatif_result *r = q->result;
    const dialarc_setup *setup = q->now;
    double lift = r[1].value.lift_mm - r[0].value.lift_mm;
    double advance = r[1].value.advance_crank_deg - r[0].value.advance_crank_deg;
    page_head(out, "WHAT IF, %s", q->setup);
    say_inputs(out, q);
    fputs("             lift at TDC, mm (95 %)     advance, crank degrees (95 %)\n", out);
    say_row(out, "before", &r[0]);
    say_row(out, "after", &r[1]);
    fputc('\n', out);
    if (fabs(lift) < 5e-5 && fabs(advance) < 5e-4)
        page_say(out, "  Change        ", "none to speak of.");
    else
        page_say(out, "  Change        ",
                 "%+.3f mm of lift at TDC: the pump delivers %.2f crank degrees %s.",
                 lift, fabs(advance), advance < 0.0 ? "later" : "earlier");
    int inside = r[1].value.lift_mm >= setup->lift_low_mm &&
                 r[1].value.lift_mm <= setup->lift_high_mm;
    page_say(out, "  Window        ", "%.3f to %.3f mm: the lift is then %s it.",
             setup->lift_low_mm, setup->lift_high_mm, inside ? "within" : "OUTSIDE");
    say_bend(out, &r[1]);
    page_say(out, "  Note          ",
             "The ranges hold the errors of reading, TDC mark, hysteresis and tightening "
             "that the setup states, by %d trials; what changes is taken as exact.",
             TRIALS);
}

/* What each input contributes to the uncertainty of lift and advance, to first order. */
static void say_budget(FILE *out, const dialarc_whatif *w)
{
    enum { N = DIALARC_WHATIF_COUNT };
    dialarc_outcome slope[N];
    double lift[N], advance[N], sd[N];
    if (dialarc_whatif_sensitivity(w, slope) != DIALARC_OK)
        return; /* the cam does not rise here: the bend has been told */
    for (int k = 0; k < N; k++) {
        lift[k] = slope[k].lift_mm;
        advance[k] = slope[k].advance_crank_deg;
        if (dialarc_input_sd(&w->input[k], &sd[k]) != DIALARC_OK)
            return;
    }
    if (dialarc_uncertainty_shares(N, lift, sd, lift) != DIALARC_OK ||
        dialarc_uncertainty_shares(N, advance, sd, advance) != DIALARC_OK)
        return;
    page_head(out, "BUDGET, after the change");
    fprintf(out, "  %-27s %12s %12s %12s\n", "input", "standard", "share of", "share of");
    fprintf(out, "  %-27s %12s %12s %12s\n", "", "uncertainty", "lift", "advance");
    for (int k = 0; k < N; k++)
        if (sd[k] > 0.0)
            fprintf(out, "  %-27s %12.4g %10.1f %% %10.1f %%\n",
                    dialarc_whatif_name((dialarc_whatif_input)k), sd[k], 100.0 * lift[k],
                    100.0 * advance[k]);
}

static int fill(output *out, void *job)
{
    const question *q = job;
    say_change(out->file, q);
    if (q->budget)
        say_budget(out->file, &q->cases[1]);
    writer page = page_writer(out->file);
    words_meanings(&page);
    words_cautions(&page);
    return DONE;
}

static int answer(question *q, const engine *e, const char *path)
{
    dialarc_status status = dialarc_whatif_from_cam(q->now, &e->cam, &q->cases[0]);
    q->cases[1] = q->cases[0];
    for (char **change = q->change; status == DIALARC_OK && *change; change++)
        if (take_change(q->who, *change, &q->cases[1]) != DONE)
            return FAILED;
    for (int k = 0; k < 2 && status == DIALARC_OK; k++)
        status = dialarc_whatif_propagate(&q->cases[k], TRIALS, SEED, &q->result[k]);
    if (status == DIALARC_OK)
        return output_write(q->who, path, fill, q);
    if (status == DIALARC_ERR_NO_MEMORY)
        return complain_memory(q->who);
    complain(q->who, q->change[0], dialarc_status_text(status));
    return NO_ANSWER;
}

static int run(const char *who, const void *wished, char **operand)
{
    const wishes *w = wished;
    question q = {
        .who = who, .setup = operand[1], .budget = w->budget, .change = operand + 2};
    engine e = {.name = NULL};
    int result = check_changes(who, q.change);
    if (result == DONE)
        result = engine_open(who, operand[0], operand[1], w->cams, w->cam, &e);
    if (result == DONE) {
        q.now = e.setup;
        result = answer(&q, &e, w->out);
    }
    engine_close(&e);
    return result;
}

static const command_operand operands[] = {
    {"SETUPS", "table of engines"},
    {"ENGINE", "its name; its window must stand in the table, and its cam unless --cams"},
    {"INPUT=CHANGE", "what changes, and by how much in the unit that its name ends in; "
                     "several changes go together"},
    {0},
};

static void list(FILE *out)
{
    for (int k = 0; k < DIALARC_WHATIF_COUNT; k++) {
        char lead[32];
        snprintf(lead, sizeof lead, "    %-27s",
                 dialarc_whatif_name((dialarc_whatif_input)k));
        page_say(out, lead, "%s", meaning[k]);
    }
}

static const command_option options[] = {
    {"budget", NULL, OPTION_FLAG, offsetof(wishes, budget), 0, 0,
     "what each input contributes to the uncertainty, too"},
    ENGINE_CAM(wishes),
    COMMAND_OUT(wishes),
    {0},
};

const command what_if_command = {
    .name = "what-if",
    .brief = "Show what changes to a setup do to lift and advance.",
    .operand = operands,
    .repeats = 1,
    .list = list,
    .option = options,
    .more = COMMAND_TABLES,
    .statuses = "0 answered, 1 the changes lead off the cam or are none that can be, "
                "2 nothing was written.",
    .size = sizeof(wishes),
    .run = run,
};
