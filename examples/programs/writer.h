/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a page says, whatever it is written on: the same words go to plain text
 * (page_writer()) and to HTML (html_writer()).
 */
#ifndef WRITER_H
#define WRITER_H

#include <stdio.h>

typedef enum writer_kind {
    WRITER_FACT,     /* what is known of something that has a label */
    WRITER_MORE,     /* belongs to the fact before */
    WRITER_STEP,     /* to be done; numbered from the beginning of the section */
    WRITER_UNDER,    /* belongs to the step before */
    WRITER_ITEM,     /* one of a list */
    WRITER_NOTE,     /* a paragraph of a section */
    WRITER_REMARK,   /* explains the title of the section */
    WRITER_PARAGRAPH /* a paragraph where there are no sections */
} writer_kind;

typedef struct writer writer;

/* What pages are written on. Texts come as they may be shown: see shown.h. */
typedef struct writer_paper {
    void (*head)(writer *w, const char *text);
    void (*section)(writer *w, const char *title);
    void (*say)(writer *w, writer_kind kind, const char *label, const char *text);
    void (*amount)(writer *w, const char *what, double share, const char *text);
} writer_paper;

struct writer {
    FILE *file;
    const writer_paper *paper;
    int steps;       /* so far in this section */
    int state[2];    /* of the paper */
    int stroke_open; /* whether firing TDC of an engine on the page may not be that */
};

/* A heading: what follows is about it. */
void writer_head(writer *w, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* A part of what is said below a heading. */
void writer_section(writer *w, const char *title);

/* A fact with its label. */
void writer_fact(writer *w, const char *label, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Everything else, by its kind. */
void writer_say(writer *w, writer_kind kind, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* A row of a list of amounts, mm; `of` is the one that they are shares of. */
void writer_amount(writer *w, const char *what, double mm, double of);

#endif
