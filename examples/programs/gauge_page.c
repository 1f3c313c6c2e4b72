/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "gauge_page.h"

#include <math.h>

#include "page.h"

#define TWO_DIFFER 2.8 /* sds of the difference of two, 95 %: ISO 5725-6 */

static void say_component(FILE *out, const char *what, const dialarc_component *c)
{
    if (isnan(c->sd_mm))
        fprintf(out, "    %-34s this study does not show\n", what);
    else
        fprintf(out, "    %-34s %7.4f mm  (%.4f to %.4f)\n", what, c->sd_mm, c->sd_low_mm,
                c->sd_high_mm);
}

static void say_components(FILE *out, const dialarc_gauge_study *s)
{
    int apart = s->by_both.dof > 0.0;
    fputs("  Standard deviations, and where 95 times in 100 they lie:\n", out);
    say_component(out, "engines, as they are set", &s->engine);
    say_component(out, "hands, alike on every engine", &s->hand);
    say_component(out, "hands, another on every engine", &s->engine_hand);
    say_component(out, apart ? "a hand that measures again" : "all that is left",
                  &s->repetition);
}

static void say_line(FILE *out, const char *what, const dialarc_gauge_line *l)
{
    if (!(l->dof > 0.0))
        return;
    fprintf(out, "    %-28s %5.0f %12.6f", what, l->dof, l->mean_square_mm2 * 1e3);
    fprintf(out, isnan(l->f) ? "\n" : " %9.2f\n", l->f);
}

static void say_anova(FILE *out, const dialarc_gauge_study *s)
{
    fputs("  Analysis of variance:           dof   mean square         F\n"
          "                                       0.001 mm^2\n",
          out);
    say_line(out, "engines", &s->by_engine);
    say_line(out, "hands", &s->by_hand);
    say_line(out, "engines and hands together", &s->by_both);
    say_line(out, "repetition", &s->within);
}

static void say_precision(FILE *out, const dialarc_gauge_study *s)
{
    const dialarc_component *r = &s->repeatability, *R = &s->reproducibility;
    page_say(
        out, "  One hand      ",
        "repeatability, s_r = %.4f mm: two lifts of one hand on one engine differ by "
        "less than %.3f mm, 95 times in 100.%s",
        r->sd_mm, TWO_DIFFER * r->sd_mm,
        s->hands > 1 && s->engines > 1 && !(s->by_both.dof > 0.0)
            ? " No hand measured an engine twice, so it holds what hands do "
              "differently on every engine, too."
            : "");
    if (isnan(R->sd_mm))
        page_say(out, "  Several hands ", "reproducibility takes a second hand.");
    else
        page_say(
            out, "  Several hands ",
            "reproducibility, s_R = %.4f mm: two lifts of different hands on one engine "
            "differ by less than %.3f mm.",
            R->sd_mm, TWO_DIFFER * R->sd_mm);
}

static void say_answer(FILE *out, const gauge_page *p)
{
    const dialarc_gauge_window *w = &p->window;
    page_say(out, "  Answer        ", "%s",
             w->can > 0 ? "This method can judge it."
             : w->can < 0
                 ? "This method cannot judge it: a lift in its middle could not "
                   "be told to be in it."
                 : "The study is too small to tell whether this method can judge "
                   "it: more hands, or more lifts of each, would.");
    page_say(out, "  Needed        ",
             "a standard uncertainty of %.4f mm at most; that of one lift is %.4f mm, "
             "between %.4f and %.4f. The narrowest window that it can judge is %.3f mm "
             "wide.",
             w->sd_needed_mm, w->sd_mm, w->sd_low_mm, w->sd_high_mm,
             w->narrowest_window_mm);
    if (!isnan(w->consumer))
        page_say(out, "  Risks         ",
                 "Of engines set as these, %.2f %% would be told in and are not, and "
                 "%.1f %% are in and would not be told so.",
                 100.0 * w->consumer, 100.0 * w->producer);
}

void gauge_page_say(FILE *out, const gauge_page *p)
{
    const dialarc_gauge_study *s = &p->study;
    page_head(out, "GAUGE STUDY: %zu lifts, %zu engine%s, %zu hand%s", s->lifts,
              s->engines, s->engines == 1 ? "" : "s", s->hands, s->hands == 1 ? "" : "s");
    say_components(out, s);
    say_anova(out, s);
    say_precision(out, s);
    if (p->has_window) {
        page_head(out, "THE WINDOW %.3f to %.3f mm", p->low_mm, p->high_mm);
        say_answer(out, p);
    }
    if (p->reading.errors.sweeps) {
        page_head(out, "ERRORS OF READING, as the sweeps of the study show them");
        reading_say(out, &p->reading);
    }
    page_say(out, "  Note          ",
             "What all lifts share, such as one mark or one dial, no study shows: see "
             "--shared. The manufacturer's service literature comes first.");
}
