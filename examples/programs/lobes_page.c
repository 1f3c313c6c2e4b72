/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "lobes_page.h"

#include <math.h>
#include <string.h>

#include "html.h"
#include "page.h"
#include "svg.h"
#include "words.h"

#define HALF_PLOT 13 /* columns either side of the first lobe */

const char *const lobes_columns[] = {"Sweep, engine", "Spread, crank degrees",
                                     "Scatter, crank degrees", "Worst finding", NULL};

int lobes_are_compared(const dialarc_lobes *l)
{
    return !isnan(l->scatter_crank_deg);
}

/* ---- text --------------------------------------------------------------------- */

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

/* Number of the cylinder that a lobe serves, or "-". */
static const char *cylinder_of(const lobes_found *it, int lobe, char text[12])
{
    snprintf(text, 12, it->cylinder[lobe] ? "%d" : "-", it->cylinder[lobe]);
    return text;
}

static void say_table(FILE *out, const lobes_found *it)
{
    const dialarc_lobes *l = it->lobes;
    double most = widest(l);
    char cylinder[12];
    fprintf(out,
            "\n  lobe cyl.      earlier by       lifts more by     %.2f late %11.2f "
            "early\n",
            most, most);
    for (int k = 0; k < l->lobes; k++) {
        const dialarc_lobe *lobe = &l->lobe[k];
        fprintf(out, "  %3d %4s", k + 1, cylinder_of(it, k, cylinder));
        fprintf(out, "  %+6.2f +-%5.2f deg %+7.3f +-%6.3f mm",
                page_round(lobe->advance_crank_deg, 2), lobe->advance_u_crank_deg,
                page_round(lobe->lift_error_mm, 3), lobe->lift_error_u_mm);
        plot_lobe(out, lobe, most / HALF_PLOT);
    }
    fputc('\n', out);
}

/* ---- in text and HTML alike --------------------------------------------------- */

static void say_head(writer *w, const lobes_found *it)
{
    writer_head(w, "SWEEP %s, %s", it->record->name, it->engine);
}

static void say_facts(writer *w, const dialarc_lobes *l)
{
    writer_fact(w, "Spread",
                "%.2f crank degrees from the earliest lobe to the latest, within %.2f",
                l->spread_crank_deg, l->spread_u_crank_deg);
    writer_fact(w, "Scatter",
                "%.2f crank degrees (standard deviation of the lobes), 95 times in 100 "
                "between %.2f and %.2f",
                l->scatter_crank_deg, l->scatter_low_crank_deg,
                l->scatter_high_crank_deg);
    if (isnan(l->run_out_phase_pump_deg))
        writer_fact(w, "Run-out", "none to be seen; less than %.3f mm",
                    l->run_out_mm + l->run_out_u_mm);
    else
        writer_fact(w, "Run-out",
                    "%.3f mm either way, within %.3f mm; highest %.0f pump degrees after "
                    "TDC, within %.0f",
                    l->run_out_mm, l->run_out_u_mm, l->run_out_phase_pump_deg,
                    l->run_out_phase_u_pump_deg);
    writer_fact(w, "Cam", "%.3f mm on the first lobe; shape %s", l->lobe[0].lift_mm,
                l->cam_learned ? "learned from the sweep" : "as in the setup");
}

static void say_nothing(writer *w)
{
    writer_say(w, WRITER_PARAGRAPH, "The lobes cannot be compared.");
}

static void say_findings(writer *w, const lobes_found *it)
{
    words_findings(w, &it->record->setup, &it->lobes->findings, "reading",
                   it->record->line, it->file);
}

void lobes_text(writer *w, const lobes_found *it)
{
    say_head(w, it);
    if (lobes_are_compared(it->lobes)) {
        say_table(w->file, it);
        say_facts(w, it->lobes);
    } else {
        say_nothing(w);
    }
    say_findings(w, it);
}

/* ---- HTML --------------------------------------------------------------------- */

static void write_table(FILE *out, const lobes_found *it)
{
    char cylinder[12];
    const int served = it->cylinder[0] != 0;
    fprintf(out,
            "<table>\n<thead><tr><th scope=\"col\">Lobe</th>%s<th scope=\"col\">Earlier, "
            "crank degrees</th><th scope=\"col\">Lifts more, mm</th></tr></thead>\n"
            "<tbody>\n",
            served ? "<th scope=\"col\">Cylinder</th>" : "");
    for (int k = 0; k < it->lobes->lobes; k++) {
        const dialarc_lobe *lobe = &it->lobes->lobe[k];
        fprintf(out, "<tr><th scope=\"row\">%d</th>", k + 1);
        if (served)
            fprintf(out, "<td>%s</td>", cylinder_of(it, k, cylinder));
        fprintf(out,
                "<td>%+.2f &#177;&#160;%.2f</td><td>%+.3f &#177;&#160;%.3f</td></tr>\n",
                page_round(lobe->advance_crank_deg, 2), lobe->advance_u_crank_deg,
                page_round(lobe->lift_error_mm, 3), lobe->lift_error_u_mm);
    }
    fputs("</tbody>\n</table>\n", out);
}

/* One quantity of each lobe beside the first, with the bar in which it lies. */
typedef struct quantity {
    const char *title, *caption, *style;
    double value[DIALARC_LOBES_MAX], u[DIALARC_LOBES_MAX];
} quantity;

static void draw(FILE *out, int lobes, const quantity *q)
{
    svg_range x = {0.4, lobes + 0.6}, y = svg_nothing();
    char number[12];
    for (int k = 0; k < lobes; k++) {
        svg_include(&y, q->value[k] - q->u[k]);
        svg_include(&y, q->value[k] + q->u[k]);
    }
    fprintf(out, "<figure%s>\n", q->style);
    svg s = svg_begin(out, 156.0, x, svg_widened(y, 0.1), q->caption);
    svg_axes(&s, NULL, q->title);
    svg_line(&s, "zero", x.low, 0.0, x.high, 0.0);
    for (int k = 0; k < lobes; k++) {
        snprintf(number, sizeof number, "%d", k + 1);
        svg_word(&s, k + 1.0, s.y.low, -3.0, 14.0, 0, number);
        svg_line(&s, "whisker", k + 1.0, q->value[k] - q->u[k], k + 1.0,
                 q->value[k] + q->u[k]);
        svg_mark(&s, SVG_DISC, k + 1.0, q->value[k]);
    }
    svg_word(&s, (x.low + x.high) / 2.0, s.y.low, -10.0, 29.0, 0, "lobe");
    svg_end(&s);
    fprintf(out, "<figcaption>%s</figcaption>\n</figure>\n", q->caption);
}

static void draw_lobes(FILE *out, const dialarc_lobes *l)
{
    quantity timing = {.title = "earlier, crank deg",
                       .caption = "How much earlier each lobe delivers than the first, "
                                  "with the bar in which it lies 95 times in 100.",
                       .style = " class=\"tall\""};
    quantity lift = {.title = "lifts more, &#181;m",
                     .caption = "How much more each lobe lifts than the first, in "
                                "thousandths of a millimetre, likewise.",
                     .style = ""};
    for (int k = 0; k < l->lobes; k++) {
        timing.value[k] = l->lobe[k].advance_crank_deg;
        timing.u[k] = l->lobe[k].advance_u_crank_deg;
        lift.value[k] = 1000.0 * l->lobe[k].lift_error_mm;
        lift.u[k] = 1000.0 * l->lobe[k].lift_error_u_mm;
    }
    draw(out, l->lobes, &timing);
    draw(out, l->lobes, &lift);
}

static void write_row(sheet *s, const lobes_found *it)
{
    const dialarc_lobes *l = it->lobes;
    sheet_begin_row(s, it->record->name, it->engine);
    if (lobes_are_compared(l)) {
        sheet_cell(s, "%.2f &#177;&#160;%.2f", l->spread_crank_deg,
                   l->spread_u_crank_deg);
        sheet_cell(s, "%.2f", l->scatter_crank_deg);
    } else {
        sheet_cell(s, "&#8212;");
        sheet_cell(s, "&#8212;");
    }
    sheet_end_row(s, &l->findings);
}

void lobes_sheet(sheet *s, const lobes_found *it)
{
    writer *w = &s->page;
    write_row(s, it);
    say_head(w, it);
    if (lobes_are_compared(it->lobes)) {
        say_facts(w, it->lobes);
        html_end_list(w);
        write_table(w->file, it);
        sheet_pictures(s);
        draw_lobes(w->file, it->lobes);
    } else {
        say_nothing(w);
        sheet_pictures(s);
    }
    sheet_reasons(s);
    say_findings(w, it);
    sheet_close(s);
}
