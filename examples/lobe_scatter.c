/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whole-turn sweeps: every lobe of the pump beside the first, as a table and as a plot.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "output.h"
#include "page.h"
#include "program.h"

static const char program[] = "lobe_scatter";

#define HALF_PLOT 13 /* columns either side of the first lobe */

static const char usage[] =
    "usage: lobe_scatter [--order 1-3-4-2] [--csv] [--out FILE] SETUPS SWEEPS\n"
    "  SETUPS   table of engines (CSV), - for standard input\n"
    "  SWEEPS   table of dial readings over whole pump turns (CSV), - for standard "
    "input\n"
    "  --order  firing order, beginning with the timed cylinder\n"
    "  --csv    a table for other programs instead of the page\n"
    "  --out    write to FILE instead of standard output\n"
    "exit status: 0 the lobes of every sweep were compared, 1 some sweeps are unusable, "
    "2 "
    "nothing was written\n";

typedef struct options {
    int csv, cylinders;
    int order[DIALARC_LOBES_MAX];
    const char *out, *setups, *sweeps;
} options;

typedef struct bench {
    const options *options;
    const char *file; /* name of the sweeps table in messages */
    dialarc_setups *setups;
    dialarc_workspace *workspace;
    dialarc_sweep_buffer *buffer;
    FILE *out;
    size_t sweeps, unusable;
} bench;

/* "1-3-4-2" into numbers; 0 when it is such a list. */
static int read_order(const char *text, options *o)
{
    char *end;
    for (o->cylinders = 0; o->cylinders < DIALARC_LOBES_MAX; text = end + 1) {
        long number = strtol(text, &end, 10);
        if (end == text || number < 1 || number > DIALARC_LOBES_MAX)
            return -1;
        o->order[o->cylinders++] = (int)number;
        if (*end == '\0')
            return 0;
        if (*end != '-')
            return -1;
    }
    return -1;
}

/* 0 when understood, 1 when help was asked for, -1 when not understood. */
static int parse(int argc, char **argv, options *o)
{
    const char *tables[2] = {NULL, NULL};
    int count = 0;
    *o = (options){0};
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--help") == 0)
            return 1;
        if (strcmp(argv[i], "--csv") == 0)
            o->csv = 1;
        else if (strcmp(argv[i], "--out") == 0 && i + 1 < argc)
            o->out = argv[++i];
        else if (strcmp(argv[i], "--order") == 0 && i + 1 < argc) {
            if (read_order(argv[++i], o))
                return -1;
        } else if ((argv[i][0] == '-' && argv[i][1]) || count == 2)
            return -1;
        else
            tables[count++] = argv[i];
    }
    if (!program_two_tables(tables[0], tables[1]))
        return -1;
    o->setups = tables[0];
    o->sweeps = tables[1];
    return 0;
}

/* Cylinders of the lobes, or zeros when no order was given. */
static dialarc_status cylinders_of(const options *o, const dialarc_setup *setup,
                                   int *cylinder)
{
    memset(cylinder, 0, DIALARC_LOBES_MAX * sizeof cylinder[0]);
    if (o->cylinders == 0)
        return DIALARC_OK;
    if (o->cylinders != setup->lobes)
        return DIALARC_ERR_FIRING_ORDER;
    return dialarc_lobes_assign(setup->lobes, o->order, o->order[0], setup->rotation,
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
    page_findings(out, &l->findings, "reading", record->line, b->file);
}

static void say_csv(FILE *out, const char *name, const dialarc_lobes *l,
                    const int *cylinder)
{
    for (int k = 0; k < l->lobes && !isnan(l->scatter_crank_deg); k++) {
        const dialarc_lobe *lobe = &l->lobe[k];
        fputc('"', out);
        for (const char *c = name; *c; c++)
            fputs(*c == '"' ? "\"\"" : (const char[]){*c, '\0'}, out);
        fprintf(out, "\",%d,", k + 1);
        if (cylinder[k])
            fprintf(out, "%d", cylinder[k]);
        fprintf(out, ",%.4f,%.4f,%.5f,%.5f,%.5f,%.5f\n", lobe->advance_crank_deg,
                lobe->advance_u_crank_deg, lobe->lift_mm, lobe->lift_error_mm,
                lobe->lift_error_u_mm, lobe->run_out_mm);
    }
}

static int compare(bench *b, const dialarc_sweep_record *record)
{
    dialarc_lobes lobes;
    int cylinder[DIALARC_LOBES_MAX];
    dialarc_status status = cylinders_of(b->options, &record->setup, cylinder);
    if (status >= DIALARC_OK)
        status = dialarc_lobes_estimate(b->workspace, &record->setup, &record->sweep,
                                        NULL, &lobes);
    if (status < DIALARC_OK) {
        fprintf(stderr, "lobe_scatter: sweep %s: %s\n", record->name,
                dialarc_status_text(status));
        return FAILED;
    }
    if (b->options->csv)
        say_csv(b->out, record->name, &lobes, cylinder);
    else
        say_page(b, record, &lobes, cylinder);
    if (isnan(lobes.scatter_crank_deg)) {
        fprintf(stderr, "lobe_scatter: unusable: %s\n", record->name);
        b->unusable++;
    }
    b->sweeps++;
    return 0;
}

static int compare_all(bench *b, FILE *table)
{
    dialarc_error error = {0};
    dialarc_sweep_reader *reader = NULL;
    dialarc_sweep_record record = {0};
    int failed = 0;
    dialarc_status status =
        dialarc_sweep_reader_new(dialarc_read_file, table, b->setups, &reader, &error);
    if (b->options->csv)
        fputs("sweep,lobe,cylinder,advance_crank_deg,advance_u_crank_deg,lift_mm,"
              "lift_error_mm,lift_error_u_mm,run_out_mm\n",
              b->out);
    while (status == DIALARC_OK && !failed) {
        status = dialarc_sweep_reader_next(reader, b->buffer, &record, &error);
        if (status != DIALARC_OK || !record.name)
            break;
        failed = compare(b, &record);
    }
    dialarc_sweep_reader_free(reader);
    if (status != DIALARC_OK)
        return program_fail_table(program, b->options->sweeps, &error);
    if (!failed && b->sweeps == 0)
        return program_fail(program, b->file, "the table holds no sweep, only a header");
    if (!failed && !b->options->csv) {
        page_words(b->out);
        page_cautions(b->out);
    }
    return failed;
}

static int run(bench *b, FILE *table)
{
    const char *place = b->options->out ? b->options->out : "standard output";
    output out;
    b->workspace = dialarc_workspace_new();
    b->buffer = dialarc_sweep_buffer_new();
    if (!b->workspace || !b->buffer)
        return program_fail(program, b->file, dialarc_status_text(DIALARC_ERR_NO_MEMORY));
    if (output_open(&out, b->options->out))
        return program_fail(program, place, "cannot be written");
    b->out = out.file;
    int failed = compare_all(b, table);
    if (failed)
        output_discard(&out);
    else if (output_finish(&out))
        failed = program_fail(program, place, "cannot be written");
    return failed ? failed : b->unusable ? SOME_UNUSABLE : DONE;
}

int main(int argc, char **argv)
{
    output_guard();
    options o;
    int understood = parse(argc, argv, &o);
    if (understood) {
        fputs(usage, understood > 0 ? stdout : stderr);
        return understood > 0 ? DONE : FAILED;
    }
    bench b = {.options = &o, .file = program_table_name(o.sweeps)};
    if (program_read_setups(program, o.setups, &b.setups) != DONE)
        return FAILED;
    FILE *table = strcmp(o.sweeps, "-") == 0 ? stdin : fopen(o.sweeps, "rb");
    int result =
        table ? run(&b, table) : program_fail(program, b.file, "cannot be opened");
    if (table)
        fclose(table);
    dialarc_sweep_buffer_free(b.buffer);
    dialarc_workspace_free(b.workspace);
    dialarc_setups_free(b.setups);
    return result;
}
