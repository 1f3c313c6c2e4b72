/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "page.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "shown.h"

#define COLUMNS 80

/* Columns of a word: bytes that continue a UTF-8 character take none. */
static int width_of(const char *text, size_t bytes)
{
    int width = 0;
    for (size_t i = 0; i < bytes; i++)
        width += ((unsigned char)text[i] & 0xc0) != 0x80;
    return width;
}

static int is_space(char c)
{
    return (unsigned char)c <= ' ';
}

static void wrap(FILE *out, const char *lead, const char *text)
{
    int indent = width_of(lead, strlen(lead)), column = indent;
    fputs(lead, out);
    for (const char *p = text; *p;) {
        while (*p && is_space(*p))
            p++;
        size_t bytes = 0;
        while (p[bytes] && !is_space(p[bytes]))
            bytes++;
        if (bytes == 0)
            break;
        int width = width_of(p, bytes);
        if (column > indent && column + 1 + width > COLUMNS) {
            fprintf(out, "\n%*s", indent, "");
            column = indent;
        }
        fprintf(out, "%s%.*s", column > indent ? " " : "", (int)bytes, p);
        column += width + (column > indent);
        p += bytes;
    }
    fputc('\n', out);
}

void page_say(FILE *out, const char *lead, const char *format, ...)
{
    char text[PAGE_TEXT], safe[2 * PAGE_TEXT];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    wrap(out, lead, shown(text, safe, sizeof safe));
}

void page_head(FILE *out, const char *format, ...)
{
    char text[PAGE_TEXT], safe[2 * PAGE_TEXT];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    fputc('\n', out);
    wrap(out, "", shown(text, safe, sizeof safe));
    for (int i = 0; i < COLUMNS - 1; i++)
        fputc('=', out);
    fputc('\n', out);
}

const char *page_percent(double probability, char text[32])
{
    double percent = 100.0 * probability;
    if (isnan(percent))
        strcpy(text, "not known");
    else if (percent > 99.9)
        strcpy(text, "more than 99.9 %");
    else if (percent < 0.1)
        strcpy(text, "less than 0.1 %");
    else
        snprintf(text, 32, "%.1f %%", percent);
    return text;
}

const char *page_zero(const dialarc_setup *setup)
{
    return setup->window_at == DIALARC_WINDOW_AT_MARK ? "the mark" : "TDC";
}

const char *page_place(const dialarc_setup *setup, char text[64])
{
    const char *zero = page_zero(setup);
    double crank = setup->window_crank_deg;
    if (isnan(crank) || crank == 0.0)
        snprintf(text, 64, "%s", zero);
    else
        snprintf(text, 64, "%g crank degrees %s %s", fabs(crank),
                 crank < 0.0 ? "before" : "after", zero);
    return text;
}

double page_round(double x, int digits)
{
    double scale = pow(10.0, digits);
    return round(x * scale) / scale + 0.0;
}

/* ---- the paper of a writer ---------------------------------------------------- */

static void put_head(writer *w, const char *text)
{
    page_head(w->file, "%s", text);
}

static void put_section(writer *w, const char *title)
{
    fprintf(w->file, "\n  %s\n", title);
}

static void put(writer *w, writer_kind kind, const char *label, const char *text)
{
    static const char *const leads[] = {
        [WRITER_MORE] = "                ",
        [WRITER_UNDER] = "     ",
        [WRITER_ITEM] = "  - ",
        [WRITER_NOTE] = "    ",
        [WRITER_REMARK] = "            ",
        [WRITER_PARAGRAPH] = "  ",
    };
    char lead[32] = "";
    if (kind == WRITER_FACT)
        snprintf(lead, sizeof lead, "  %-14s", label);
    else if (kind == WRITER_STEP)
        snprintf(lead, sizeof lead, "%3d. ", w->steps);
    wrap(w->file, lead[0] ? lead : leads[kind], text);
}

static void put_amount(writer *w, const char *what, double share, const char *text)
{
    (void)share;
    fprintf(w->file, "    %-44s %s\n", what, text);
}

writer page_writer(FILE *out)
{
    static const writer_paper paper = {put_head, put_section, put, put_amount};
    return (writer){.file = out, .paper = &paper};
}
