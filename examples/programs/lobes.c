/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whole-turn sweeps: every lobe of the pump beside the first, as a table and as a plot.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "csv.h"
#include "output.h"
#include "page.h"
#include "tables.h"
#include "words.h"

#define HALF_PLOT 13 /* columns either side of the first lobe */

typedef struct wishes {
    int csv, guard;
    const char *order, *out, *dials;
} wishes;

typedef struct bench {
    const char *who, *table;
    const wishes *wishes;
    int cylinders; /* in the firing order; 0: none given */
    int order[DIALARC_LOBES_MAX];
    dialarc_setups *setups;
    dialarc_workspace *workspace;
    FILE *out;
    size_t unusable;
} bench;

/* "1-3-4-2" into numbers; 0 when it is such a list. */
static int read_order(const char *text, bench *b)
{
    char *end;
    for (b->cylinders = 0; b->cylinders < DIALARC_LOBES_MAX; text = end + 1) {
        long number = strtol(text, &end, 10);
        if (end == text || number < 1 || number > DIALARC_LOBES_MAX)
            return -1;
        b->order[b->cylinders++] = (int)number;
        if (*end == '\0')
            return 0;
        if (*end != '-')
            return -1;
    }
    return -1;
}

/* Cylinders of the lobes, or zeros when no order was given. */
static dialarc_status cylinders_of(const bench *b, const dialarc_setup *setup,
                                   int *cylinder)
{
    memset(cylinder, 0, DIALARC_LOBES_MAX * sizeof cylinder[0]);
    if (b->cylinders == 0)
        return DIALARC_OK;
    if (b->cylinders != setup->lobes)
        return DIALARC_ERR_FIRING_ORDER;
    return dialarc_lobes_assign(setup->lobes, b->order, b->order[0], setup->rotation,
                                cylinder, NULL);
}

/* A lobe on a line: its timing as a mark, the uncertainty as dashes, the first as a bar.
 */
static void plot_lobe(FILE *out, const dialarc_lobe *lobe, double per_column)
{
    char line[2 * HALF_PLOT + 2];
    int at = HALF_PLOT + (int)lround(lobe->advance_crank_deg / per_column);
    int reach = (int)lround(lobe->advance_u_crank_deg / per_column), last = HALF_PLOT;
    memset(line, ' ', sizeof line - 1);
    line[HALF_PLOT] = '|';
    for (int k = at - reach; k <= at + reach; k++)
        if (k >= 0 && k <= 2 * HALF_PLOT) {
            line[k] = k == at ? 'o' : k == HALF_PLOT ? '|' : '-';
            last = k > last ? k : last;
        }
    line[last + 1] = '\0';
    fprintf(out, "  %s\n", line);
}

static double widest(const dialarc_lobes *l)
{
    double most = 0.1;
    for (int k = 0; k < l->lobes; k++)
        most = fmax(most,
                    fabs(l->lobe[k].advance_crank_deg) + l->lobe[k].advance_u_crank_deg);
    return most;
}

static void say_table(FILE *out, const dialarc_lobes *l, const int *cylinder)
{
    double most = widest(l);
    fprintf(out,
            "\n  lobe cyl.      earlier by       lifts more by     %.2f late %11.2f "
            "early\n",
            most, most);
    for (int k = 0; k < l->lobes; k++) {
        const dialarc_lobe *lobe = &l->lobe[k];
        char number[12] = "-";
        if (cylinder[k])
            snprintf(number, sizeof number, "%d", cylinder[k]);
        fprintf(out, "  %3d %4s", k + 1, number);
        fprintf(out, "  %+6.2f +-%5.2f deg %+7.3f +-%6.3f mm",
                page_round(lobe->advance_crank_deg, 2), lobe->advance_u_crank_deg,
                page_round(lobe->lift_error_mm, 3), lobe->lift_error_u_mm);
        plot_lobe(out, lobe, most / HALF_PLOT);
    }
    fputc('\n', out);
}

static void say_page(bench *b, const dialarc_sweep_record *record, const dialarc_lobes *l,
                     const int *cylinder)
{
    FILE *out = b->out;
    page_head(out, "SWEEP %s, %s", record->name,
              dialarc_setups_name(b->setups, record->setup_index));
    if (!isnan(l->scatter_crank_deg)) {
        say_table(out, l, cylinder);
        page_say(out, "  Spread        ",
                 "%.2f crank degrees from the earliest lobe to the latest, within %.2f",
                 l->spread_crank_deg, l->spread_u_crank_deg);
        page_say(out, "  Scatter       ",
                 "%.2f crank degrees (standard deviation of the lobes), 95 times in 100 "
                 "between %.2f and %.2f",
                 l->scatter_crank_deg, l->scatter_low_crank_deg,
                 l->scatter_high_crank_deg);
        if (isnan(l->run_out_phase_pump_deg))
            page_say(out, "  Run-out       ", "none to be seen; less than %.3f mm",
                     l->run_out_mm + l->run_out_u_mm);
        else
            page_say(
                out, "  Run-out       ",
                "%.3f mm either way, within %.3f mm; highest %.0f pump degrees after "
                "TDC, within %.0f",
                l->run_out_mm, l->run_out_u_mm, l->run_out_phase_pump_deg,
                l->run_out_phase_u_pump_deg);
        page_say(out, "  Cam           ", "%.3f mm on the first lobe; shape %s",
                 l->lobe[0].lift_mm,
                 l->cam_learned ? "learned from the sweep" : "as in the setup");
    } else {
        page_say(out, "  ", "The lobes cannot be compared.");
    }
    writer page = page_writer(out);
    words_findings(&page, &record->setup, &l->findings, "reading", record->line,
                   tables_name(b->table));
}

static void say_csv(FILE *out, int guard, const char *name, const dialarc_lobes *l,
                    const int *cylinder)
{
    for (int k = 0; k < l->lobes && !isnan(l->scatter_crank_deg); k++) {
        const dialarc_lobe *lobe = &l->lobe[k];
        csv_text(out, name, guard);
        fprintf(out, ",%d,", k + 1);
        if (cylinder[k])
            fprintf(out, "%d", cylinder[k]);
        fprintf(out, ",%.4f,%.4f,%.5f,%.5f,%.5f,%.5f\n", lobe->advance_crank_deg,
                lobe->advance_u_crank_deg, lobe->lift_mm, lobe->lift_error_mm,
                lobe->lift_error_u_mm, lobe->run_out_mm);
    }
}

static int compare(void *job, dialarc_sweep_record *record)
{
    bench *b = job;
    dialarc_lobes lobes;
    int cylinder[DIALARC_LOBES_MAX];
    dialarc_status status = cylinders_of(b, &record->setup, cylinder);
    if (status >= DIALARC_OK)
        status = dialarc_lobes_estimate(b->workspace, &record->setup, &record->sweep,
                                        NULL, &lobes);
    if (status < DIALARC_OK)
        return complain(b->who, record->name, dialarc_status_text(status));
    if (b->wishes->csv)
        say_csv(b->out, b->wishes->guard, record->name, &lobes, cylinder);
    else
        say_page(b, record, &lobes, cylinder);
    if (isnan(lobes.scatter_crank_deg)) {
        complain_unusable(b->who, record->name, &lobes.findings);
        b->unusable++;
    }
    return DONE;
}

static int fill(output *out, void *job)
{
    bench *b = job;
    b->out = out->file;
    if (b->wishes->csv)
        fputs("sweep,lobe,cylinder,advance_crank_deg,advance_u_crank_deg,lift_mm,"
              "lift_error_mm,lift_error_u_mm,run_out_mm\n",
              b->out);
    if (tables_sweeps(b->who, b->table, b->setups, compare, b) != DONE)
        return FAILED;
    if (!b->wishes->csv) {
        writer page = page_writer(b->out);
        words_meanings(&page);
        words_cautions(&page);
    }
    return b->unusable ? SOME_UNUSABLE : DONE;
}

static int run(const char *who, const void *wished, char **operand)
{
    bench b = {.who = who, .wishes = wished, .table = operand[1]};
    const char *order = b.wishes->order;
    if (order && read_order(order, &b))
        return complain(who, order, "is no firing order; write it as --order 1-3-4-2");
    int result = tables_setups(who, operand[0], b.wishes->dials, &b.setups);
    b.workspace = dialarc_workspace_new();
    if (result == DONE)
        result = b.workspace ? output_write(who, b.wishes->out, fill, &b)
                             : complain_memory(who);
    dialarc_workspace_free(b.workspace);
    dialarc_setups_free(b.setups);
    return result;
}

static const command_operand operands[] = {
    {"SETUPS", "table of engines"},
    {"SWEEPS", "table of dial readings over whole pump turns"},
    {0},
};

static const command_option options[] = {
    {"order", "ORDER", OPTION_TEXT, offsetof(wishes, order), 0, 0,
     "firing order, such as 1-3-4-2, beginning with the timed cylinder; tells which "
     "cylinder each lobe serves"},
    {"csv", NULL, OPTION_FLAG, offsetof(wishes, csv), 0, 0,
     "a table for other programs instead of the page"},
    COMMAND_DIALS(wishes),
    COMMAND_GUARD(wishes),
    COMMAND_OUT(wishes),
    {0},
};

const command lobes_command = {
    .name = "lobes",
    .brief = "Compare the lobes of a pump, from sweeps over a whole turn.",
    .operand = operands,
    .option = options,
    .more = COMMAND_TABLES,
    .statuses = "0 the lobes of every sweep were compared, 1 some sweeps are unusable "
                "and are listed, 2 nothing was written.",
    .size = sizeof(wishes),
    .run = run,
};
