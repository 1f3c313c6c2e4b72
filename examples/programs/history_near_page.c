/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "history_near_page.h"

#include <math.h>

#include "html.h"
#include "page.h"
#include "svg.h"
#include "words.h"

#define STRIP_HEIGHT 20.0

static void write_head(writer *w, const nearing_time *when, size_t n)
{
    writer_head(w, "ENGINES, the likeliest to leave its window first");
    writer_say(w, WRITER_PARAGRAPH,
               "%zu engine%s, from %s on for %d month%s. Lift: on the straight line "
               "through the settings of an engine, on that day; the truth is within what "
               "stands behind it 95 times in 100. Outside: how likely that line leaves "
               "the window on some day of those months.",
               n, n == 1 ? "" : "s", when->from, when->months,
               when->months == 1 ? "" : "s");
    writer_say(
        w, WRITER_PARAGRAPH,
        "Drawn below each: the window shaded, the lift as a disc with its bar and, "
        "where the drift is known, a ring where the line will be at the end; what lies "
        "further from the window than that is wide stands at the edge.");
}

static void write_number(FILE *out, double value, double u, const char *format)
{
    fputs("<td>", out);
    if (isnan(value)) {
        fputs("&#8212;</td>", out);
        return;
    }
    fprintf(out, format, value);
    if (!isnan(u))
        fprintf(out, " &#177;&#160;%.3f", u);
    fputs("</td>", out);
}

static const char *why_not(const nearing *it)
{
    switch (it->remark) {
    case DRIFT_TOO_LITTLE:
        return "its drift is not known well enough";
    case DRIFT_SET_ANEW:
        return "its settings jump: has it been set anew?";
    case DRIFT_BENT:
        return "its drift grows or ends";
    case DRIFT_GOOD:
        break;
    }
    return isnan(it->low_mm) ? "no window is known" : "";
}

/* The lift beside its window, and where the line will be. */
static void draw_strip(FILE *out, const nearing *it, double to_year)
{
    double width = it->high_mm - it->low_mm, sd;
    svg_range x = {it->low_mm - width, it->high_mm + width}, y = {0.0, 1.0};
    svg s = svg_begin(out, STRIP_HEIGHT, x, y, "The lift beside the window");
    s.left = 8.0, s.right = SVG_WIDTH - 8.0, s.top = 2.0, s.bottom = STRIP_HEIGHT - 2.0;
    svg_band(&s, "band", it->low_mm, 0.0, it->high_mm, 1.0);
    svg_line(&s, "edge", it->low_mm, 0.0, it->low_mm, 1.0);
    svg_line(&s, "edge", it->high_mm, 0.0, it->high_mm, 1.0);
    svg_line(&s, "reach", it->lift_mm - it->lift_u_mm, 0.5, it->lift_mm + it->lift_u_mm,
             0.5);
    svg_mark(&s, SVG_DISC, it->lift_mm, 0.5);
    if (!isnan(it->drift.mm_per_year))
        svg_mark(&s, SVG_RING, drift_lift(&it->drift, to_year, &sd), 0.5);
    svg_end(&s);
}

static void write_engine(FILE *out, const nearing *it, double to_year)
{
    char percent[32];
    fputs("<tbody>\n<tr><th scope=\"row\">", out);
    html_text(out, it->setup);
    fprintf(out, "<br><small>%zu sweep%s</small></th>", it->n, it->n == 1 ? "" : "s");
    write_number(out, it->lift_mm, it->lift_u_mm, "%.3f");
    write_number(out, it->drift.mm_per_year, it->drift.u_mm_per_year, "%+.3f");
    fprintf(out, "<td>%s</td></tr>\n",
            isnan(it->outside) ? why_not(it) : page_percent(it->outside, percent));
    if (!isnan(it->low_mm)) {
        fputs("<tr class=\"strip\"><td colspan=\"4\">", out);
        draw_strip(out, it, to_year);
        fputs("</td></tr>\n", out);
    }
    fputs("</tbody>\n", out);
}

void history_near_page(FILE *out, const nearing_time *when, size_t n,
                       const nearing *engine)
{
    html_begin(out, "dialarc: the engines of a history");
    writer w = html_writer(out);
    write_head(&w, when, n);
    fputs("<table class=\"near\">\n<thead><tr><th scope=\"col\">Engine</th><th "
          "scope=\"col\">Lift, mm</th><th scope=\"col\">Drift, mm a year</th><th "
          "scope=\"col\">Outside</th></tr></thead>\n",
          out);
    for (size_t i = 0; i < n; i++)
        write_engine(out, &engine[i], when->to_year);
    fputs("</table>\n", out);
    words_meanings(&w);
    words_cautions(&w);
    html_end_article(&w);
    html_end(out);
}
