/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A dial against gauge blocks: error curve, hysteresis, repeatability, whether it keeps
 * the limits of its type, and the rows of its calibration. Without blocks: its type.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "csv.h"
#include "dial_type.h"
#include "output.h"
#include "page.h"
#include "shown.h"
#include "tables.h"

typedef struct wishes {
    const char *out, *certificate, *on, *name;
    double step_mm, read_to_mm, turn_mm, range_mm, block_u_mm;
    int small, csv, guard;
} wishes;

/* The readings of a dial. */
typedef struct bench {
    const wishes *wishes;
    const char *who, *path;
    dialarc_rows *rows;
    output *out;
    size_t n;
    double block_mm[DIALARC_DIALCHECK_MAX], shown_mm[DIALARC_DIALCHECK_MAX];
    double way[DIALARC_DIALCHECK_MAX];
    int exceeded; /* a limit of one dial at least */
} bench;

static const char *name_of(const bench *b, size_t row)
{
    return dialarc_rows_text(b->rows, row, "dial");
}

/* The readings of the dial whose first row this is; a row that says nothing is told. */
static int gather(bench *b, size_t first)
{
    b->n = 0;
    for (size_t i = first; i < dialarc_rows_count(b->rows); i++) {
        const char *way = dialarc_rows_text(b->rows, i, "way");
        if (strcmp(name_of(b, i), name_of(b, first)) != 0)
            continue;
        if (way[0] && strcmp(way, "in") != 0 && strcmp(way, "out") != 0)
            return tables_row_fails(b->who, b->path, b->rows, i, "way",
                                    "must be in or out, as the stem goes");
        if (b->n == DIALARC_DIALCHECK_MAX)
            return tables_row_fails(b->who, b->path, b->rows, i, NULL,
                                    "a dial may have 4096 readings");
        b->block_mm[b->n] = tables_number(b->rows, i, "block_mm", 0.0);
        b->shown_mm[b->n] = tables_number(b->rows, i, "shown_mm", 0.0);
        b->way[b->n++] = strcmp(way, "out") == 0 ? -1.0 : 1.0;
    }
    return DONE;
}

/* Whether a dial has been met in an earlier row. */
static int met(const bench *b, size_t row)
{
    for (size_t i = 0; i < row; i++)
        if (strcmp(name_of(b, i), name_of(b, row)) == 0)
            return 1;
    return 0;
}

static void say_limit(bench *b, const char *lead, double value_mm, double u_mm,
                      dialarc_dial_item item, double range_mm)
{
    static const char *const said[] = {
        "", "kept", "EXCEEDED", "the uncertainty spans it: neither kept nor exceeded"};
    FILE *out = b->out->file;
    double limit_mm, guard = 1.645 * u_mm;
    dialarc_proof proof = DIALARC_PROOF_NONE;
    if (isnan(value_mm)) {
        page_say(out, lead, "not seen: no readings for it.");
        return;
    }
    if (dialarc_diallimit_mm(
            b->wishes->small ? DIALARC_BEZEL_SMALL : DIALARC_BEZEL_STANDARD,
            b->wishes->step_mm, range_mm, item, &limit_mm) != DIALARC_OK) {
        page_say(out, lead, "%.1f um; no limit is laid down for such a dial.",
                 1000.0 * value_mm);
        return;
    }
    dialarc_dialcheck_proof(value_mm, u_mm, limit_mm, 0.95, &proof);
    b->exceeded |= proof == DIALARC_PROOF_EXCEEDED;
    page_say(out, lead, "%.1f um, limit %.1f um, guard band %.1f um: %s.",
             1000.0 * value_mm, 1000.0 * limit_mm, 1000.0 * guard, said[proof]);
}

static void say_page(bench *b, const char *name, const dialarc_dialcheck *c,
                     const dialarc_dialcal *curve)
{
    char safe[SHOWN_SIZE];
    FILE *out = b->out->file;
    size_t points = dialarc_dialcal_count(curve);
    double low, high, u, at, travel;
    dialarc_dialcal_range(curve, &low, &high, &u);
    double range = isnan(b->wishes->range_mm) ? high - low : b->wishes->range_mm;
    page_head(out, "DIAL %s, against gauge blocks", shown(name, safe, sizeof safe));
    page_say(out, "  Readings      ", "%zu of %zu travels.", b->n, points);
    say_limit(b, "  Tenth turn    ", c->tenth_turn_mm, c->span_u_mm,
              DIALARC_DIAL_TENTH_TURN, range);
    say_limit(b, "  Half turn     ", c->half_turn_mm, c->span_u_mm,
              DIALARC_DIAL_HALF_TURN, range);
    say_limit(b, "  One turn      ", c->one_turn_mm, c->span_u_mm, DIALARC_DIAL_ONE_TURN,
              range);
    say_limit(b, "  Whole range   ", c->whole_range_mm, c->span_u_mm,
              DIALARC_DIAL_WHOLE_RANGE, range);
    say_limit(b, "  Hysteresis    ", c->hysteresis_mm, c->hysteresis_u_mm,
              DIALARC_DIAL_HYSTERESIS, range);
    say_limit(b, "  Repeatability ", c->repeatability_mm, c->hysteresis_u_mm,
              DIALARC_DIAL_REPEATABILITY, range);
    page_say(out, "  For the table ",
             "of engines, without a calibration: dial_error_mm %.4f",
             c->largest_error_mm + 1.96 * c->span_u_mm);
    if (!isnan(c->hysteresis_mm))
        page_say(out, "                ", "and dial_hysteresis_mm %.4f",
                 c->hysteresis_mm + 1.96 * c->hysteresis_u_mm);
    page_say(out, "                ",
             "With one: --csv writes the rows of the table of dials; an error is then "
             "known within %.1f um (sd).",
             1000.0 * c->error_u_mm);
    fputs("\n  travel mm   error um\n", out);
    for (size_t i = 0; i < points; i++) {
        dialarc_dialcal_point(curve, i, &at, &travel);
        fprintf(out, "  %9.3f  %+9.1f\n", travel, page_round(1000.0 * (at - travel), 1));
    }
}

/* The rows of the table of dials. */
static void say_rows(bench *b, const char *name, const dialarc_dialcheck *c,
                     const dialarc_dialcal *curve)
{
    FILE *out = b->out->file;
    double shown_mm, true_mm;
    for (size_t i = 0; i < dialarc_dialcal_count(curve); i++) {
        dialarc_dialcal_point(curve, i, &shown_mm, &true_mm);
        csv_text(out, name, b->wishes->guard);
        csv_number(out, shown_mm, 4);
        csv_number(out, true_mm, 4);
        csv_number(out, c->error_u_mm, 5);
        fprintf(out, ",%s,", b->wishes->on ? b->wishes->on : "");
        if (b->wishes->certificate)
            csv_text(out, b->wishes->certificate, b->wishes->guard);
        fputs("\r\n", out);
    }
}

static int tell(bench *b, size_t row)
{
    const wishes *w = b->wishes;
    const char *name = name_of(b, row);
    dialarc_dialcheck check;
    dialarc_dialcal *curve = NULL;
    if (gather(b, row) != DONE)
        return FAILED;
    double read_to_mm = isnan(w->read_to_mm) ? w->step_mm : w->read_to_mm;
    dialarc_status status =
        dialarc_dialcheck_assess(b->n, b->block_mm, b->shown_mm, b->way, read_to_mm,
                                 w->turn_mm, w->block_u_mm, &check);
    if (status == DIALARC_OK)
        status = dialarc_dialcheck_calibration(b->n, b->block_mm, b->shown_mm, b->way,
                                               check.error_u_mm, &curve);
    if (status != DIALARC_OK)
        return complain(
            b->who, name,
            status == DIALARC_ERR_SIZE
                ? "two travels at least are wanted, read with the stem going in"
            : status == DIALARC_ERR_ORDER
                ? "its readings do not rise with the travel: was a turn of the needle "
                  "forgotten, or a column exchanged?"
                : dialarc_status_text(status));
    if (w->csv)
        say_rows(b, name, &check, curve);
    else
        say_page(b, name, &check, curve);
    dialarc_dialcal_free(curve);
    return DONE;
}

static const char header[] = "dial,shown_mm,true_mm,u_mm,calibrated_on,certificate\r\n";
static const char whose_limits[] =
    "Limits: JIS B 7503:2011; where the maker states others, or the shop's own rules, "
    "those hold.";

static int fill(output *out, void *job)
{
    bench *b = job;
    b->out = out;
    if (b->wishes->csv)
        fputs(header, out->file);
    for (size_t i = 0; i < dialarc_rows_count(b->rows); i++)
        if (!met(b, i) && tell(b, i) != DONE)
            return FAILED;
    if (!b->wishes->csv) {
        fputc('\n', out->file);
        page_say(out->file, "",
                 "A limit is kept or exceeded when the value lies below or above it by "
                 "more than the guard band, 1.645 times its standard uncertainty "
                 "(ISO 14253-1, 95 %% sure). %s",
                 whose_limits);
    }
    return b->exceeded ? SOME_UNUSABLE : DONE;
}

/* ---- without blocks ---------------------------------------------------------- */

static int fill_type(output *out, void *job)
{
    const dial_type *type = job;
    dial_type_page(out->file, type);
    page_say(out->file, "                ", "%s", whose_limits);
    return DONE;
}

static int fill_type_rows(output *out, void *job)
{
    const dial_type *type = job;
    fputs(header, out->file);
    dial_type_rows(out->file, type);
    return DONE;
}

static int tell_type(const char *who, const wishes *w)
{
    dial_type type = {.name = w->name,
                      .certificate = w->certificate,
                      .on = w->on,
                      .bezel = w->small ? DIALARC_BEZEL_SMALL : DIALARC_BEZEL_STANDARD,
                      .step_mm = w->step_mm,
                      .range_mm = w->range_mm,
                      .guard = w->guard};
    int result = dial_type_find(who, &type);
    return result == DONE
               ? output_write(who, w->out, w->csv ? fill_type_rows : fill_type, &type)
               : result;
}

static int run(const char *who, const void *wished, char **operand)
{
    static const char day[] = "0000-00-00";
    const wishes *w = wished;
    bench b = {.wishes = w, .who = who, .path = operand[0]};
    for (size_t i = 0; w->on && i < sizeof day; i++)
        if (day[i] == '0' ? w->on[i] < '0' || w->on[i] > '9' : w->on[i] != day[i])
            return complain(who, "--on", "a day is wanted, such as 2026-01-31");
    if (!operand[0])
        return tell_type(who, w);
    int result = tables_rows(who, operand[0], "dial! block_mm! shown_mm! way", &b.rows);
    if (result == DONE)
        result = output_write(who, w->out, fill, &b);
    dialarc_rows_free(b.rows);
    return result;
}

static const wishes defaults = {.name = "dial",
                                .step_mm = 0.01,
                                .read_to_mm = DIALARC_UNKNOWN,
                                .turn_mm = 1.0,
                                .range_mm = DIALARC_UNKNOWN,
                                .block_u_mm = 0.0005};

static const command_operand operands[] = {
    {"BLOCKS",
     "table of readings of dials at known travels; without it: what the type of a dial "
     "allows"},
    {0},
};

static const command_option options[] = {
    {"step", "MM", OPTION_NUMBER, offsetof(wishes, step_mm), 0, 0,
     "graduation of the dials (0.01 if not given)"},
    {"read-to", "MM", OPTION_NUMBER, offsetof(wishes, read_to_mm), 0, 0,
     "to how much they were read, parts of a graduation told by eye (the graduation if "
     "not given)"},
    {"turn", "MM", OPTION_NUMBER, offsetof(wishes, turn_mm), 0, 0,
     "travel of one turn of the needle (1 if not given)"},
    {"range", "MM", OPTION_NUMBER, offsetof(wishes, range_mm), 0, 0,
     "measuring range, for the limits (that of the table if not given; without BLOCKS it "
     "must be)"},
    {"small", NULL, OPTION_FLAG, offsetof(wishes, small), 0, 0,
     "the bezel is below 50 mm, or the stem at the back: their limits"},
    {"block-u", "MM", OPTION_NUMBER, offsetof(wishes, block_u_mm), 0, 0,
     "standard uncertainty of a travel (0.0005, workshop blocks, if not given)"},
    {"name", "NAME", OPTION_TEXT, offsetof(wishes, name), 0, 0,
     "with --csv and without BLOCKS: what the dial is called"},
    {"certificate", "NO", OPTION_TEXT, offsetof(wishes, certificate), 0, 0,
     "with --csv: what the certificate is called"},
    {"on", "DAY", OPTION_TEXT, offsetof(wishes, on), 0, 0,
     "with --csv: the day of the check, such as 2026-01-31"},
    {"csv", NULL, OPTION_FLAG, offsetof(wishes, csv), 0, 0,
     "the rows of the table of dials"},
    COMMAND_GUARD(wishes),
    COMMAND_OUT(wishes),
    {0},
};

const command dial_command = {
    .name = "dial",
    .brief = "Check a dial against gauge blocks and the limits of its type.",
    .operand = operands,
    .optional = 1,
    .option = options,
    .more =
        "The table has the columns dial, block_mm (the travel that was set), shown_mm "
        "and way (in or out, as the stem goes); repeated readings are rows of their "
        "own. " COMMAND_TABLES,
    .statuses = "0 done, 1 done, and a limit is exceeded, 2 nothing was written.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .run = run,
};
