/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "writer.h"

#include <stdarg.h>

#include "page.h"
#include "shown.h"

/* A text as it may be shown. */
typedef struct line {
    char safe[2 * PAGE_TEXT];
} line;

static const char *make(line *l, const char *format, va_list arguments)
{
    char text[PAGE_TEXT];
    vsnprintf(text, sizeof text, format, arguments);
    return shown(text, l->safe, sizeof l->safe);
}

void writer_head(writer *w, const char *format, ...)
{
    line l;
    va_list arguments;
    va_start(arguments, format);
    w->paper->head(w, make(&l, format, arguments));
    va_end(arguments);
}

void writer_section(writer *w, const char *title)
{
    w->steps = 0;
    w->paper->section(w, title);
}

void writer_fact(writer *w, const char *label, const char *format, ...)
{
    line l;
    va_list arguments;
    va_start(arguments, format);
    w->paper->say(w, WRITER_FACT, label, make(&l, format, arguments));
    va_end(arguments);
}

void writer_say(writer *w, writer_kind kind, const char *format, ...)
{
    line l;
    va_list arguments;
    va_start(arguments, format);
    w->steps += kind == WRITER_STEP;
    w->paper->say(w, kind, "", make(&l, format, arguments));
    va_end(arguments);
}

void writer_amount(writer *w, const char *what, double mm, double of)
{
    char text[32];
    snprintf(text, sizeof text, "%.4f mm", mm);
    w->paper->amount(w, what, mm / of, text);
}
