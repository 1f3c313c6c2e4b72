/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One setup, one change: what becomes of the setting.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "output.h"
#include "page.h"
#include "program.h"

enum { NO_ANSWER = 1 };

static const char program[] = "what_if";

#define TRIALS 100000
#define SEED   20260u

static const char usage[] =
    "usage: what_if SETUPS SETUP INPUT=CHANGE\n"
    "  SETUPS  table of engines (CSV), - for standard input\n"
    "  SETUP   name of the engine; its cam and its window must stand in the table\n"
    "  INPUT   what changes, and CHANGE by how much, in the unit that the name ends "
    "in:\n";

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

static const char statuses[] =
    "exit status: 0 answered, 1 the change leads off the cam or is none that can be, 2 "
    "bad usage or a table that cannot be read\n";

typedef struct question {
    const char *setups, *setup;
    dialarc_whatif_input input;
    double change;
} question;

static void help(FILE *out)
{
    fputs(usage, out);
    for (int k = 0; k < DIALARC_WHATIF_COUNT; k++)
        fprintf(out, "            %-27s%s\n",
                dialarc_whatif_name((dialarc_whatif_input)k), meaning[k]);
    fputs(statuses, out);
}

/* "tdc_mark_crank_deg=0.5" in the C locale, which is never left. */
static int read_change(const char *text, question *q)
{
    const char *equals = strchr(text, '=');
    size_t length = equals ? (size_t)(equals - text) : strlen(text);
    char *end;
    int k = 0;
    while (k < DIALARC_WHATIF_COUNT) {
        const char *name = dialarc_whatif_name((dialarc_whatif_input)k);
        if (strlen(name) == length && strncmp(name, text, length) == 0)
            break;
        k++;
    }
    if (!equals || k == DIALARC_WHATIF_COUNT)
        return program_fail(
            program, text, "an input of the list, = and a number are wanted; see --help");
    q->input = (dialarc_whatif_input)k;
    q->change = strtod(equals + 1, &end);
    if (end == equals + 1 || *end || !isfinite(q->change))
        return program_fail(program, text,
                            "after = a number is wanted, with a decimal point");
    return DONE;
}

static void say_row(FILE *out, const char *word, const dialarc_whatif *w,
                    dialarc_whatif_input input, const dialarc_whatif_result *r)
{
    fprintf(out, "  %-8s %10.4g   %7.3f (%6.3f to %6.3f)   %+6.2f (%+6.2f to %+6.2f)\n",
            word, w->input[input].centre, r->value.lift_mm, r->lift_mm.low,
            r->lift_mm.high, page_round(r->value.advance_crank_deg, 2),
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

static void say_change(FILE *out, const question *q, const dialarc_setup *setup,
                       const dialarc_whatif cases[2], const dialarc_whatif_result r[2])
{
    double lift = r[1].value.lift_mm - r[0].value.lift_mm;
    double advance = r[1].value.advance_crank_deg - r[0].value.advance_crank_deg;
    page_head(out, "WHAT IF, %s: %s changes by %g", q->setup,
              dialarc_whatif_name(q->input), q->change);
    fputs("           input        lift at TDC, mm (95 %)     advance, crank degrees "
          "(95 %)\n",
          out);
    say_row(out, "before", &cases[0], q->input, &r[0]);
    say_row(out, "after", &cases[1], q->input, &r[1]);
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
             "that the setup states, by %d trials; the change itself is taken as exact.",
             TRIALS);
}

static int answer(const question *q, const dialarc_setup *setup)
{
    dialarc_whatif cases[2];
    dialarc_whatif_result r[2];
    dialarc_status status = dialarc_whatif_from_setup(setup, &cases[0]);
    if (status != DIALARC_OK) {
        program_fail(program, q->setup,
                     "its cam (cam_law, cam_lift_mm, rise_deg) and its window must stand "
                     "in the table of engines");
        return NO_ANSWER;
    }
    cases[1] = cases[0];
    cases[1].input[q->input].centre += q->change;
    for (int k = 0; k < 2 && status == DIALARC_OK; k++)
        status = dialarc_whatif_propagate(&cases[k], TRIALS, SEED, &r[k]);
    if (status != DIALARC_OK) {
        program_fail(program, dialarc_whatif_name(q->input), dialarc_status_text(status));
        return NO_ANSWER;
    }
    output out;
    if (output_open(&out, NULL))
        return program_fail(program, "standard output", "cannot be written");
    say_change(out.file, q, setup, cases, r);
    page_words(out.file);
    page_cautions(out.file);
    return output_finish(&out)
               ? program_fail(program, "standard output", "cannot be written")
               : DONE;
}

static int ask(const question *q)
{
    dialarc_setups *setups = NULL;
    size_t index = 0;
    int result = program_read_setups(program, q->setups, &setups);
    if (result != DONE)
        return result;
    result = dialarc_setups_find(setups, q->setup, &index) == DIALARC_OK
                 ? answer(q, dialarc_setups_get(setups, index))
                 : program_fail(program, q->setup,
                                "there is no setup of this name in the table");
    dialarc_setups_free(setups);
    return result;
}

int main(int argc, char **argv)
{
    output_guard();
    if (argc == 2 && strcmp(argv[1], "--help") == 0) {
        help(stdout);
        return DONE;
    }
    if (argc != 4) {
        help(stderr);
        return FAILED;
    }
    question q = {.setups = argv[1], .setup = argv[2]};
    int result = read_change(argv[3], &q);
    return result ? result : ask(&q);
}
