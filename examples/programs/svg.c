/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "svg.h"

#include <math.h>

enum { TICKS = 5 }; /* about so many on an axis */

svg_range svg_nothing(void)
{
    return (svg_range){HUGE_VAL, -HUGE_VAL};
}

void svg_include(svg_range *range, double value)
{
    if (isnan(value))
        return;
    range->low = fmin(range->low, value);
    range->high = fmax(range->high, value);
}

svg_range svg_widened(svg_range range, double share)
{
    if (!(range.low <= range.high))
        return (svg_range){-1.0, 1.0};
    double width = range.high - range.low, least = 1e-6 * (1.0 + fabs(range.high));
    double more = width > least ? share * width : 1.0;
    return (svg_range){range.low - more, range.high + more};
}

/* Where it is in the figure, at the edge at most: numbers stay short. */
static double place(svg_range range, double value, double from, double to)
{
    double share = (value - range.low) / (range.high - range.low);
    return from + fmin(fmax(share, 0.0), 1.0) * (to - from);
}

static double x_of(const svg *s, double x)
{
    return place(s->x, x, s->left, s->right);
}

static double y_of(const svg *s, double y)
{
    return place(s->y, y, s->bottom, s->top);
}

svg svg_begin(FILE *out, double height, svg_range x, svg_range y, const char *label)
{
    svg s = {out, x, y, 44.0, 8.0, SVG_WIDTH - 10.0, height - 34.0};
    fprintf(out, "<svg viewBox=\"0 0 %d %g\" role=\"img\" aria-label=\"%s\">\n",
            SVG_WIDTH, height, label);
    return s;
}

void svg_end(const svg *s)
{
    fputs("</svg>\n", s->out);
}

/* 1, 2 or 5 of a power of ten. */
static double step_of(svg_range range)
{
    double rough = (range.high - range.low) / TICKS,
           power = pow(10.0, floor(log10(rough)));
    double digit = rough / power;
    return power * (digit < 1.5 ? 1.0 : digit < 3.5 ? 2.0 : digit < 7.5 ? 5.0 : 10.0);
}

static void write_number(const svg *s, const char *anchor, double x, double y,
                         double value, int digits)
{
    fprintf(s->out, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\">%.*f</text>\n", x, y,
            anchor, digits, value);
}

static void draw_ticks(const svg *s, int upright)
{
    svg_range range = upright ? s->y : s->x;
    double step = step_of(range), first = ceil(range.low / step);
    int digits = (int)fmax(0.0, -floor(log10(step) + 1e-9));
    for (double k = first; k * step <= range.high; k += 1.0) {
        double value = k * step + 0.0;
        if (upright) {
            double y = y_of(s, value);
            fprintf(s->out, "<path class=\"grid\" d=\"M%.1f %.1fH%.1f\"/>\n", s->left, y,
                    s->right);
            write_number(s, "end", s->left - 4.0, y + 4.0, value, digits);
        } else {
            double x = x_of(s, value);
            fprintf(s->out, "<path class=\"grid\" d=\"M%.1f %.1fV%.1f\"/>\n", x, s->top,
                    s->bottom);
            write_number(s, "middle", x, s->bottom + 14.0, value, digits);
        }
    }
}

void svg_axes(const svg *s, const char *x_title, const char *y_title)
{
    if (y_title) {
        draw_ticks(s, 1);
        fprintf(s->out,
                "<text transform=\"translate(11 %.1f) rotate(-90)\" "
                "text-anchor=\"middle\">%s</text>\n",
                (s->top + s->bottom) / 2.0, y_title);
    }
    if (x_title) {
        draw_ticks(s, 0);
        fprintf(s->out, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"middle\">%s</text>\n",
                (s->left + s->right) / 2.0, s->bottom + 29.0, x_title);
    }
    fprintf(s->out,
            "<rect class=\"frame\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" "
            "height=\"%.1f\"/>\n",
            s->left, s->top, s->right - s->left, s->bottom - s->top);
}

void svg_line(const svg *s, const char *class, double x1, double y1, double x2, double y2)
{
    fprintf(s->out, "<path class=\"%s\" d=\"M%.1f %.1fL%.1f %.1f\"/>\n", class,
            x_of(s, x1), y_of(s, y1), x_of(s, x2), y_of(s, y2));
}

void svg_band(const svg *s, const char *class, double x1, double y1, double x2, double y2)
{
    double left = fmin(x_of(s, x1), x_of(s, x2)), right = fmax(x_of(s, x1), x_of(s, x2));
    double top = fmin(y_of(s, y1), y_of(s, y2)), bottom = fmax(y_of(s, y1), y_of(s, y2));
    fprintf(s->out,
            "<rect class=\"%s\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/>\n",
            class, left, top, right - left, fmax(bottom - top, 1.0));
}

/* Points outside are left out, so that no line runs along the frame. */
void svg_curve(const svg *s, const char *class, size_t n, const double *x,
               const double *y)
{
    int pen = 0;
    fprintf(s->out, "<path class=\"%s\" d=\"", class);
    for (size_t i = 0; i < n; i++) {
        int inside = x[i] >= s->x.low && x[i] <= s->x.high && y[i] >= s->y.low &&
                     y[i] <= s->y.high;
        if (inside)
            fprintf(s->out, "%c%.1f %.1f", pen ? 'L' : 'M', x_of(s, x[i]), y_of(s, y[i]));
        pen = inside;
    }
    fputs("\"/>\n", s->out);
}

void svg_mark(const svg *s, svg_shape shape, double x, double y)
{
    double h = x_of(s, x), v = y_of(s, y);
    switch (shape) {
    case SVG_DISC:
        fprintf(s->out, "<circle class=\"with\" cx=\"%.1f\" cy=\"%.1f\" r=\"2.6\"/>\n", h,
                v);
        return;
    case SVG_RING:
        fprintf(s->out, "<circle class=\"ring\" cx=\"%.1f\" cy=\"%.1f\" r=\"7\"/>\n", h,
                v);
        return;
    case SVG_SQUARE:
        fprintf(s->out,
                "<rect class=\"against\" x=\"%.1f\" y=\"%.1f\" width=\"5\" "
                "height=\"5\"/>\n",
                h - 2.5, v - 2.5);
        return;
    case SVG_UP:
    case SVG_DOWN:
        fprintf(s->out, "<path class=\"beyond\" d=\"M%.1f %.1fh8l-4 %dz\"/>\n", h - 4.0,
                shape == SVG_UP ? v + 7.0 : v - 7.0, shape == SVG_UP ? -7 : 7);
    }
}

void svg_word(const svg *s, double x, double y, double right, double below, int end,
              const char *word)
{
    fprintf(s->out, "<text x=\"%.1f\" y=\"%.1f\"%s>%s</text>\n", x_of(s, x) + right,
            y_of(s, y) + below, end ? " text-anchor=\"end\"" : "", word);
}
