/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "picture.h"

#include <math.h>

#include "page.h"
#include "svg.h"

enum {
    POINTS_MOST = 2000, /* of more readings, one in so many is drawn */
    RISE_POINTS = DIALARC_RISE_INTERVALS + 1,
    ROWS_LEAST = 5 /* of a job have room: the axis counts in whole rows */
};

/* So many times the middle residual, and it is drawn at the edge. */
#define RESIDUAL_SPAN 10.0

static void end_figure(FILE *out, const char *caption)
{
    fprintf(out, "<figcaption>%s</figcaption>\n</figure>\n", caption);
}

/* ---- the setting in its window ------------------------------------------------ */

void picture_setting(FILE *out, const dialarc_setup *setup, double lift, double u)
{
    int window = !isnan(setup->lift_low_mm), known = !isnan(lift) && !isnan(u);
    svg_range x = svg_nothing();
    if (window) {
        svg_include(&x, setup->lift_low_mm);
        svg_include(&x, setup->lift_high_mm);
    }
    if (known) {
        svg_include(&x, lift - u);
        svg_include(&x, lift + u);
    }
    if (!window || !known)
        return;
    fputs("<figure>\n", out);
    svg s = svg_begin(out, 92.0, svg_widened(x, 0.15), (svg_range){0.0, 1.0},
                      "The lift with its uncertainty beside the window");
    svg_band(&s, "band", setup->lift_low_mm, 0.0, setup->lift_high_mm, 1.0);
    svg_axes(&s, "lift, mm", NULL);
    svg_line(&s, "edge", setup->lift_low_mm, 0.0, setup->lift_low_mm, 1.0);
    svg_line(&s, "edge", setup->lift_high_mm, 0.0, setup->lift_high_mm, 1.0);
    svg_word(&s, (setup->lift_low_mm + setup->lift_high_mm) / 2.0, 1.0, -22.0, 13.0, 0,
             "window");
    svg_line(&s, "reach", lift - u, 0.4, lift + u, 0.4);
    svg_line(&s, "reach", lift, 0.2, lift, 0.6);
    svg_end(&s);
    end_figure(out, "The lift found, with the bar in which it lies 95 times in 100, and "
                    "the window shaded.");
}

/* ---- the sweep ---------------------------------------------------------------- */

/* Whether the crank went forward to each reading: stated, or as the angles go. */
static int went_forward(const dialarc_sweep *sweep, size_t i, int before)
{
    const double *crank = sweep->crank_deg;
    if (sweep->direction && sweep->direction[i] != DIALARC_DIRECTION_UNKNOWN)
        return sweep->direction[i] == DIALARC_DIRECTION_WITH;
    if (i > 0 && crank[i] != crank[i - 1])
        return crank[i] > crank[i - 1];
    return i > 0 || sweep->n < 2 ? before : crank[1] >= crank[0];
}

static size_t stride_of(const dialarc_sweep *sweep)
{
    return sweep->n / POINTS_MOST + 1;
}

static void mark_readings(const svg *s, const dialarc_sweep *sweep)
{
    int forward = 1;
    size_t stride = stride_of(sweep);
    for (size_t i = 0; i < sweep->n; i++) {
        forward = went_forward(sweep, i, forward);
        if (i % stride == 0)
            svg_mark(s, forward ? SVG_DISC : SVG_SQUARE, sweep->crank_deg[i],
                     sweep->dial_mm[i]);
    }
}

/* Readings that findings point at. */
static void ring_findings(const svg *s, const dialarc_sweep *sweep,
                          const dialarc_findings *findings)
{
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        if (dialarc_findings_has(findings, (dialarc_finding)k) &&
            findings->row[k] < sweep->n)
            svg_mark(s, SVG_RING, sweep->crank_deg[findings->row[k]],
                     sweep->dial_mm[findings->row[k]]);
}

static int sense_of(const dialarc_setup *setup)
{
    return setup->dial_sense < 0 ? -1 : 1;
}

/* What the dial shows on the rise when the crank goes one way: the slack lies in the
 * angle, the hysteresis in the reading. */
static void draw_rise(const svg *s, const char *class, const dialarc_setup *setup,
                      const dialarc_timing *t, double crank_deg, double shown_mm)
{
    double ratio = isnan(setup->crank_per_pump) ? 2.0 : setup->crank_per_pump;
    double x[RISE_POINTS], y[RISE_POINTS];
    for (int k = 0; k < RISE_POINTS; k++) {
        x[k] = t->minimum_crank_deg + crank_deg +
               ratio * t->rise_pump_deg * k / DIALARC_RISE_INTERVALS;
        y[k] = t->minimum_mm + sense_of(setup) * (t->rise_mm[k] + shown_mm);
    }
    svg_curve(s, class, RISE_POINTS, x, y);
}

static void draw_fit(const svg *s, const dialarc_setup *setup, const dialarc_timing *t)
{
    double half = isnan(t->dial_hysteresis_mm) ? 0.0 : t->dial_hysteresis_mm / 2.0;
    if (isnan(t->minimum_mm))
        return;
    svg_line(s, "level", s->x.low, t->minimum_mm, s->x.high, t->minimum_mm);
    svg_word(s, s->x.low, t->minimum_mm, 4.0, sense_of(setup) < 0 ? 13.0 : -5.0, 0,
             "minimum");
    if (isnan(t->minimum_crank_deg) || isnan(t->rise_pump_deg))
        return;
    draw_rise(s, "forward", setup, t, 0.0, -half);
    if (!isnan(t->slack_crank_deg))
        draw_rise(s, "back", setup, t, -t->slack_crank_deg, half);
}

/* The window as a gate at the crank angle where it is asked for. */
static void draw_gate(const svg *s, const dialarc_setup *setup, const dialarc_timing *t)
{
    double width = (s->x.high - s->x.low) / 50.0, at = t->lift_crank_deg;
    int sense = sense_of(setup);
    if (isnan(setup->lift_low_mm) || isnan(t->minimum_mm) || isnan(at))
        return;
    double low = t->minimum_mm + sense * setup->lift_low_mm;
    double high = t->minimum_mm + sense * setup->lift_high_mm;
    svg_band(s, "band", at - width, low, at + width, high);
    svg_line(s, "edge", at - width, low, at + width, low);
    svg_line(s, "edge", at - width, high, at + width, high);
    svg_word(s, at - width, high, -4.0, sense < 0 ? 12.0 : -2.0, 1, "window");
}

void picture_sweep(FILE *out, const dialarc_sweep_record *record, const dialarc_timing *t)
{
    const dialarc_sweep *sweep = &record->sweep;
    const char *zero = page_zero(&record->setup);
    char title[64], caption[512];
    svg_range x = svg_nothing(), y = svg_nothing();
    for (size_t i = 0; i < sweep->n; i++) {
        svg_include(&x, sweep->crank_deg[i]);
        svg_include(&y, sweep->dial_mm[i]);
    }
    svg_include(&x, 0.0);
    fputs("<figure class=\"tall\">\n", out);
    svg s = svg_begin(out, 236.0, svg_widened(x, 0.03), svg_widened(y, 0.06),
                      "Dial readings over the crank angle, with the curve fitted");
    snprintf(title, sizeof title, "crank degrees from %s", zero);
    svg_axes(&s, title, "dial, mm");
    svg_line(&s, "zero", 0.0, s.y.low, 0.0, s.y.high);
    svg_word(&s, 0.0, s.y.high, -4.0, 13.0, 1, zero);
    draw_gate(&s, &record->setup, t);
    draw_fit(&s, &record->setup, t);
    mark_readings(&s, sweep);
    ring_findings(&s, sweep, &t->findings);
    svg_end(&s);
    size_t stride = stride_of(sweep);
    snprintf(caption, sizeof caption,
             "Readings: discs forward in running direction, squares back; a ring: a "
             "finding points at it. Lines: the rise fitted, solid forward, dashed "
             "back.%s",
             stride > 1 ? " There are so many readings that not all are drawn." : "");
    end_figure(out, caption);
}

/* ---- residuals ---------------------------------------------------------------- */

/* A residual that half of them are smaller than: by bisection, without a copy. */
static double middle(const double *residual, size_t n, double most)
{
    double low = 0.0, high = most;
    for (int k = 0; k < 30; k++) {
        double at = (low + high) / 2.0;
        size_t below = 0;
        for (size_t i = 0; i < n; i++)
            below += fabs(residual[i]) < at;
        if (2 * below < n)
            low = at;
        else
            high = at;
    }
    return high;
}

void picture_residuals(FILE *out, const dialarc_sweep_record *record,
                       const double *residual_mm)
{
    const dialarc_sweep *sweep = &record->sweep;
    svg_range x = svg_nothing(), size = svg_nothing();
    char title[64];
    for (size_t i = 0; i < sweep->n; i++) {
        svg_include(&x, sweep->crank_deg[i]);
        svg_include(&size, fabs(residual_mm[i]));
    }
    if (!(size.high > 0.0))
        return;
    double most =
        fmin(size.high, RESIDUAL_SPAN * middle(residual_mm, sweep->n, size.high));
    double um = 1100.0 * fmax(most, 1e-5);
    svg_include(&x, 0.0);
    fputs("<figure>\n", out);
    svg s = svg_begin(out, 136.0, svg_widened(x, 0.03), (svg_range){-um, um},
                      "What is left between readings and curve, over the crank angle");
    snprintf(title, sizeof title, "crank degrees from %s", page_zero(&record->setup));
    svg_axes(&s, title, "left, &#181;m");
    svg_line(&s, "zero", s.x.low, 0.0, s.x.high, 0.0);
    int forward = 1;
    for (size_t i = 0; i < sweep->n; i++) {
        double left = 1000.0 * residual_mm[i];
        forward = went_forward(sweep, i, forward);
        if (isnan(left) || i % stride_of(sweep))
            continue;
        svg_mark(&s,
                 left > um    ? SVG_UP
                 : left < -um ? SVG_DOWN
                 : forward    ? SVG_DISC
                              : SVG_SQUARE,
                 sweep->crank_deg[i], left);
    }
    svg_end(&s);
    end_figure(out,
               "What is left between each reading and the curve, in thousandths of a "
               "millimetre; triangles: beyond the edge.");
}

/* ---- rounds ------------------------------------------------------------------- */

/* As the dial has it: with its hysteresis. */
static double lift_of(const dialarc_job *job, size_t row)
{
    const dialarc_round *r = &job->round[row];
    return sense_of(&job->setup) * (r->tdc_mm - r->minimum_mm);
}

void picture_rounds(FILE *out, const dialarc_job *job)
{
    const dialarc_setup *setup = &job->setup;
    svg_range x = svg_nothing(), y = svg_nothing();
    for (size_t i = 0; i < job->n; i++) {
        svg_include(&x, (double)i + 1.0);
        svg_include(&y, lift_of(job, i));
    }
    svg_include(&y, setup->lift_low_mm);
    svg_include(&y, setup->lift_high_mm);
    x = (svg_range){x.low - 0.6, fmax(x.high, ROWS_LEAST) + 0.6};
    fputs("<figure class=\"tall\">\n", out);
    svg s = svg_begin(out, 190.0, x, svg_widened(y, 0.1),
                      "Lifts read, row by row, beside the window");
    if (!isnan(setup->lift_low_mm))
        svg_band(&s, "band", x.low, setup->lift_low_mm, x.high, setup->lift_high_mm);
    svg_axes(&s, "row of the job", "read, mm");
    for (size_t i = 0; i < job->n; i++)
        if (!isnan(lift_of(job, i)))
            svg_mark(&s, job->round[i].tight ? SVG_SQUARE : SVG_DISC, (double)i + 1.0,
                     lift_of(job, i));
    svg_end(&s);
    end_figure(out, "What the dial rose from minimum to TDC in each row: discs loose, "
                    "squares tight; the window is shaded.");
}
