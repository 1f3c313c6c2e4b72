/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Drawing: a figure with axes, as an SVG element inside an HTML page. Colours and widths
 * are those that the page's style has for the class of each thing drawn.
 */
#ifndef SVG_H
#define SVG_H

#include <stdio.h>

/* Units of a figure are those of CSS pixels on a telephone that is 360 of them wide. */
#define SVG_WIDTH 344

typedef struct svg_range {
    double low, high;
} svg_range;

typedef struct svg {
    FILE *out;
    svg_range x, y;                  /* what the axes show */
    double left, top, right, bottom; /* where they are, in units of the figure */
} svg;

typedef enum svg_shape { SVG_DISC, SVG_SQUARE, SVG_UP, SVG_DOWN, SVG_RING } svg_shape;

/* An empty range, to be widened. */
svg_range svg_nothing(void);

/* The range with a number in it; one that is not known changes nothing. */
void svg_include(svg_range *range, double value);

/* The range with so much of its width added at each end; never empty. */
svg_range svg_widened(svg_range range, double share);

/* A figure so high, with room for the numbers of its axes; `label` is what it shows, for
 * those who do not see it. */
svg svg_begin(FILE *out, double height, svg_range x, svg_range y, const char *label);
void svg_end(const svg *s);

/* Axes with their numbers and titles; a title that is NULL: no axis. */
void svg_axes(const svg *s, const char *x_title, const char *y_title);

/* Things in the units of the axes; what lies outside is cut off at the frame. */
void svg_line(const svg *s, const char *class, double x1, double y1, double x2,
              double y2);
void svg_band(const svg *s, const char *class, double x1, double y1, double x2,
              double y2);
void svg_curve(const svg *s, const char *class, size_t n, const double *x,
               const double *y);
void svg_mark(const svg *s, svg_shape shape, double x, double y);

/* A word beside a place, so many units of the figure to the right and below; it begins
 * there, or ends there when `end` is 1. */
void svg_word(const svg *s, double x, double y, double right, double below, int end,
              const char *word);

#endif
